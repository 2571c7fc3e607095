"""The flock of an exhibit as plain values."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tarsus.core.marks.marks import Marks
from tarsus.queries.flock import flock_of, roll_of
from tarsus.queries.marks import band_history, bird_of_engraving, marks_on
from tarsus.records import models as rows
from wendlebrook import BEGUN, DAY, Wendlebrook

pytestmark = pytest.mark.django_db


def by_name(park: Wendlebrook, day: date = DAY) -> dict:
    return {bird.name: bird for bird in flock_of(park.shingle, day)}


def test_a_flock_wears_what_the_record_says_on_the_birds_own_sides(park: Wendlebrook) -> None:
    flock = by_name(park)
    assert flock["Samphire"].marks == Marks.of({"left tibia": ["metal"], "right tibia": ["yellow", "green"]})
    assert flock["Kelp"].marks == Marks.of({"right tibia": ["metal"], "left tibia": ["yellow", "green"]})
    assert flock["Dock"].marks == Marks.of({"right leg": ["lime", "white"]})
    assert (flock["Samphire"].engraving, flock["Dock"].engraving) == ("WB 20417", "")
    assert (flock["Samphire"].sex, flock["Burdock"].sex, flock["Dock"].sex) == ("F", "M", "U")


def test_the_number_of_a_bird_is_its_metals_where_another_band_is_engraved_too(park: Wendlebrook) -> None:
    yellow = rows.Band.objects.get(bird_id=park["Kelp"], colour__name="yellow")
    rows.Band.objects.filter(pk=yellow.pk).update(engraving="A 417", engraving_key="A417")
    assert by_name(park)["Kelp"].bands[0].engraving == "A 417"
    assert by_name(park)["Kelp"].engraving == "WB 20418"
    rows.Band.objects.filter(pk=park.metals["Kelp"]).update(engraving="", engraving_key="")
    assert by_name(park)["Kelp"].engraving == "A 417"


def test_a_flock_costs_the_same_questions_however_many_birds_it_has(park: Wendlebrook) -> None:
    with CaptureQueriesContext(
        connection,
    ) as few:
        assert len(flock_of(park.shingle, DAY)) == 8
    tilda = rows.Person.objects.get(login="tilda")
    red = rows.Colour.objects.get(name="red")
    for number in range(40):
        bird = rows.Bird.objects.create(species_id=park.ruff, house_name=f"Ruff {number}", recorded_by=tilda)
        rows.Stay.objects.create(bird=bird, exhibit_id=park.shingle, from_on=BEGUN, recorded_by=tilda)
        band = rows.Band.objects.create(
            bird=bird, site="left leg", kind="colour", colour=red, from_on=BEGUN, recorded_by=tilda
        )
        rows.BandCheck.objects.create(
            band=band, condition="worn", recorded_by=tilda, happened_at=datetime(2026, 5, 1, tzinfo=UTC)
        )
    with CaptureQueriesContext(connection) as many:
        assert len(flock_of(park.shingle, DAY)) == 48
    assert len(many) == len(few)
    assert len(many) <= 12


def test_the_marks_of_any_past_day_can_be_told(park: Wendlebrook) -> None:
    bird = park["Thrift"]
    white = rows.Band.objects.get(bird=bird, colour__name="white")
    white.to_on, white.why_off = date(2026, 5, 2), "lost"
    white.save()
    rows.Band.objects.create(
        bird_id=bird,
        site="right tibia",
        order=100,
        kind="colour",
        colour=rows.Colour.objects.get(name="pink"),
        from_on=date(2026, 5, 9),
        recorded_by_id=park.actors.tilda,
    )
    right = {day: marks_on(bird, day).at("right tibia") for day in (date(2026, 5, d) for d in (1, 2, 8, 9))}
    assert list(right.values()) == [("red", "white"), ("red",), ("red",), ("red", "pink")]
    assert marks_on(bird, BEGUN - timedelta(days=1)) == Marks.of({})
    assert [band.word for band in band_history(bird)] == ["metal", "red", "white", "pink"]


def test_a_band_put_between_two_others_leaves_the_past_as_it_was(park: Wendlebrook) -> None:
    rows.Band.objects.create(
        bird_id=park["Samphire"],
        site="right tibia",
        order=50,
        kind="colour",
        colour=rows.Colour.objects.get(name="brown"),
        from_on=DAY,
        recorded_by_id=park.actors.tilda,
    )
    assert marks_on(park["Samphire"], DAY).at("right tibia") == ("yellow", "brown", "green")
    assert marks_on(park["Samphire"], DAY - timedelta(days=1)).at("right tibia") == ("yellow", "green")


def test_the_last_check_of_a_band_is_what_the_drawing_shows(park: Wendlebrook) -> None:
    green = rows.Band.objects.get(bird=park["Samphire"], colour__name="green")
    for day, condition in ((1, "worn"), (3, "worn"), (3, "faded")):
        rows.BandCheck.objects.create(
            band=green,
            condition=condition,
            recorded_by_id=park.actors.tilda,
            happened_at=datetime(2026, 6, day, 9, tzinfo=UTC),
        )
    bands = {band.word: band for band in by_name(park)["Samphire"].bands}
    assert bands["green"].flags == ("faded", "worn")
    assert bands["yellow"].flags == ()
    earlier = {band.word: band for band in by_name(park, date(2026, 6, 2))["Samphire"].bands}
    assert earlier["green"].flags == ("worn",)


def test_a_chick_too_young_and_a_missing_bird_are_known_but_not_counted(park: Wendlebrook) -> None:
    rows.Bird.objects.filter(pk=park["Marram"]).update(hatched_on=DAY - timedelta(days=29))
    rows.Missing.objects.create(
        bird_id=park["Thrift"],
        state="escaped",
        recorded_by_id=park.actors.tilda,
        happened_at=datetime(2026, 6, 10, 9, tzinfo=UTC),
    )
    flock = by_name(park)
    assert not flock["Marram"].counted
    assert not flock["Thrift"].counted
    assert flock["Thrift"].whereabouts == "escaped"
    assert roll_of(park.shingle, DAY) == {"avocet": 3, "ruff": 3}
    assert roll_of(park.shingle, DAY + timedelta(days=1)) == {"avocet": 4, "ruff": 3}
    assert by_name(park, date(2026, 6, 9))["Thrift"].whereabouts == ""


def test_a_day_ends_at_the_parks_midnight_and_not_at_greenwich(park: Wendlebrook) -> None:
    rows.SexFinding.objects.create(
        bird_id=park["Dock"],
        sex="M",
        known_by="DNA",
        recorded_by_id=park.actors.tilda,
        happened_at=datetime(2026, 6, 10, 23, 30, tzinfo=UTC),  # half past midnight on the 11th at the park
    )
    assert by_name(park, date(2026, 6, 10))["Dock"].sex == "U"
    assert by_name(park, date(2026, 6, 11))["Dock"].sex == "M"


def test_a_number_is_found_however_it_is_spaced(park: Wendlebrook) -> None:
    assert bird_of_engraving("wb20417") == ((park["Samphire"], park.metals["Samphire"]),)
