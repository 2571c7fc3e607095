"""The park's own clock: every page tells time as the park's clocks do, wherever the server stands."""

from __future__ import annotations

import zoneinfo
from collections.abc import Callable
from contextlib import nullcontext

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


class ParkTime:
    """Middleware that sets the park's time zone for the length of a request, and answers a page's questions
    once.
    """

    def __init__(self, answer: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if not request.user.is_authenticated:
            return self.answer(request)
        try:
            zone = zoneinfo.ZoneInfo(park_of(request).time_zone)
        except (zoneinfo.ZoneInfoNotFoundError, ValueError):
            # Settings refuse a zone that is unknown; one may still vanish with an upgrade of the zone tables.
            zone = zoneinfo.ZoneInfo(DEFAULT_ZONE)
        reads = request.method in ("GET", "HEAD")
        with timezone.override(zone), asking() if reads else nullcontext():
            return self.answer(request)
