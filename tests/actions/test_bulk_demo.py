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
from tarsus.records.models import (
    Band,
    Bird,
    Colour,
    Exhibit,
    MetalSeries,
    Park,
    Person,
    Place,
    Round,
    RoundClosed,
    Rule,
    Sighting,
    Species,
    Stock,
)

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


def test_the_parks_own_rows_are_as_they_were_prepared(garden: PreparedPark, loaded: Keys) -> None:
    park = Park.objects.get()
    assert (park.name, park.time_zone, park.metal_letter) == (garden.name, garden.time_zone, "m")
    assert (park.female_side, park.male_side) == (garden.metal_side["F"], garden.metal_side["M"])
    for order, (name, hex_) in enumerate(garden.palette.items()):
        colour = Colour.objects.get(pk=loaded.colours[name])
        faded = (colour.faded_hex, colour.fades_in_years)
        assert (colour.name, colour.hex, colour.order) == (name, hex_, order)
        assert (colour.letter, faded) == (garden.letters[name], garden.fading.get(name, ("", None)))
        assert colour.held == (name not in garden.not_held)
    homes = [(one.name, one.purpose, one.order) for one in Exhibit.objects.order_by("order")]
    assert homes == [(one.name, one.purpose, at) for at, one in enumerate(garden.exhibits)]
    for exhibit in garden.exhibits:
        places = Place.objects.filter(exhibit=loaded.exhibits[exhibit.name]).order_by("order")
        assert [(one.name, one.kind) for one in places] == list(exhibit.places)
        assert [one.order for one in places] == list(range(len(exhibit.places)))
        assert [loaded.places[exhibit.name, one.name] for one in places] == [one.pk for one in places]
    drawer = Stock.objects.values_list("kind", "colour__name", "size", "amount", "order_below")
    told = [(s.kind, s.colour or None, s.size, s.number, s.order_below) for s in garden.stock]
    assert sorted(drawer, key=str) == sorted(told, key=str)
    series = list(MetalSeries.objects.values_list("series", "prefix", "first", "last", "size"))
    assert series == [(s.series, s.prefix, s.first, s.last, s.size) for s in garden.metal_series]
    long_ago = TODAY - timedelta(days=6000)
    assert set(MetalSeries.objects.values_list("received_on", flat=True)) <= {long_ago}
    assert set(Rule.objects.values_list("from_on", "recorded_by")) == {(long_ago, loaded.by)}
    assert Person.objects.get(pk=loaded.by).role == "records"


def test_each_species_is_marked_and_limited_as_it_was_prepared(garden: PreparedPark, loaded: Keys) -> None:
    for kind in garden.species:
        row = Species.objects.get(pk=loaded.species[kind.name])
        assert (row.scientific_name, row.lookalike, row.form) == (kind.scientific, kind.lookalike, kind.form)
        assert (tuple(row.sites), row.chews, row.leg_diameter_mm) == (kind.sites, kind.chews, kind.leg_mm)
        assert (row.band_size, row.mass_source) == (kind.band_size, kind.mass_source)
        assert (row.female_low_g, row.female_high_g) == tuple(kind.mass_g.get("F", (None, None)))
        assert (row.male_low_g, row.male_high_g) == tuple(kind.mass_g.get("M", (None, None)))
        assert (row.max_unseen_days, row.counts_at_days) == (kind.max_unseen_days, kind.counts_from_days)
        grown = (row.leg_grown_at_days, row.chick_check_every_days)
        assert grown == (kind.leg_grown_at_days, kind.chick_check_every_days)
        assert row.bands_off_in_moult == kind.bands_off_in_moult
        assert (row.moult_from_month, row.moult_to_month) == tuple(kind.moult_months or (None, None))
        assert set(row.excluded_colours.values_list("name", flat=True)) == set(kind.excluded)
        rule = Rule.objects.filter(species=row).first()
        if not kind.sites:
            assert rule is None
            continue
        assert rule is not None
        left, right = kind.sites
        assert rule.mates_match == kind.mates_match
        if kind.mates_match:
            assert rule.metal == {"F": None, "M": None, "U": None}
            assert rule.colours == {"F": {right: 1}, "M": {left: 1}, "U": {right: 1}}
        else:
            at = {"left": left, "right": right}
            assert rule.metal == {sex: at.get(side) for sex, side in garden.metal_side.items()}
            assert rule.colours["U"] == {left: 1, right: 1}
            for sex in ("F", "M"):  # the colours go where the metal is not
                assert rule.colours[sex] == {(left if rule.metal[sex] == right else right): 2}


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
    with (
        pytest.raises(DatabaseError, match=r"^records_sighting: a fact is never changed"),
        transaction.atomic(),
    ):
        Sighting.objects.filter(how="by sight").update(position=7)
