"""Months: the inventory of each, as it was signed or as it is known now."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import groupby

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from tarsus.queries.months import month_page, month_to_sign, months_listed
from tarsus.web.access import VIEWER, may


@may(VIEWER)
def months(request: HttpRequest) -> HttpResponse:
    """All months, by year, with who signed them."""
    listed = months_listed(timezone.localdate())
    years = [(year, list(own)) for year, own in groupby(listed, lambda one: one.first_day.year)]
    unsigned = month_to_sign(timezone.localdate())
    return render(request, "web/months.html", {"years": years, "unsigned": unsigned})


@may(VIEWER)
def month(request: HttpRequest, month: str) -> HttpResponse:
    """One month's inventory; of its signed versions the first, or the one asked for."""
    today = timezone.localdate()
    first = _first_day(month)
    if first > today:
        raise Http404("that month has not begun; choose an earlier one")
    asked = request.GET.get("version", "")
    page = month_page(first, today, int(asked) if asked.isdecimal() else None)
    if asked and page.signed is None:
        raise Http404("that month has no such version; open it without one")
    following = page.last_day + timedelta(days=1)
    told = {
        "page": page,
        "before": first - timedelta(days=1),
        "after": following if following <= today else None,
    }
    return render(request, "web/month.html", told)


def _first_day(month: str) -> date:
    try:
        first = date.fromisoformat(f"{month}-01")
    except ValueError:
        first = date.min
    if first.year == date.min.year:
        raise Http404("a month is written as its year and number, such as 2026-05")
    return first
