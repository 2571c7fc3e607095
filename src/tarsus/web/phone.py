"""A phone of one's own joins by a QR code: ten minutes, once, as the person whose screen shows it."""

from __future__ import annotations

import segno
from django.conf import settings
from django.contrib.auth import get_user_model, login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache

from tarsus.actions.joining_phones import CodeIsOver, joining_code, use_code, whose_code
from tarsus.web.access import VIEWER, anyone, may, person_id
from tarsus.web.first_person import BY_PASSWORD

ONLY_HERE = ("127.0.0.1", "localhost", "[::1]")


def joining(request: HttpRequest) -> dict[str, object]:
    """What a page needs to let a phone join: the code's picture, or why a phone cannot reach this server."""
    host = request.get_host().rsplit(":", 1)[0]
    if host in ONLY_HERE:
        return {"only_here": True}
    # Behind a server that holds the certificate the request itself came over plain http.
    scheme = "https" if settings.BEHIND_TLS else request.scheme
    address = f"{scheme}://{request.get_host()}{reverse('join', args=[joining_code(person_id(request))])}"
    return {
        "joins_at": _picture(address),
        "trust_at": _picture(settings.PARK_INVITATION) if settings.PARK_INVITATION else "",
        "trust_address": settings.PARK_INVITATION,
        "minutes": settings.PASSWORD_RESET_TIMEOUT // 60,
    }


def _picture(address: str) -> str:
    """A QR code as a picture that stands in the page; white around it in the dark too."""
    return segno.make(address, error="m", micro=False).svg_data_uri(scale=5, border=4, light="#ffffff")


@may(VIEWER)
@never_cache
def own_phone(request: HttpRequest) -> HttpResponse:
    """A code for a phone of whoever is signed in."""
    return render(request, "web/own_phone.html", joining(request))


@anyone
@never_cache
def join(request: HttpRequest, code: str) -> HttpResponse:
    """What the code leads to: one button that signs this phone in. Looking at it uses nothing up."""
    try:
        if request.method != "POST":
            return render(request, "web/join.html", {"name": whose_code(code)})
        number = use_code(code=code)
    except CodeIsOver as refusal:
        return render(request, "web/join.html", {"refusal": f"{refusal.message}."}, status=404)
    login(request, get_user_model().objects.get(pk=number), backend=BY_PASSWORD)
    return redirect("today")
