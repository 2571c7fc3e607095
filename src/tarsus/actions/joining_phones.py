"""A phone that joins by a code that its owner's other screen shows: once, for ten minutes, as that person."""

from __future__ import annotations

from typing import Any, Final

from django.contrib.auth.tokens import PasswordResetTokenGenerator
from django.db import transaction
from django.utils import timezone

from tarsus.actions.known import known_person
from tarsus.core.errors import MalformedInput
from tarsus.records.models import Person


class CodeIsOver(MalformedInput):
    """The code was used, is too old, or never was one. Which of these is not told."""

    def __init__(self) -> None:
        super().__init__(
            "code", "was used before or is over; open 'A phone of yours' again, it shows a new one"
        )


class _Codes(PasswordResetTokenGenerator):
    """Codes signed with the register's key; signing in, a new password and ten minutes end them."""

    key_salt = "tarsus.joining_phones"

    def _make_hash_value(self, user: Any, timestamp: int) -> str:
        # To the microsecond: a code that was used within the second it was shown in must not open again.
        return f"{user.pk}{user.password}{user.last_login and user.last_login.isoformat()}{timestamp}"


_CODES: Final = _Codes()


def joining_code(person_id: int) -> str:
    """A code by which one phone may sign in as this person; an earlier one holds on until it is used."""
    person = known_person(person_id)
    return f"{person.pk}-{_CODES.make_token(person)}"


def whose_code(code: str) -> str:
    """The name of the person as whom a code signs in; nothing is used up.

    Raises:
        CodeIsOver: it does not hold.
    """
    return _person(code).display_name


@transaction.atomic
def use_code(*, code: str) -> int:
    """Use a code up.

    Returns:
        The person as whom it signs in.

    Raises:
        CodeIsOver: it does not hold, or another phone uses it at this very moment.
    """
    person = _person(code)
    as_it_was = Person.objects.filter(pk=person.pk, last_login=person.last_login)
    if not as_it_was.update(last_login=timezone.now()):
        raise CodeIsOver
    return int(person.pk)


def _person(code: str) -> Person:
    number, _, token = code.partition("-")
    whole = number.isascii() and number.isdecimal() and len(number) < 12
    person = Person.objects.filter(pk=int(number), is_active=True).first() if whole else None
    if person is None or not _CODES.check_token(person, token):
        raise CodeIsOver
    return person
