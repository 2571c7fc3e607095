"""Who may ask: a device with a token, of its exhibits, in the name of its people."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponseBase, JsonResponse
from ninja.errors import HttpError
from ninja.security import HttpBearer

from tarsus.actions.devices import note_use
from tarsus.queries.devices import Device, device_of


@dataclass(frozen=True, slots=True)
class Bearer:
    """A device that showed its token."""

    device: Device
    token: str


class DeviceBearer(HttpBearer):
    """``Authorization: Bearer <token>``: a token of one device, for its exhibits and its people."""

    def authenticate(self, _request: HttpRequest, token: str) -> Bearer | None:
        device = device_of(token)
        if device is None:
            return None
        note_use(device.device_id)
        return Bearer(device, token)


def exhibit_for(device: Device, exhibit_id: int) -> None:
    """Let a question about an exhibit pass, or refuse it: one it may not ask of looks like any other."""
    if not device.may_ask_of(exhibit_id):
        raise HttpError(403, f"this device does not ask of exhibit {exhibit_id}; ask an administrator")


def person_for(device: Device, person_id: int) -> None:
    """Let a question in a person's name pass, or refuse it."""
    if not device.may_speak_for(person_id):
        raise HttpError(403, f"this device does not speak for person {person_id}; name one of its people")


def for_the_signed_in(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Let a description of the interface be read by whoever is signed in, or shows a device's token."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        shown = request.headers.get("Authorization", "").removeprefix("Bearer ")
        if request.user.is_authenticated or (shown and device_of(shown)):
            return view(request, *args, **kwargs)
        return JsonResponse({"reason": "sign in, or show a device's token"}, status=401)

    return guarded
