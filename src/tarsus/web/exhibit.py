"""One exhibit, and all flocks."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from tarsus.queries.exhibit_page import NoSuchExhibit, all_flocks, exhibit_page
from tarsus.web.access import KEEPER, RECORDS, VIEWER, may, may_do, passes


@may(VIEWER)
def exhibit(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """Who lives in one exhibit, flock by flock."""
    try:
        page = exhibit_page(exhibit_id, timezone.now())
    except NoSuchExhibit as refusal:
        raise Http404(str(refusal)) from None
    told = {
        "page": page,
        "may_call": may_do(request.user, "round_started"),
        "may_tell": passes(request.user, KEEPER, RECORDS),
    }
    return render(request, "web/exhibit.html", told)


@may(VIEWER)
def flocks(request: HttpRequest) -> HttpResponse:
    """Every flock of the park."""
    return render(request, "web/flocks.html", {"flocks": all_flocks(timezone.now())})
