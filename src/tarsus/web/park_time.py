"""The park's own clock: every page tells time as the park's clocks do, wherever the server stands."""

from __future__ import annotations

import zoneinfo
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase
from django.utils import timezone

from tarsus.queries.once import asking
from tarsus.queries.park import DEFAULT_ZONE, ParkFace, park_face


def park_of(request: HttpRequest) -> ParkFace:
    """The park as pages show it, asked for once a request."""
    kept = getattr(request, "_park_face", None)
    if not isinstance(kept, ParkFace):
        kept = park_face()
        request._park_face = kept  # type: ignore[attr-defined]  # kept beside the request it was asked for
    return kept


def zone_of_this_machine() -> str:
    """The time zone this machine's own clock is set to; the default where it does not say."""
    place = str(Path("/etc/localtime").resolve()).partition("zoneinfo/")[2]
    return place if place in zoneinfo.available_timezones() else DEFAULT_ZONE


def zones_by_name() -> list[tuple[str, str]]:
    """Every time zone a park may be in, as a form offers them."""
    places = sorted(zone for zone in zoneinfo.available_timezones() if "/" in zone and zone[:3] != "Etc")
    return [(DEFAULT_ZONE, DEFAULT_ZONE), *((zone, zone.replace("_", " ")) for zone in places)]


class ParkTime:
    """Middleware that sets the park's time zone for the length of a request, and answers a page's questions
    once.
    """

    def __init__(self, answer: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        # A stranger's session is not even opened: their answers may be kept by whoever stands between.
        stranger = settings.SESSION_COOKIE_NAME not in request.COOKIES
        if stranger or not request.user.is_authenticated:
            return self.answer(request)
        reads = request.method in ("GET", "HEAD")
        with asking(kept=True) if reads else nullcontext(), timezone.override(_zone_of(request)):
            return self.answer(request)


def _zone_of(request: HttpRequest) -> zoneinfo.ZoneInfo:
    try:
        return zoneinfo.ZoneInfo(park_of(request).time_zone)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError):
        # Settings refuse a zone that is unknown; one may still vanish with an upgrade of the zone tables.
        return zoneinfo.ZoneInfo(DEFAULT_ZONE)
