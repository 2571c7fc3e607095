"""A bird in the hand: all of it is written, or none."""

from __future__ import annotations

from typing import Any

import pytest

from phones import Phone
from tarsus.queries.marks import bands_of, marks_on
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


def worn(park: Wendlebrook, bird: str) -> dict[str, int]:
    return {band.word: band.band_id for band in bands_of([park[bird]], DAY)[park[bird]]}


def in_hand(park: Wendlebrook, phone: Phone, **keys: Any) -> dict[str, Any]:
    bands = worn(park, "Thrift")
    told = {
        "bird": park["Thrift"],
        "engraving_read": "WB 20420",
        "why": "catch-up",
        "weight_g": 291.5,
        "fed": False,
        "scale": "hand scale",
        "nails": "cut",
        "bands": [
            {"band": bands["metal"], "conditions": ["good"]},
            {"band": bands["red"], "conditions": ["worn", "faded"]},
        ],
        "taken_off": [{"band": bands["red"], "why": "replaced"}],
        "put_on": [{"site": "right tibia", "kind": "colour", "colour": "pink", "place": 0}],
        "sample": {"sample": "feather", "label": "S-31"},
        "read_before": {"left tibia": ["metal"], "right tibia": ["orange", "white"]},
        "release": "seen standing and walking",
        "walked_well": True,
        "note": "left foot warm",
        "tell_vet": True,
    }
    return phone.fact("handling", **{**told, **keys})


def test_one_handling_writes_all_that_was_done(tilda: Phone, park: Wendlebrook) -> None:
    fact = in_hand(park, tilda)
    metal = worn(park, "Thrift")["metal"]
    assert tilda.send(fact) == ["written"]
    assert tilda.send(fact) == ["known"]
    assert marks_on(park["Thrift"], DAY).at("right tibia") == ("pink", "white")
    weighing = rows.Weighing.objects.get()
    assert (weighing.weight_g, weighing.fed, weighing.where) == (291.5, False, "in hand")
    assert sorted(rows.BandCheck.objects.values_list("condition", flat=True)) == ["faded", "good", "worn"]
    assert rows.SexTest.objects.get().band_id == metal
    confirmed = rows.ConfirmedReading.objects.get()
    assert confirmed.read["right tibia"] == ["orange", "white"]
    assert confirmed.worn["right tibia"] == ["red", "white"]
    case = rows.Case.objects.get()
    assert (case.about, list(case.birds.values_list("pk", flat=True))) == ("left foot warm", [park["Thrift"]])


def test_a_wrong_bird_is_noticed_before_anything_is_written(tilda: Phone, park: Wendlebrook) -> None:
    (told,) = tilda.send(in_hand(park, tilda, engraving_read="wb 20419"))
    assert told == "engraving_read: wb 20419 is Sedge's; look which bird this is before going on"
    (told,) = tilda.send(in_hand(park, tilda, engraving_read="WB 99999"))
    assert told == "engraving_read: WB 99999 is not Thrift's; look which bird this is before going on"
    assert not rows.Handling.objects.exists()
    assert not rows.Weighing.objects.exists()


def test_a_bird_whose_number_nobody_wrote_down_may_be_in_hand(tilda: Phone, park: Wendlebrook) -> None:
    told = tilda.fact("handling", bird=park["Dock"], why="found weak", engraving_read="77 A")
    assert tilda.send(told) == ["written"]


@pytest.mark.parametrize(
    ("keys", "sentence"),
    [
        ({"weight_g": -3}, "weight_g: -3 is out of range"),
        ({"why": "  "}, "why: is empty"),
        (
            {"put_on": [{"site": "right tibia", "kind": "colour", "colour": "tael"}]},
            "colour: 'tael' is no colour",
        ),
        (
            {"put_on": [{"site": "left leg", "kind": "metal", "engraving": "WB 31001", "series": "WB"}]},
            "engraving: WB 31001 is Teasel's",
        ),
        ({"bands": [{"band": 1, "conditions": ["good"]}]}, "bands: band 1 is Samphire's"),
        ({"taken_off": [{"band": 1, "why": "lost"}]}, "taken_off: band 1 is Samphire's"),
        ({"bands": [{"band": "x", "conditions": []}]}, "bands[0].band: "),
        ({"sample": {"sample": "bone", "label": "1"}}, "sample: 'bone' is no sample"),
    ],
)
def test_a_handling_with_one_thing_wrong_writes_nothing_of_it(
    tilda: Phone, park: Wendlebrook, keys: dict[str, Any], sentence: str
) -> None:
    assert park.metals["Samphire"] == rows.Band.objects.order_by("pk")[0].pk
    first = rows.Band.objects.order_by("pk")[0].pk
    for told in (*keys.get("bands", ()), *keys.get("taken_off", ())):
        told["band"] = first if told["band"] == 1 else told["band"]
    (told,) = tilda.send(in_hand(park, tilda, **keys))
    assert told.startswith(sentence.replace("band 1 ", f"band {first} "))
    for table in (rows.Handling, rows.Weighing, rows.BandCheck, rows.SexTest, rows.Case):
        assert not table.objects.exists()
    assert marks_on(park["Thrift"], DAY).at("right tibia") == ("red", "white")


def test_marks_kept_at_the_desk_count_as_fitted_when_they_are_worn(tilda: Phone, park: Wendlebrook) -> None:
    rows.PlannedMarks.objects.create(
        bird_id=park["Thrift"],
        marks={"left tibia": ["metal"], "right tibia": ["pink", "white"]},
        planned_by_id=park.actors.maren,
    )
    tilda.send(tilda.fact("handling", bird=park["Thrift"], why="weighing"))
    assert rows.PlannedMarks.objects.get().fitted_at is None
    tilda.send(in_hand(park, tilda))
    assert rows.PlannedMarks.objects.get().fitted_at is not None
