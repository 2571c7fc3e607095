"""The roll-call sheet, to be printed."""

from __future__ import annotations

import datetime as dt

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from tarsus.paper.roll_call_sheet import roll_call_sheet
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.sheet import sheet_of
from tarsus.web.access import may


@may("viewer")
def sheet(_request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """The week's sheet of one exhibit as a PDF; from Friday on the week to come."""
    zone = park_zone()
    today = day_of(timezone.now(), zone)
    asked = sheet_of(exhibit_id, today)
    if asked is None:
        raise Http404("no such exhibit")
    monday = today - dt.timedelta(days=today.weekday())
    if today.weekday() >= 4:  # whoever prints on a Friday prints for Monday
        monday += dt.timedelta(days=7)
    pdf = roll_call_sheet(
        park=asked.park,
        exhibit=asked.exhibit,
        monday=monday,
        printed=f"{timezone.localtime(timezone.now(), zone):%-d %B %Y, %H:%M}",
        flocks=asked.flocks,
        colours=asked.colours,
        metal_letter=asked.metal_letter,
    )
    name = f"roll-call-{exhibit_id}-week-{monday.isocalendar().week}.pdf"
    return HttpResponse(
        pdf, content_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'}
    )
