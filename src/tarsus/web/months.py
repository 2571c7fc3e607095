"""Months: the inventory of each, as it was signed or as it is known now."""

from __future__ import annotations

from datetime import timedelta
from itertools import groupby
from typing import Final

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from tarsus.core.errors import NoAnswer, WrongValue
from tarsus.queries.months import month_asked, month_to_sign, months_listed
from tarsus.web.access import VIEWER, may

NO_VERSION: Final = 0


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
    today, asked = timezone.localdate(), request.GET.get("version", "")
    version = int(asked) if asked.isdecimal() else NO_VERSION
    try:
        page = month_asked(month, today, version if asked else None)
    except (NoAnswer, WrongValue) as refusal:
        raise Http404(str(refusal)) from None
    following = page.last_day + timedelta(days=1)
    told = {
        "page": page,
        "before": page.first_day - timedelta(days=1),
        "after": following if following <= today else None,
    }
    return render(request, "web/month.html", told)
