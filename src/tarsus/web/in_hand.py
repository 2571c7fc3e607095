"""In hand: the page's shell, and the pack that it works from."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_GET

from tarsus.queries.hand_pack import hand_pack_sent
from tarsus.queries.once import asked_at
from tarsus.web.access import KEEPER, RECORDS, may, person_id


@may(KEEPER, RECORDS)
@require_GET
@ensure_csrf_cookie
def in_hand(request: HttpRequest) -> HttpResponse:
    """The shell of the page; it says nothing of any bird, so that a phone may keep it."""
    return render(request, "web/in_hand.html")


@may(KEEPER, RECORDS, json=True)
@require_GET
@ensure_csrf_cookie
def pack(request: HttpRequest) -> HttpResponse:
    """All birds with their bands, weights and duties, the stock, and the catch-ups that are planned."""
    made_at = timezone.now()
    found = hand_pack_sent(person_id(request), asked_at())
    tag = f'"{found.version}"'
    headers = {"Cache-Control": "no-store", "ETag": tag}
    if request.headers.get("If-None-Match") == tag:
        return HttpResponse(status=304, headers=headers)
    return HttpResponse(found.made_at(made_at), content_type="application/json", headers=headers)
