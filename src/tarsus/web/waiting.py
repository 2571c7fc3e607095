"""Facts that wait for somebody to look at: the page, and what a phone asks about its own."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from tarsus.queries.waiting import refused_late, waiting_facts
from tarsus.web.access import KEEPER, RECORDS, may


@may(KEEPER, RECORDS)
@require_GET
def waiting(request: HttpRequest) -> HttpResponse:
    """The list, with why each waits."""
    return render(request, "web/waiting.html", {"facts": waiting_facts()})


@may(KEEPER, RECORDS, json=True)
@require_GET
def refused(request: HttpRequest) -> HttpResponse:
    """What of one phone was refused after it had been answered ``written``."""
    told = refused_late(request.GET.get("device", "")[:64])
    return JsonResponse({"refused": told}, headers={"Cache-Control": "no-store"})
