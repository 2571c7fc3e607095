"""Short PINs that confirm who takes a shared phone: set by oneself, tried a few times only."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from typing import Final

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from tarsus.actions.changes import note_changes
from tarsus.actions.known import known, known_person
from tarsus.actions.refusals import WrongPin
from tarsus.core.errors import WrongValue
from tarsus.records.models import Person

SHORTEST: Final = 4
LONGEST: Final = 8
TRIES: Final = 5
"""Wrong PINs in a row before it rests: of ten thousand PINs, a stranger finds one in a day of 480 tries by
a chance of 5 % (reckoned)."""
RESTS: Final = timedelta(minutes=15)


@transaction.atomic
def set_pin(*, by: int, person_id: int, current: str, pin: str) -> None:
    """Give oneself a PIN for shared phones.

    Raises:
        Unknown: no such person.
        WrongValue: the password is not theirs, or a PIN that is too short or too easily guessed.
    """
    known_person(by)
    row = known(Person, person_id, "person")
    if not row.check_password(current):
        raise WrongValue("current", "is not your password; write the one you sign in with")
    if not (pin.isascii() and pin.isdigit() and SHORTEST <= len(pin) <= LONGEST):
        raise WrongValue("pin", f"is no PIN; write {SHORTEST} to {LONGEST} digits")
    steps = {int(b) - int(a) for a, b in pairwise(pin)}
    if steps <= {0} or steps == {1} or steps == {-1}:
        raise WrongValue("pin", "is guessed first of all; choose digits that are not in a row")
    row.pin, row.pin_wrong = make_password(pin), 0
    row.save(update_fields=["pin", "pin_wrong"])
    note_changes("person", row.pk, {"pin": None}, {"pin": "set anew"}, by)


def confirm_by_pin(person: Person, pin: str) -> None:
    """Let a person who typed their PIN pass.

    Raises:
        WrongValue: they have none, or it was typed wrong too often a moment ago.
        WrongPin: it is not theirs. Whoever hears this counts it, see `note_wrong_pin`.
    """
    if not person.pin:
        raise WrongValue("pin", f"{person} has none yet; they set one under Settings, signed in themselves")
    if person.pin_wrong >= TRIES and _is_fresh(person):
        minutes = round(RESTS.total_seconds() / 60)
        raise WrongValue(
            "pin", f"was typed wrong {TRIES} times; wait {minutes} minutes, or {person} signs in"
        )
    if not check_password(pin, person.pin):
        raise WrongPin(person.pk)
    Person.objects.filter(pk=person.pk).exclude(pin_wrong=0).update(pin_wrong=0)


def note_wrong_pin(person_id: int) -> None:
    """Count a wrong PIN; those of a while ago are forgotten first."""
    row = Person.objects.get(pk=person_id)
    wrong = F("pin_wrong") + 1 if _is_fresh(row) else 1
    Person.objects.filter(pk=person_id).update(pin_wrong=wrong, pin_wrong_at=timezone.now())


def _is_fresh(person: Person) -> bool:
    return person.pin_wrong_at is not None and timezone.now() - person.pin_wrong_at < RESTS
