"""Giving a device a token of its own, and taking it back."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from tarsus.actions.known import known_person
from tarsus.actions.refusals import AlreadySo, Unknown
from tarsus.core.deeds.rights import RECORDING
from tarsus.core.errors import WrongValue
from tarsus.queries.devices import digest_of_token
from tarsus.records.models import DeviceToken, Exhibit, Person

TOKEN_BYTES = 32


@transaction.atomic
def give_device_token(
    *, name: str, exhibit_ids: Sequence[int], people_ids: Sequence[int], by: int, days: int = 365
) -> tuple[int, str]:
    """Give a device a token with which it may send for these exhibits, always in the name of these people.

    It is known for so many `days`.

    Returns:
        The device's id, and the token. It is told this once: only its digest is kept.

    Raises:
        WrongValue: no name, no exhibit or nobody named.
        Unknown: an exhibit or person that the register has not, or one who may not record.
    """
    giver = known_person(by)
    for place, value, remedy in (
        ("name", name.strip(), "write which device it is"),
        ("exhibits", exhibit_ids, "choose at least one"),
        ("people", people_ids, "choose at least one, since every line names its person"),
    ):
        if not value:
            raise WrongValue(place, f"is empty; {remedy}")
    exhibits = Exhibit.objects.filter(pk__in=exhibit_ids)
    people = Person.objects.filter(pk__in=people_ids, is_active=True, role__in=RECORDING)
    for place, kind, asked, found in (
        ("exhibits", "exhibit", set(exhibit_ids), {row.pk for row in exhibits}),
        ("people", "person who records", set(people_ids), {row.pk for row in people}),
    ):
        if asked - found:
            raise Unknown(place, kind, min(asked - found))
    token = secrets.token_urlsafe(TOKEN_BYTES)
    row = DeviceToken.objects.create(
        name=name.strip(),
        digest=digest_of_token(token),
        made_by=giver,
        expires_at=timezone.now() + timedelta(days=days),
    )
    row.exhibits.set(exhibits)
    row.people.set(people)
    return row.pk, token


def note_use(device_id: int) -> None:
    """Keep when a token was last shown, to the minute: a device that asks often writes no more than that."""
    now = timezone.now()
    rows = DeviceToken.objects.filter(pk=device_id)
    rows.exclude(last_used_at__gt=now - timedelta(minutes=1)).update(last_used_at=now)


@transaction.atomic
def take_device_token_back(*, device_id: int, by: int) -> None:
    """Take a device's token back: from now on it is known nowhere. What it sent stays.

    Raises:
        Unknown: no such device.
        AlreadySo: it was taken back before.
    """
    known_person(by)
    row = DeviceToken.objects.filter(pk=device_id).first()
    if row is None:
        raise Unknown("device", "device", device_id)
    if row.revoked_at is not None:
        raise AlreadySo("device", f"the token of {row.name} was taken back already; give it a new one")
    row.revoked_at = timezone.now()
    row.save(update_fields=["revoked_at"])
