"""What a phone takes along to fit: kept marks band by band, the shelf of the species' size, the moult."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from tarsus.actions.bands.fitting import take_off_band
from tarsus.actions.bands.planning import keep_marks
from tarsus.core.care.duties.marking import PLAN_CHANGED
from tarsus.core.care.duty import Duty, Urgency
from tarsus.queries.catch_kits import kit_for
from tarsus.queries.duties import duties_of_bird
from tarsus.queries.flock import birds_everywhere, birds_named
from tarsus.queries.hand_fitting import shelves, to_fit
from tarsus.queries.marks import bands_of
from tarsus.records import models as rows
from wendlebrook import BEGUN, DAY, Wendlebrook

pytestmark = pytest.mark.django_db


def test_kept_marks_travel_as_what_stays_comes_off_and_goes_on(park: Wendlebrook) -> None:
    kept = {"left tibia": ["metal"], "right tibia": ["pink", "white"]}
    keep_marks(bird_id=park["Thrift"], marks=kept, by=park.actors.maren, because="too alike to Sedge")
    worn = {band.word: band.band_id for band in bands_of([park["Thrift"]], DAY)[park["Thrift"]]}
    told = to_fit(birds_everywhere(DAY), {}, DAY)[park["Thrift"]]
    assert told["because"] == "Kept at the marking desk: too alike to Sedge"
    left, right = told["sites"]
    assert left == {"site": "left tibia", "steps": [{"band": worn["metal"], "stays": True}]}
    assert right["steps"] == [
        {"band": worn["red"], "stays": False},
        {"word": "pink", "kinds": ["colour", "cable tie"], "temporary": False},
        {"band": worn["white"], "stays": True},
    ]


def test_kept_marks_of_the_other_sex_are_not_offered_to_be_fitted(park: Wendlebrook) -> None:
    bird = park["Thrift"]
    keep_marks(bird_id=bird, marks={"right tibia": ["metal"], "left tibia": ["pink"]}, by=park.actors.maren)
    now = datetime(2026, 6, 11, 9, tzinfo=UTC)
    metal = {"F": "left tibia", "M": "right tibia"}
    by = park.actors.tilda
    rows.Rule.objects.create(species_id=park.avocet, from_on=BEGUN, metal=metal, recorded_by_id=by)
    due = duties_of_bird(bird, now)
    assert [duty.kind for duty in due if duty.settled_by == PLAN_CHANGED] == ["kept marks of the other sex"]
    birds = birds_named([bird], DAY)
    assert to_fit(birds, {bird: due}, DAY) == {}
    assert kit_for(birds, {bird: due}, DAY).bands == ()


def test_on_a_growing_leg_what_goes_on_is_temporary_and_a_temporary_band_stays(park: Wendlebrook) -> None:
    bird = rows.Bird.objects.get(pk=park["Dock"])
    bird.hatched_on = date(2026, 5, 12)
    bird.save(update_fields=["hatched_on"])
    rows.Band.objects.filter(bird=bird).update(taken_back_at="2026-06-01T08:00:00Z")
    tie = rows.Band.objects.create(
        bird=bird,
        site="left leg",
        kind="cable tie",
        colour=rows.Colour.objects.get(name="white"),
        temporary=True,
        from_on=date(2026, 5, 20),
        recorded_by_id=park.actors.tilda,
    )
    keep_marks(bird_id=bird.pk, marks={"left leg": ["white"], "right leg": ["red"]}, by=park.actors.maren)
    left, right = to_fit(birds_everywhere(DAY), {}, DAY)[bird.pk]["sites"]
    assert left["steps"] == [{"band": tie.pk, "stays": True}]
    assert right["steps"][0]["temporary"] is True
    grown = to_fit(birds_everywhere(DAY), {}, date(2027, 6, 11))[bird.pk]["sites"]
    assert [step.get("stays", step.get("word")) for step in grown[0]["steps"]] == [False, "white"]


def test_what_came_off_for_the_moult_goes_back_on_after_it(park: Wendlebrook) -> None:
    worn = bands_of([park["Kelp"]], DAY)[park["Kelp"]]
    for band in worn:
        take_off_band(band_id=band.band_id, on=date(2026, 5, 2), why="moult", by=park.actors.maren)
    due = Duty("wing band back on", park["Kelp"], 1, "", "", "", None, Urgency.SOON, "", True, "")
    told = to_fit(birds_everywhere(DAY), {park["Kelp"]: [due]}, DAY)[park["Kelp"]]
    assert told["because"] == "It wore this before the moult"
    marks: dict[str, list[str]] = {}
    for band in worn:
        marks.setdefault(band.site, []).append(band.word)
    assert told["marks"] == marks
    assert park["Kelp"] not in to_fit(birds_everywhere(DAY), {}, DAY)


def test_a_shelf_has_the_size_of_its_species_and_the_numbers_that_were_never_used(park: Wendlebrook) -> None:
    rows.Species.objects.filter(pk=park.avocet).update(band_size="4")
    red = rows.Colour.objects.get(name="red")
    for size in ("4", "7B"):
        rows.Stock.objects.create(kind="colour", colour=red, size=size, amount=5)
    rows.Stock.objects.create(kind="cable tie", colour=red, size="2.5 mm", amount=5)
    rows.MetalSeries.objects.all().delete()
    rows.MetalSeries.objects.create(series="WB", prefix="", first=101, last=103, digits=5, size="4")
    rows.MetalSeries.objects.create(series="WB", prefix="", first=901, last=903, digits=5, size="7B")
    rows.Band.objects.create(
        bird_id=park["Marram"],
        site="left leg",
        kind="metal",
        series="WB",
        engraving="WB 00101",
        engraving_key="WB00101",
        from_on=BEGUN,
        recorded_by_id=park.actors.tilda,
    )
    name = rows.Species.objects.get(pk=park.avocet).name
    shelf = shelves()[name]
    assert [(one["kind"], one["size"]) for one in shelf["bands"]] == [
        ("cable tie", "2.5 mm"),
        ("colour", "4"),
    ]
    assert shelf["runs"] == [{"series": "WB", "size": "4", "numbers": ["WB 00102", "WB 00103"]}]
    other = rows.Species.objects.exclude(pk=park.avocet).first()
    assert other is not None
    assert len(shelves()[other.name]["bands"]) == 3
