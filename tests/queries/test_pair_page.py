"""Two look-alikes of a flock side by side."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from tarsus.core.marks.marks import Marks
from tarsus.core.words.certainty import either_said, pair_said
from tarsus.queries.clarity import clarity_of, taken_for
from tarsus.queries.flock import flock_of
from tarsus.queries.flock_page import NoSuchFlock
from tarsus.queries.pair_page import EYES, NoSuchPair, pair_page
from wendlebrook import DAY, Wendlebrook

NOW = datetime(2026, 6, 11, 12, 0, tzinfo=UTC)
pytestmark = pytest.mark.django_db


def test_a_pair_is_told_as_often_as_the_map_of_its_flock_has_it(park: Wendlebrook) -> None:
    clarity = clarity_of([bird for bird in flock_of(park.shingle, DAY) if bird.lookalike == "avocet"], DAY)
    assert clarity is not None
    at = {name: i for i, name in enumerate(clarity.names)}
    there = clarity.confused[at["Samphire"]][at["Kelp"]]
    back = clarity.confused[at["Kelp"]][at["Samphire"]]
    page = pair_page(park.shingle, "avocet", park["Samphire"], park["Kelp"], NOW)
    assert page.says == pair_said("Samphire", "Kelp", (there, back))
    assert (page.one.name, page.other.name, page.why) == ("Samphire", "Kelp", "the same, legs swapped")
    assert page.thought_of == ()


def test_marks_that_are_proposed_are_drawn_and_weighed_in_place_of_those_worn(park: Wendlebrook) -> None:
    worn = pair_page(park.shingle, "avocet", park["Samphire"], park["Kelp"], NOW)
    other = Marks.of({"left tibia": ["metal"], "right tibia": ["black", "white"]})
    page = pair_page(park.shingle, "avocet", park["Samphire"], park["Kelp"], NOW, {park["Samphire"]: other})
    assert page.one.marks == other.as_mapping()
    assert page.other.marks == worn.other.marks
    assert page.thought_of == ("Samphire",)
    assert page.says != worn.says
    assert page.why != worn.why


def test_each_kind_of_eyes_has_its_own_chance(park: Wendlebrook) -> None:
    birds = [bird for bird in flock_of(park.shingle, DAY) if bird.lookalike == "avocet"]
    page = pair_page(park.shingle, "avocet", park["Samphire"], park["Kelp"], NOW)
    usual = taken_for(birds, DAY, park["Samphire"], park["Kelp"])
    assert usual is not None
    assert page.by_eyes["usual"] == either_said(usual)
    assert list(page.by_eyes) == ["usual", "protan", "deutan", "tritan"]
    # Green and blue: eyes without blue cones take the one for the other far more often than usual ones.
    marks = {"left tibia": ["metal"], "right tibia": ["white", "blue"]}
    like = {
        park["Samphire"]: Marks.of(marks),
        park["Kelp"]: Marks.of(marks | {"right tibia": ["white", "green"]}),
    }
    usual, tritan = (
        taken_for(birds, DAY, park["Samphire"], park["Kelp"], like, EYES[eyes])
        for eyes in ("usual", "tritan")
    )
    assert usual is not None
    assert tritan is not None
    assert sum(tritan) > 2 * sum(usual)
    assert either_said((0.01, 0.03)) == "About 1 reading in 50 names the other."


def test_only_two_birds_of_the_flock_make_a_pair(park: Wendlebrook) -> None:
    with pytest.raises(NoSuchPair):
        pair_page(park.shingle, "avocet", park["Samphire"], park["Samphire"], NOW)
    ruff = next(bird.bird_id for bird in flock_of(park.shingle, DAY) if bird.lookalike == "ruff")
    with pytest.raises(NoSuchPair):
        pair_page(park.shingle, "avocet", park["Samphire"], ruff, NOW)
    with pytest.raises(NoSuchFlock):
        pair_page(park.shingle, "kea", park["Samphire"], park["Kelp"], NOW)


def test_how_often_a_pair_is_mistaken_is_said_each_way() -> None:
    assert pair_said("Chert", "Sedge", (1 / 45, 1 / 50)) == (
        "About 1 reading in 45 of Chert names Sedge, about 1 reading in 50 of Sedge names Chert."
    )
    assert pair_said("Chert", "Sedge", (0.02, 0.02)) == "About 1 reading in 50 of either names the other."
    assert "nothing to mistake" in pair_said("Chert", "Sedge", None)
