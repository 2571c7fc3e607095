"""People who may sign in."""

from __future__ import annotations

from typing import Any

from tarsus.core.deeds.rights import KEEPER, RECORDING
from tarsus.records.models import Park, Person


def nobody_may_sign_in() -> bool:
    """Whether this register has no person yet who may sign in: it was only just set up."""
    return not Person.objects.filter(is_active=True).exists()


def people_by_login() -> dict[str, int]:
    """Everybody who may sign in: login to id, in the order of the logins."""
    return dict(Person.objects.filter(is_active=True).order_by("login").values_list("login", "id"))


def people_who_record(person_id: int, *, shared: bool) -> list[dict[str, Any]]:
    """In whose names a phone may record: its own; on a shared phone a keeper's also those of other keepers.

    Args:
        person_id: who is signed in.
        shared: whether phones go from hand to hand here.
    """
    rows = Person.objects.filter(is_active=True, role__in=RECORDING)
    own = rows.filter(pk=person_id)
    if shared and own.filter(role=KEEPER).exists():
        own = rows.filter(role=KEEPER)
    names = own.order_by("display_name", "id").values_list("id", "display_name")
    return [{"id": pk, "name": name} for pk, name in names]


def has_second_step(person_id: int) -> bool:
    """Whether this person signs in with a second step."""
    return Person.objects.filter(pk=person_id, second_since__isnull=False).exists()


def idle_minutes(person_id: int) -> int:
    """After how many minutes a phone of this person asks for the PIN; 0 where it never does.

    Only phones that keepers share do: whoever has one alone has its own lock.
    """
    keeps = Person.objects.filter(pk=person_id, role=KEEPER, is_active=True).exists()
    park = Park.objects.filter(shared_phones=True).values_list("idle_lock_minutes", flat=True).first()
    return int(park or 0) if keeps else 0
