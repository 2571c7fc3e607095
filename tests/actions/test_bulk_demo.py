"""A prepared park goes into an empty register whole, or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import DatabaseError, transaction
from pytest_django import DjangoDbBlocker

from tarsus.core.marks.marks import Marks
from tarsus.demo import demo_park, stories
from tarsus.demo.frozen.keys import Keys
from tarsus.demo.loaded import read_prepared
from tarsus.demo.prepared import PreparedPark
from tarsus.queries.flock import flock_of, roll_of, sexes_of
from tarsus.queries.marks import marks_on
from tarsus.queries.rounds import closed_version, roll_call
from tarsus.records.models import Band, Bird, Person, Round, RoundClosed, Sighting, Stock

TODAY = date(2026, 6, 11)
pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def garden() -> PreparedPark:
    """All birds and every story, and eight days of rounds instead of four hundred."""
    park = demo_park(TODAY, days=8)
    return replace(park, rounds=tuple(park.rounds))


@pytest.fixture(scope="module")
def loaded(garden: PreparedPark, django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Keys]:
    """The garden loaded once for all tests here; each of them works in a savepoint of its own."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield read_prepared(garden)
        transaction.set_rollback(True)


def test_everything_that_was_prepared_is_in_the_register(garden: PreparedPark, loaded: Keys) -> None:
    rounds = list(garden.rounds)
    assert Bird.objects.count() == len(garden.birds)
    assert Band.objects.count() == sum(len(bird.bands) for bird in garden.birds)
    assert Round.objects.count() == len(rounds)
    assert Sighting.objects.count() == sum(len(one.sightings) for one in rounds)
    assert Stock.objects.count() == len(garden.stock)
    for bird in garden.birds[::17]:
        assert marks_on(loaded.birds[bird.name], TODAY) == bird.marks_on(TODAY)


def test_the_roll_of_each_exhibit_is_that_of_the_garden(loaded: Keys) -> None:
    rolls = {name: roll_of(key, TODAY) for name, key in loaded.exhibits.items()}
    assert rolls["Shingle Aviary"] == {"avocet": 29, "stilt": 21, "ruff": 14}
    assert rolls["Heron Wood"] == {"spoonbill": 38, "ibis": 50}
    assert rolls["South Strand"] == {"African penguin": 46, "rockhopper": 28}
    assert rolls["Kea Terrace"] == {"kea": 12}
    assert rolls["Quarantine house"] == {"avocet": 2}
    shingle = {bird.name: bird for bird in flock_of(loaded.exhibits["Shingle Aviary"], TODAY)}
    assert not shingle["Chip"].counted
    assert shingle["Samphire"].bands[-2].flags == ("faded",)


def test_a_sighting_keeps_its_reading_and_what_the_model_said(garden: PreparedPark, loaded: Keys) -> None:
    told = next(
        seen for one in garden.rounds for seen in one.sightings if seen.how == "by reading" and seen.group
    )
    row = Sighting.objects.get(pk=told.id)
    assert row.reading == (told.reading.as_mapping() if told.reading else None)
    assert row.candidates[0] == {"bird": loaded.birds[told.bird], "chance": told.candidates[0][1]}
    assert (row.chance, row.recorded_by_id) == (told.chance, loaded.people[told.by])
    assert row.happened_at == told.at


def test_a_closed_round_keeps_the_version_that_the_register_itself_would_tell(
    garden: PreparedPark, loaded: Keys
) -> None:
    last = next(one for one in reversed(tuple(garden.rounds)) if one.exhibit == "Shingle Aviary")
    row = RoundClosed.objects.get(round_id=last.id)
    call = roll_call(row.round_id, row.happened_at)
    version = closed_version(row.round_id, row.happened_at)
    assert version is not None
    assert call.phase == "closed"
    assert version["counts"] == {name: one.lowest.counted for name, one in call.counts.items()}
    assert version["called"] == sorted(call.called)
    assert version["observed"] == sorted(call.observed)
    assert version["inferred"] == sorted(call.inferred)
    assert sorted(version["sightings"]) == sorted(str(one.id) for one in call.sightings)
    assert version["doubtful"] == sorted(call.doubtful)
    assert not call.late
    assert loaded.birds[stories.MISSING_SINCE_LAST_EVENING] not in call.observed


def test_marks_of_a_past_day_are_those_of_that_day(loaded: Keys) -> None:
    tide = loaded.birds[stories.IN_MOULT]
    off = TODAY - timedelta(days=stories.IN_MOULT_SINCE_DAYS)
    assert marks_on(tide, off - timedelta(days=1)).at("right wing")
    assert marks_on(tide, off) == Marks()


def test_the_latest_word_on_a_sex_stands(loaded: Keys) -> None:
    banded_as_female = loaded.birds[stories.BANDED_AS_THE_OTHER_SEX]
    assert sexes_of([banded_as_female], TODAY - timedelta(days=10))[banded_as_female][0] == "F"
    assert sexes_of([banded_as_female], TODAY)[banded_as_female] == ("M", "DNA")
    assert loaded.birds[stories.SEX_RESULT_AWAITED] not in sexes_of(loaded.birds.values(), TODAY)


def test_people_may_sign_in_with_what_is_printed(garden: PreparedPark, loaded: Keys) -> None:
    for person in (garden.people[0], garden.people[-1]):
        row = Person.objects.get(login=person.username)
        assert row.check_password(person.password)
        assert row.role == person.role
        assert not row.check_password(person.password.upper())


def test_the_guards_stay_in_force_after_loading(loaded: Keys) -> None:
    with pytest.raises(DatabaseError, match="a fact is never changed"), transaction.atomic():
        Sighting.objects.filter(how="by sight").update(position=7)
