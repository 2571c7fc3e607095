"""People and what they may do."""

from __future__ import annotations

from typing import Final

from axes.utils import reset
from django.contrib.auth.hashers import check_password as is_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from tarsus.actions.changes import note_changes
from tarsus.actions.known import known, known_person
from tarsus.actions.settings.rows import said, save_row
from tarsus.actions.settings.sessions import end_everywhere
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.records.models import Person
from tarsus.records.models.words import ColourVision, ReadsAs, Role

PAST: Final = 5
"""So many earlier passwords are not taken again. Common practice."""


@transaction.atomic
def save_person(
    *,
    by: int,
    login: str,
    display_name: str,
    role: str,
    is_active: bool = True,
    person_id: int | None = None,
) -> int:
    """Write a person down, a new one or as it is now. Nobody is deleted: a name stands on what it recorded.

    A new person cannot sign in before `set_password`.

    Raises:
        Unknown: no such person.
        UnknownWord: no such role.
        WrongValue: a name that is missing or taken, or nobody would be left who may look after the people.
    """
    known_person(by)
    row = known(Person, person_id, "person") if person_id is not None else Person()
    login = login_of(login)
    if Person.objects.filter(login=login).exclude(pk=row.pk).exists():
        raise WrongValue("login", f"{login} is somebody's name already; choose another")
    if role not in Role.values:
        raise UnknownWord("role", role, "role", Role.values)
    if row.pk:
        _keep_an_administrator(row, role, is_active)
        if not is_active:
            end_everywhere(row)
    else:
        row.set_unusable_password()
    values = {
        "login": login,
        "display_name": said("display_name", display_name, "the name that stands on what is recorded"),
        "role": role,
        "is_active": is_active,
    }
    return save_row(row, values, by)


@transaction.atomic
def set_password(*, by: int, person_id: int, password: str) -> None:
    """Give a person a new password.

    Raises:
        Unknown: no such person.
        WrongValue: a password that is too short, too common, like their name or one of their last few.
    """
    known_person(by)
    row = known(Person, person_id, "person")
    check_password(password, row)
    before = [row.password, *row.past_passwords] if row.has_usable_password() else row.past_passwords
    if any(is_password(password, one) for one in before):
        raise WrongValue("password", "was theirs before; choose another")
    row.past_passwords = before[:PAST]
    row.set_password(password)
    row.save(update_fields=["password", "past_passwords"])
    # Whoever was locked out is let in with the new one at once.
    reset(username=row.login)
    end_everywhere(row)
    # What the password was stays untold; that it was set, when and by whom is kept.
    note_changes("person", row.pk, {"password": None}, {"password": "set anew"}, by)


def set_own_password(*, by: int, current: str, password: str) -> None:
    """Give oneself a new password; whoever finds a phone signed in does not know the one until now.

    Raises:
        WrongValue: the password until now is not theirs, or the new one is refused.
    """
    if not known(Person, by, "person").check_password(current):
        raise WrongValue("current", "is not your password; an administrator can set a new one")
    set_password(by=by, person_id=by, password=password)


def login_of(name: str) -> str:
    """What somebody of this name signs in as: small letters, dots for blanks.

    Raises:
        WrongValue: the name is empty.
    """
    return said("login", name, "the name to sign in with").lower().replace(" ", ".")


def check_password(password: str, person: Person) -> None:
    """Refuse a password that is too short or too common.

    Raises:
        WrongValue: it is.
    """
    try:
        validate_password(password, person)
    except ValidationError as refusal:
        raise WrongValue("password", " ".join(refusal.messages)) from None


@transaction.atomic
def set_eyes(*, by: int, person_id: int, reads_as: str, colour_vision: str, vision_severity: float) -> None:
    """Write down how a person reads bands and sees colours.

    Raises:
        Unknown: no such person.
        UnknownWord: no such reader or colour vision.
        WrongValue: a severity out of its range.
    """
    known_person(by)
    row = known(Person, person_id, "person")
    if reads_as not in ReadsAs.values:
        raise UnknownWord("reads_as", reads_as, "reader", ReadsAs.values)
    if colour_vision not in ColourVision.values:
        raise UnknownWord("colour_vision", colour_vision, "colour vision", ColourVision.values)
    if not 0 <= vision_severity <= 1:
        raise WrongValue("vision_severity", f"{vision_severity:g} is out of range; write 0 to 1")
    values = {"reads_as": reads_as, "colour_vision": colour_vision, "vision_severity": vision_severity}
    save_row(row, values, by)


def _keep_an_administrator(row: Person, role: str, is_active: bool) -> None:
    stays = role == Role.ADMINISTRATOR and is_active
    others = Person.objects.filter(role=Role.ADMINISTRATOR, is_active=True).exclude(pk=row.pk)
    if row.role == Role.ADMINISTRATOR and row.is_active and not stays and not others.exists():
        raise WrongValue("role", f"{row} is the only administrator; make somebody else one first")
