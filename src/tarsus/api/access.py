"""Who may ask: a device with a token, of its exhibits and for its people; or whoever is signed in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponseBase
from ninja import security
from ninja.errors import HttpError

from tarsus.actions.devices import note_use
from tarsus.actions.settings.second_step import second_step_wanted
from tarsus.api.problems import problem
from tarsus.core.deeds.rights import in_words, passes_for
from tarsus.core.errors import WrongValue
from tarsus.queries.devices import Device, asks_of_whole_park, device_of
from tarsus.queries.exhibit_page import exhibit_named


@dataclass(frozen=True, slots=True)
class Bearer:
    """A device that showed its token."""

    device: Device
    token: str


class DeviceBearer(security.HttpBearer):
    """``Authorization: Bearer <token>``: a token of one device, for its exhibits and its people."""

    def authenticate(self, _request: HttpRequest, token: str) -> Bearer | None:
        device = device_of(token)
        if device is None:
            return None
        note_use(device.device_id)
        return Bearer(device, token)


class SessionAuth(security.SessionAuth):
    """Whoever is signed in, as far as the pages let them: who owes a second step sets it up first."""

    def authenticate(self, request: HttpRequest, key: str | None) -> Any:
        """The person; a refusal where the park wants a second step that they have not set up."""
        person = super().authenticate(request, key)
        if person is not None and person.second_since is None and second_step_wanted(person):
            raise HttpError(403, "set up your second step of signing in first; open any page, it leads there")
        return person


EITHER = [DeviceBearer(), SessionAuth()]
"""A device's token first, so that one shown beside a session is what counts."""


@dataclass(frozen=True, slots=True)
class Asker:
    """Whoever asks: a device, or the person who is signed in. Their pages' rules are theirs here too."""

    device: Device | None
    person_id: int | None
    role: str

    def passes(self, *roles: str) -> bool:
        """Whether they may do what any one of these roles may."""
        if self.device is None:
            return passes_for(self.role, *roles)
        return any(passes_for(role, *roles) for role in self.device.roles)

    def sees(self, exhibit_id: int | None) -> bool:
        """Whether what stands of an exhibit is theirs to know."""
        return self.device is None or (exhibit_id is not None and self.device.may_ask_of(exhibit_id))

    def of_exhibit(self, exhibit_id: int, *roles: str) -> None:
        """Let a question about an exhibit pass, or refuse it: one that is not there looks like any other."""
        self.as_one_of(*roles)
        if not self.sees(exhibit_id):
            raise HttpError(403, f"this device does not ask of exhibit {exhibit_id}; ask an administrator")

    def of_park(self, *roles: str) -> None:
        """Let a question about the whole park pass, or refuse it."""
        self.as_one_of(*roles)
        if self.device is not None and not asks_of_whole_park(self.device):
            raise HttpError(
                403,
                "this device asks of some exhibits only, and this is of the whole park; ask an administrator",
            )

    def own(self) -> int:
        """The person who is signed in, of whom alone something is told; a device is nobody."""
        if self.person_id is None:
            raise HttpError(403, "this is told to the person alone whose it is, and to no device; sign in")
        return self.person_id

    def in_the_name_of(self, person_id: int | None) -> int:
        """The person in whose name a question is asked: one of the device's, or whoever is signed in."""
        if self.device is None:
            if self.person_id is None or person_id not in (None, self.person_id):
                raise HttpError(403, f"you do not speak for person {person_id}; leave `by` out")
            return self.person_id
        if person_id is None:
            raise WrongValue("by", "is missing; name one of the device's people")
        if not self.device.may_speak_for(person_id):
            raise HttpError(403, f"this device does not speak for person {person_id}; name one of its people")
        return person_id

    def as_one_of(self, *roles: str) -> None:
        """Let whoever passes for one of these roles pass, or refuse them."""
        if roles and not self.passes(*roles):
            raise HttpError(403, f"this is for {in_words(roles)}; ask an administrator")


def asker_of(request: HttpRequest) -> Asker:
    """Whoever asks, as the authorization above the route let them in."""
    shown = request.auth  # type: ignore[attr-defined]  # set by whichever of the two let it in
    if isinstance(shown, Bearer):
        return Asker(shown.device, None, "")
    return Asker(None, shown.pk, str(shown.role))


def asker_of_exhibit(request: HttpRequest, exhibit_id: int, *roles: str) -> Asker:
    """Whoever asks of an exhibit that there is and that is theirs to ask of, in one of these roles."""
    asker = asker_of(request)
    asker.of_exhibit(exhibit_id, *roles)
    exhibit_named(exhibit_id)
    return asker


def for_the_signed_in(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Let a description of the interface be read by whoever is signed in, or shows a device's token."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        shown = request.headers.get("Authorization", "").removeprefix("Bearer ")
        if request.user.is_authenticated or (shown and device_of(shown)):
            return view(request, *args, **kwargs)
        return problem(401, "sign in, or show a device's token")

    return guarded
