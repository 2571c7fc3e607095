"""In which order to look for missing birds: the soonest found, walking counted."""

from __future__ import annotations

import random
from math import hypot
from typing import Any

import pytest

from published_checks import published
from tarsus.core.presence.search_order import search_order, waiting
from tarsus.core.presence.search_walk import Ground, Missing, Pin, Step, search_walk
from tarsus.core.words.plan import walk_told

ORDERS = published("search_order_cases")["cases"]
WALKS = published("search_walk_cases")["cases"]


@pytest.mark.parametrize("case", ORDERS, ids=lambda case: case["name"])
def test_the_order_is_the_best_of_all_orders(case: dict[str, Any]) -> None:
    order = search_order(case["found"], case["minutes"], case["walk"])
    assert list(order) == case["order"]
    asked = waiting(order, case["found"], case["minutes"], case["walk"])
    assert asked == pytest.approx(case["cost"], rel=1e-12, abs=0)


@pytest.mark.parametrize("case", ORDERS, ids=lambda case: case["name"])
def test_the_heuristic_finds_the_best_order_of_the_small_cases_too(case: dict[str, Any]) -> None:
    order = search_order(case["found"], case["minutes"], case["walk"], exact_up_to=-1)
    asked = waiting(order, case["found"], case["minutes"], case["walk"])
    assert asked == pytest.approx(case["cost"], rel=1e-9, abs=0)


def test_without_walking_it_is_the_order_by_found_a_minute() -> None:
    # W. E. Smith, Various optimizers for single-stage production, Naval Research Logistics Quarterly 3 (1956)
    # 59-66: jobs by weight over time. L. D. Stone, Theory of Optimal Search (1975): by chance over effort.
    chance = random.Random(3)
    found = [chance.uniform(0.01, 1) for _ in range(12)]
    minutes = [chance.uniform(1, 9) for _ in found]
    by_rate = sorted(range(12), key=lambda place: -found[place] / minutes[place])
    still = [[0.0] * 12] * 13
    assert list(search_order(found, minutes, still)) == by_rate
    assert list(search_order(found[:7], minutes[:7], still)) == [place for place in by_rate if place < 7]


def test_above_eight_places_the_heuristic_stays_within_three_per_cent_of_the_best() -> None:
    chance = random.Random(11)
    over = []
    for _ in range(12):
        at = [(chance.random() * 200, chance.random() * 200) for _ in range(9)]
        walk = [[hypot(a[0] - b[0], a[1] - b[1]) / 40 for b in at] for a in [*at, (0.0, 0.0)]]
        found, minutes = [chance.uniform(0.02, 0.9) for _ in at], [chance.uniform(1, 6) for _ in at]
        exact = waiting(search_order(found, minutes, walk, exact_up_to=9), found, minutes, walk)
        quick = waiting(search_order(found, minutes, walk), found, minutes, walk)
        over.append(quick / exact - 1)
    assert min(over) > -1e-12
    assert max(over) < 0.03


def _walk(case: dict[str, Any]) -> tuple[Step, ...]:
    missing = [
        Missing(one["bird"], one["found"], {int(place): share for place, share in one["places"].items()})
        for one in case["missing"]
    ]
    entrance = case["ground"]["entrance"]
    ground = Ground(**{**case["ground"], "entrance": tuple(entrance) if entrance else None})
    return search_walk([Pin(**pin) for pin in case["pins"]], ground, missing)


@pytest.mark.parametrize("case", WALKS, ids=lambda case: case["name"])
def test_the_walk_is_as_worked_by_hand(case: dict[str, Any]) -> None:
    steps = _walk(case)
    assert [step.place for step in steps] == [step["place"] for step in case["steps"]]
    for step, told in zip(steps, case["steps"], strict=True):
        assert [list(one) for one in step.likely] == told["likely"]
        assert (step.minutes, step.by, step.expected) == pytest.approx(
            (told["minutes"], told["by"], told["expected"]), rel=1e-12, abs=0
        )


@pytest.mark.parametrize("case", WALKS, ids=lambda case: case["name"])
def test_the_walk_says_how_long_it_is_and_what_it_leaves(case: dict[str, Any]) -> None:
    steps = case["steps"]
    expected = sum(step["expected"] for step in steps)
    assert walk_told(steps[-1]["by"] if steps else 0, expected, case["names"]) == case["says"]


def test_a_bird_hard_to_see_draws_the_walk_less_than_one_that_is_found_where_it_is() -> None:
    pins = [Pin(1, 0.2, 0.2, 3), Pin(2, 0.8, 0.2, 3)]
    ground = Ground(50, 1, 40, (0.5, 0.2))
    shy, bold = Missing(1, 0.2, {1: 1.0}), Missing(2, 0.9, {2: 0.9})
    assert [step.place for step in search_walk(pins, ground, [shy, bold])] == [2, 1]
    assert [step.place for step in search_walk(pins, ground, [Missing(1, 0.9, {1: 1.0}), bold])] == [1, 2]
