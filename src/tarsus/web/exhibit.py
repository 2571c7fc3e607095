"""One exhibit, and all flocks."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from tarsus.queries.exhibit_page import NoSuchExhibit, all_flocks, exhibit_named, exhibit_page
from tarsus.queries.exhibit_plan import plan_page, plans_there
from tarsus.queries.once import asked_at
from tarsus.queries.practice import readiness_for
from tarsus.queries.visitors import is_on_display
from tarsus.web.access import KEEPER, LEAD, RECORDS, VIEWER, may, may_do, passes


@may(VIEWER)
def exhibit(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """Who lives in one exhibit, flock by flock."""
    try:
        page = exhibit_page(exhibit_id, asked_at())
    except NoSuchExhibit as refusal:
        raise Http404(str(refusal)) from None
    plan = plan_page(exhibit_id, asked_at()) if exhibit_id in plans_there() else None
    told = {
        "page": page,
        "plan": plan,
        "drawn": plan.drawn() if plan and plan.plan else None,
        "may_set": may_do(request.user, "exhibit_plan_set"),
        "may_call": may_do(request.user, "round_started"),
        "may_tell": passes(request.user, KEEPER, RECORDS),
        "leads": passes(request.user, LEAD),
        "on_display": is_on_display(exhibit_id),
    }
    return render(request, "web/exhibit.html", told)


@may(LEAD)
def readiness(request: HttpRequest, exhibit_id: int) -> HttpResponse:
    """Who is ready for one exhibit, as far as each of them shares it."""
    try:
        name = exhibit_named(exhibit_id)
    except NoSuchExhibit as refusal:
        raise Http404(str(refusal)) from None
    told = {"name": name, "exhibit_id": exhibit_id, "people": readiness_for(exhibit_id)}
    return render(request, "web/readiness.html", told)


@may(VIEWER)
def flocks(request: HttpRequest) -> HttpResponse:
    """Every flock of the park."""
    return render(request, "web/flocks.html", {"flocks": all_flocks(asked_at())})
