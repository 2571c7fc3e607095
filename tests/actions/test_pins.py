"""A PIN is set by its person, who knows their password, and is none of those that are guessed first."""

from __future__ import annotations

import pytest

from tarsus.actions.refusals import WrongPin
from tarsus.actions.settings.pins import confirm_by_pin, note_wrong_pin, set_pin
from tarsus.core.errors import WrongValue
from tarsus.records.models import Change, Person
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
PASSWORD = "reed-and-rush-by-night"


@pytest.fixture
def tilda(park: Wendlebrook) -> Person:
    person = Person.objects.get(pk=park.actors.tilda)
    person.set_password(PASSWORD)
    person.save()
    return person


def give(tilda: Person, pin: str, current: str = PASSWORD) -> Person:
    set_pin(by=tilda.pk, person_id=tilda.pk, current=current, pin=pin)
    return Person.objects.get(pk=tilda.pk)


def test_the_new_pin_alone_passes_and_its_setting_is_kept_without_it(tilda: Person) -> None:
    note_wrong_pin(tilda.pk)
    now = give(tilda, "4930")
    assert now.pin_wrong == 0
    confirm_by_pin(now, "4930")
    for other in ("4931", ""):
        with pytest.raises(WrongPin):
            confirm_by_pin(now, other)
    (kept,) = Change.objects.filter(table="person")
    assert (kept.key, kept.field, kept.after, kept.by_id) == (str(tilda.pk), "pin", "set anew", tilda.pk)


@pytest.mark.parametrize(
    ("pin", "current", "reason"),
    [
        ("4930", "a-guess", "current: is not your password"),
        ("493", PASSWORD, "pin: is no PIN; write 4 to 8 digits"),
        ("493049301", PASSWORD, "pin: is no PIN"),
        ("49x0", PASSWORD, "pin: is no PIN"),
        ("٤٩٣٠", PASSWORD, "pin: is no PIN"),
        ("7777", PASSWORD, "pin: is guessed first of all"),
        ("3456", PASSWORD, "pin: is guessed first of all"),
        ("8765", PASSWORD, "pin: is guessed first of all"),
    ],
)
def test_a_pin_that_is_refused_sets_none(tilda: Person, pin: str, current: str, reason: str) -> None:
    with pytest.raises(WrongValue) as refusal:
        give(tilda, pin, current)
    assert str(refusal.value).startswith(reason)
    assert not Person.objects.get(pk=tilda.pk).pin


def test_four_and_eight_digits_and_two_alike_are_pins(tilda: Person) -> None:
    for pin in ("2255", "81828384"):
        confirm_by_pin(give(tilda, pin), pin)
