"""A day that cannot have been, or that nobody plans for, is refused at its field by every face."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from phones import SEVEN, Phone
from properties.test_hostile_facts import SPEAKERS, held
from refusing import Small
from tarsus.actions.facts import AT_A_FORM, hear_facts
from tarsus.core.deeds.days import latest_day
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.fields import BY_ID, BY_NUMBER, LISTS, SEVERAL, TEXTS, Field, Kind
from tarsus.core.deeds.register import DEEDS
from tarsus.records.models import Person, Sighting
from tarsus.web.deed_forms import DeedForm
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
DATED = (Kind.DAY, Kind.MOMENT)
A_DAY = "2026-06-11"


def sound(field: Field) -> Any:
    """The plainest value that can be read as what the field holds."""
    kind = field.kind
    if kind in (Kind.PART, Kind.PARTS):
        part = {one.name: sound(one) for one in field.parts if one.required}
        return part if kind is Kind.PART else [part]
    if field.choices:
        return [field.words[0]] if kind in LISTS else field.words[0]
    if kind in BY_NUMBER:
        return 1
    if kind in SEVERAL:
        return [1]
    if kind in BY_ID:
        return str(uuid4())
    if kind in TEXTS:
        return "red"
    if kind in (Kind.NUMBER, Kind.WHOLE):
        return field.low
    return {Kind.DAY: A_DAY, Kind.MOMENT: SEVEN.isoformat(), Kind.FLAG: True, Kind.WORDS: ["calm"]}.get(
        kind, {}
    )


def dated(fields: tuple[Field, ...], path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Field]]:
    """Every field that names a day or a moment, with the names that lead to it."""
    for field in fields:
        if field.kind in DATED:
            yield (*path, field.name), field
        yield from dated(field.parts, (*path, field.name))


def telling(deed: Deed, path: tuple[str, ...], said: str) -> dict[str, Any]:
    """A fact of this deed that says one day, and else what is needed."""
    told: dict[str, Any] = {one.name: sound(one) for one in deed.fields if one.required}
    within, fields = told, deed.fields
    for name in path[:-1]:
        field = next(one for one in fields if one.name == name)
        within.setdefault(name, sound(field))
        within, fields = within[name][0] if field.kind is Kind.PARTS else within[name], field.parts
    within[path[-1]] = said
    return told


EVERY = [(deed, path, field) for deed in DEEDS.values() for path, field in dated(deed.fields)]
NAMES = [f"{deed.name}.{'.'.join(path)}" for deed, path, _ in EVERY]


def speaker_of(deed: Deed) -> str:
    return next(login for login, role in SPEAKERS.items() if deed.allowed_to(role))


def beyond(field: Field, far: int) -> date:
    """A day so many days after the last one, or before the first."""
    assert field.first is not None
    return (
        latest_day(field, timezone.localdate()) + timedelta(days=far)
        if far > 0
        else field.first + timedelta(far)
    )


def written(field: Field, day: date) -> str:
    return day.isoformat() if field.kind is Kind.DAY else f"{day}T12:00:00+00:00"


def test_whatever_names_a_day_is_looked_at_here() -> None:
    assert len(EVERY) >= 18
    assert "birds_come.newcomers.hatched_on" in NAMES


FAR = st.integers(2, 60_000) | st.sampled_from([2, 365, 366, 731, 3653]) | st.integers(-300_000, -2)
"""How far; a whole day is left at the edges, over midnight and for the offsets of moments."""


@pytest.mark.parametrize(("deed", "path", "field"), EVERY, ids=NAMES)
def test_a_day_of_another_age_is_refused_for_that_fact_alone(
    park: Wendlebrook, deed: Deed, path: tuple[str, ...], field: Field
) -> None:
    by = getattr(park.actors, speaker_of(deed))
    phone = Phone(park, park.actors.tilda)

    @settings(max_examples=6, deadline=None)
    @given(FAR, st.sampled_from(["p1", AT_A_FORM, ""]))
    def hold(far: int, device: str) -> None:
        fact = {"id": str(uuid4()), "kind": deed.name, "at": SEVEN.isoformat(), "by": by}
        fact |= telling(deed, path, written(field, beyond(field, far)))
        before = held()
        (answer,) = hear_facts(facts=[fact], clock=None, device=device, speaker=by)
        assert answer.outcome == "refused", fact
        said = f"lies too far {'ahead' if far > 0 else 'back'}; give "
        assert said in answer.reason or (field.kind is Kind.MOMENT and "out of range" in answer.reason)
        assert answer.place.split(".")[-1].split("[")[0] == path[-1]
        assert held() == before

    hold()
    good = [phone.sighting("Kelp", round=None) for _ in range(4)]
    bad = {"id": str(uuid4()), "kind": deed.name, "at": SEVEN.isoformat(), "by": park.actors.tilda}
    bad |= telling(deed, path, written(field, beyond(field, 400)))
    outcomes = [told if told == "written" else "refused" for told in phone.send(*good[:2], bad, *good[2:])]
    assert outcomes == ["written", "written", "refused", "written", "written"]
    assert Sighting.objects.count() == 4


@pytest.mark.parametrize(("deed", "path", "field"), EVERY, ids=NAMES)
def test_a_day_that_can_be_is_not_refused_for_its_age(
    park: Wendlebrook, deed: Deed, path: tuple[str, ...], field: Field
) -> None:
    by = getattr(park.actors, speaker_of(deed))
    assert field.first is not None
    spare = 1 if field.kind is Kind.MOMENT else 0
    for day in (
        field.first + timedelta(spare),
        timezone.localdate(),
        latest_day(field, timezone.localdate()) - timedelta(spare),
    ):
        fact = {"id": str(uuid4()), "kind": deed.name, "at": SEVEN.isoformat(), "by": by}
        fact |= telling(deed, path, written(field, day))
        (answer,) = hear_facts(facts=[fact], clock=None, device="p1", speaker=by)
        assert "lies too far" not in answer.reason


FORMS = [
    (deed, path, field)
    for deed, path, field in EVERY
    if len(path) == 1 and field.on_form and field.kind is Kind.DAY
]


@pytest.mark.parametrize(
    ("deed", "path", "field"), FORMS, ids=[f"{deed.name}.{path[0]}" for deed, path, _ in FORMS]
)
def test_a_form_says_it_at_its_field(
    park: Wendlebrook, deed: Deed, path: tuple[str, ...], field: Field
) -> None:
    Small(park)
    for far in (2, 3653, -2):
        day = beyond(field, far)
        form = DeedForm(deed, {"deed_id": str(uuid4()), path[0]: day.isoformat()}, named={}, before={})
        (says,) = form.errors[path[0]]
        assert says.startswith(f"{day} lies too far {'ahead' if far > 0 else 'back'}; give ")


def test_a_program_is_told_at_which_field(park: Wendlebrook) -> None:
    client = Client()
    client.force_login(Person.objects.get(login="corin"), backend="django.contrib.auth.backends.ModelBackend")
    said = {"id": str(uuid4()), "kind": "bird_added", "at": SEVEN.isoformat(), "by": park.actors.corin}
    said |= telling(DEEDS["bird_added"], ("hatched_on",), "2226-06-11")
    answer = client.post("/api/v1/facts", json.dumps({"facts": [said]}), content_type="application/json")
    (told,) = answer.json()["answers"]
    assert told["outcome"] == "refused"
    assert told["reason"].startswith("hatched_on: 2226-06-11 lies too far ahead; give 1900-01-01 to ")
