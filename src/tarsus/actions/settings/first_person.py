"""The first person of a park and its name, in one act: nobody is there yet in whose name to tell a deed."""

from __future__ import annotations

from typing import Final

from django.db import IntegrityError, transaction

from tarsus.actions.changes import note_changes
from tarsus.actions.settings.park import check_zone
from tarsus.actions.settings.people import check_password, login_of
from tarsus.actions.settings.rows import said
from tarsus.core.deeds.rights import ADMINISTRATOR
from tarsus.core.errors import MalformedInput
from tarsus.records.models import Park, Person

ONE_PARK: Final = 1


class ParkBegun(MalformedInput):
    """Somebody is in this register already: the first person was made before."""

    def __init__(self) -> None:
        super().__init__(
            "register", "somebody is in it already; sign in, or ask its administrator for a name"
        )


def nobody_is_here() -> bool:
    """Whether this register is a new park's: no park is named in it, and nobody is written down."""
    return not (Person.objects.exists() or Park.objects.exists())


@transaction.atomic
def begin_park(*, display_name: str, login: str, password: str, park: str, time_zone: str) -> int:
    """Write the first person down, an administrator, and name the park. It happens once a register.

    Args:
        display_name: the name that stands on what this person records.
        login: what they sign in as; empty for the first word of their name, in small letters.
        password: theirs.
        park: the park's name.
        time_zone: the park's clock.

    Returns:
        The person's id.

    Raises:
        ParkBegun: somebody was written down before, or at this very moment (decision 0022).
        UnknownWord: no such time zone.
        WrongValue: a name that is missing, a password that is too short or too common.
    """
    if not nobody_is_here():
        raise ParkBegun
    display_name = said("display_name", display_name, "your name, as it is to stand on what you record")
    person = Person(
        login=login_of(login or display_name.split()[0]), display_name=display_name, role=ADMINISTRATOR
    )
    check_password(password, person)
    named = {"name": said("park", park, "the park's name"), "time_zone": time_zone}
    check_zone(time_zone)
    try:
        with transaction.atomic():
            # The park is one row: of two who begin at one moment, the database lets one through.
            Park.objects.create(id=ONE_PARK, **named)
    except IntegrityError:
        raise ParkBegun from None
    person.set_password(password)
    person.save(force_insert=True)
    told = {"login": person.login, "display_name": display_name, "role": person.role}
    note_changes("person", person.pk, {}, told, person.pk)
    note_changes("park", ONE_PARK, {}, named, person.pk)
    return int(person.pk)
