"""Around every page: methods that are answered, what may be kept of an answer, a log of what was refused."""

from __future__ import annotations

import logging
from collections.abc import Callable
from ipaddress import ip_address
from typing import Final

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed

_LOG: Final = logging.getLogger("tarsus.access")
METHODS: Final = ("GET", "HEAD", "POST", "OPTIONS")
REFUSALS: Final = frozenset({401, 403, 405, 429})


class Guarding:
    """No page with names or tokens is kept by a browser or a proxy; each refusal leaves a line in the log."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method in METHODS:
            answer = self.get_response(request)
        else:
            answer = HttpResponseNotAllowed(METHODS)
        if "Cache-Control" not in answer.headers:
            answer.headers["Cache-Control"] = "no-store"
        if answer.status_code in REFUSALS:
            _LOG.warning("refused with %s: %s", answer.status_code, _told(request))
        return answer


def _told(request: HttpRequest) -> str:
    """Who asked for what, without names, query or anything else that was typed."""
    person = getattr(getattr(request, "user", None), "pk", None)
    who = "nobody signed in" if person is None else f"person {person}"
    path = request.path.encode("ascii", "backslashreplace").decode()[:200]
    return f"{str(request.method)[:10]} {path!r} by {who} from {address_of(request)}"


def address_of(request: HttpRequest) -> str:
    """The address that a request came from: the last one that no server in front of this one has.

    Whoever is no named proxy may say of itself what it likes: it is not believed.
    """
    address = str(request.META.get("REMOTE_ADDR") or "")
    ways = [one.strip() for one in request.META.get("HTTP_X_FORWARDED_FOR", "").split(",")]
    while address in settings.PROXIES and ways:
        said = ways.pop()
        try:
            address = str(ip_address(said))
        except ValueError:
            break
    return address or "0.0.0.0"
