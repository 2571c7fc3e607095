"""The calendar of duties: read by a secret link, without signing in, by a program that knows nothing else."""

from __future__ import annotations

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from tarsus.queries.duty_calendar import device_of_calendar, duty_calendar
from tarsus.web.access import anyone


@anyone
def duties(_request: HttpRequest, key: str) -> HttpResponse:
    """What is due in the exhibits of the device to which the secret belongs."""
    device = device_of_calendar(key, settings.SECRET_KEY)
    if device is None:
        raise Http404("no such calendar, or its link was ended; ask for a new one under Settings, Devices")
    text = duty_calendar(device, timezone.now())
    headers = {"Cache-Control": "private, no-store", "Referrer-Policy": "no-referrer"}
    return HttpResponse(text, content_type="text/calendar; charset=utf-8", headers=headers)
