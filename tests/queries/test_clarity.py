"""Who is mistaken for whom, and the words for why."""

from __future__ import annotations

from datetime import date

import pytest

from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN
from tarsus.queries.clarity import clarity_of, difference_in_words, lookalikes_of
from tarsus.queries.colour_sight import colour_sights
from tarsus.queries.flock import flock_of
from tarsus.queries.room import room_of
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

SEDGE = Marks.of({"left tibia": ["metal"], "right tibia": ["yellow", "green"]})


@pytest.mark.parametrize(
    ("other", "words"),
    [
        ({"left tibia": ["metal"], "right tibia": ["yellow", "green"]}, "the same marks"),
        ({"left tibia": ["yellow", "green"], "right tibia": ["metal"]}, "the same, legs swapped"),
        ({"left tibia": ["metal"], "right tibia": ["green", "yellow"]}, "the same, order swapped"),
        ({"left tibia": ["green", "yellow"], "right tibia": ["metal"]}, "legs and order swapped"),
        ({"left tibia": ["metal"], "right tibia": ["yellow", "lime"]}, "lime where it has green"),
        (
            {"left tibia": ["yellow", "lime"], "right tibia": ["metal"]},
            "legs swapped, and lime where it has green",
        ),
        ({"left tibia": ["metal"], "right tibia": ["yellow"]}, "the same without green"),
        ({"left tibia": ["metal"], "right tibia": ["yellow", "green", "red"]}, "the same and red"),
        ({"left tibia": ["metal"], "right tibia": ["red", "blue"]}, "several bands apart"),
    ],
)
def test_what_makes_two_birds_alike_is_said_from_the_first(other: dict[str, list[str]], words: str) -> None:
    assert difference_in_words(SEDGE, Marks.of(other)) == words


def test_the_difference_is_told_the_other_way_round_from_the_other_bird() -> None:
    kelp = Marks.of({"left tibia": ["metal"], "right tibia": ["yellow", "lime"]})
    assert difference_in_words(SEDGE, kelp) == "lime where it has green"
    assert difference_in_words(kelp, SEDGE) == "green where it has lime"


@pytest.mark.django_db
def test_the_worst_pairs_lead_and_their_share_is_said(park: Wendlebrook) -> None:
    avocets = [bird for bird in flock_of(park.shingle, DAY) if bird.lookalike == "avocet"]
    clarity = clarity_of(avocets, DAY, most=2)
    assert clarity is not None
    first, second = clarity.worst
    assert {first.one.name, first.other.name} == {"Samphire", "Kelp"}
    assert first.why == "the same, legs swapped"
    assert first.chance > second.chance > 0
    assert 0.5 < clarity.share_of_worst <= 1.0
    at = {name: i for i, name in enumerate(clarity.names)}
    # Exchanged sides are far commoner than a band taken for another, and a turned order lies between.
    confused = clarity.confused[at["Samphire"]]
    assert confused[at["Kelp"]] > confused[at["Sedge"]] > confused[at["Thrift"]]


@pytest.mark.django_db
def test_a_bird_told_by_natural_marks_has_no_lookalikes_by_bands(park: Wendlebrook) -> None:
    rows.Band.objects.filter(bird_id=park["Thrift"]).update(to_on=date(2026, 5, 1), why_off="other")
    avocets = [bird for bird in flock_of(park.shingle, DAY) if bird.lookalike == "avocet"]
    assert lookalikes_of(park["Thrift"], avocets, DAY) == ()
    assert clarity_of([bird for bird in avocets if bird.name == "Thrift"], DAY) is None


@pytest.mark.django_db
def test_room_is_asked_of_the_rule_and_of_the_colours_held(park: Wendlebrook) -> None:
    avocets = tuple(bird for bird in flock_of(park.shingle, DAY) if bird.lookalike == "avocet")
    assert room_of(avocets, DAY) is None, "without a rule nothing can be said of room"
    rows.Rule.objects.create(
        species_id=park.avocet,
        from_on=date(2026, 1, 1),
        metal={"F": "left tibia", "M": "right tibia", "U": None},
        colours={"F": {"right tibia": 2}, "M": {"left tibia": 2}},
        recorded_by_id=park.actors.maren,
    )
    rows.Colour.objects.exclude(name__in=["yellow", "green", "red", "white", "blue"]).update(held=False)
    few = room_of(avocets, DAY)
    assert few is not None
    assert set(few.held) == {"yellow", "green", "red", "white", "blue"}
    assert {worth.colour for worth in few.to_order} == set(BUILT_IN.names) - set(few.held)
    # Five colours on two bands: 5 words two apart (a Latin square's rows), 25 in all; Singleton bounds both.
    assert few.told_apart == (
        "With five colours and two bands, 5 birds can be told apart;"
        " one misread band is noticed, not put right.",
        "With five colours and two bands, 25 birds can be told apart when every band is read right.",
    )
    rows.Colour.objects.update(held=True)
    all_held = room_of(avocets, DAY)
    assert all_held is not None
    assert all_held.by_sex[0].birds > few.by_sex[0].birds
    assert all_held.to_order == ()


def test_red_and_green_draw_together_for_red_blind_eyes_and_not_for_usual_ones() -> None:
    usual, red_blind, green_blind, blue_blind = colour_sights(BUILT_IN)
    at = {name: i for i, name in enumerate(usual.names)}
    red_green = tuple(sorted((at["red"], at["green"])))
    assert usual.together == ()
    assert red_green in red_blind.together
    assert red_green in green_blind.together
    assert red_green not in blue_blind.together
