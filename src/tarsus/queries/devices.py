"""Devices that hold a token of their own: for which exhibits, in whose names."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet
from django.utils import timezone

from tarsus.records.models import DeviceToken, Exhibit, Person
from tarsus.records.models.words import Role


@dataclass(frozen=True, slots=True)
class Device:
    """One device. Its token is nowhere: only a digest of it is kept. `over`: it is heard no more.

    `roles` are those of its people: it may do what any of them may.
    """

    device_id: int
    name: str
    exhibits: tuple[tuple[int, str], ...]
    people: tuple[tuple[int, str], ...]
    made_by: str
    made_at: datetime
    revoked_at: datetime | None
    expires_at: datetime
    last_used_at: datetime | None
    over: bool
    roles: frozenset[str] = frozenset()

    def may_ask_of(self, exhibit_id: int) -> bool:
        """Whether it may ask and tell of an exhibit."""
        return exhibit_id in dict(self.exhibits)

    def may_speak_for(self, person_id: int) -> bool:
        """Whether it may ask and tell in a person's name."""
        return person_id in dict(self.people)


def digest_of_token(token: str) -> str:
    """What is kept of a token."""
    return hashlib.sha256(token.encode()).hexdigest()


def tokens_that_hold() -> QuerySet[DeviceToken]:
    """The tokens that are known now: neither taken back nor expired."""
    return DeviceToken.objects.filter(revoked_at__isnull=True, expires_at__gt=timezone.now())


def device_of(token: str) -> Device | None:
    """The device that a token belongs to; nothing where it is unknown, was taken back or expired."""
    rows = tokens_that_hold().filter(digest=digest_of_token(token))
    return next(iter(_devices(rows)), None)


def asks_of_whole_park(device: Device) -> bool:
    """Whether a device may ask of every exhibit, so that what is told of the whole park is its to know."""
    return not Exhibit.objects.exclude(pk__in=dict(device.exhibits)).exists()


def devices() -> tuple[Device, ...]:
    """All devices ever given a token, those that still hold one first."""
    found = _devices(DeviceToken.objects.order_by("name", "id"))
    return tuple(sorted(found, key=lambda device: device.over))


def _devices(rows: QuerySet[DeviceToken]) -> tuple[Device, ...]:
    kept = rows.select_related("made_by").prefetch_related("exhibits", "people")
    return tuple(
        Device(
            device_id=row.pk,
            name=row.name,
            exhibits=tuple((exhibit.pk, exhibit.name) for exhibit in row.exhibits.all()),
            people=tuple((who.pk, who.display_name) for who in row.people.all() if who.is_active),
            made_by=row.made_by.display_name,
            made_at=row.made_at,
            revoked_at=row.revoked_at,
            expires_at=row.expires_at,
            last_used_at=row.last_used_at,
            over=row.revoked_at is not None or row.expires_at <= timezone.now(),
            roles=frozenset(who.role for who in row.people.all() if who.is_active),
        )
        for row in kept
    )


def who_records() -> tuple[tuple[int, str], ...]:
    """The people who may record what they saw, by name: a device may speak for them."""
    rows = Person.objects.filter(is_active=True).exclude(role=Role.VIEWER).order_by("display_name", "id")
    return tuple(rows.values_list("id", "display_name"))
