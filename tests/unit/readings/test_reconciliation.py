"""Readings weighed together, against enumeration, a matching routine and permanents."""

from __future__ import annotations

import itertools
import json
import math
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from tarsus.core.errors import ImpossibleReading
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import Reader
from tarsus.core.readings.reconciliation import GroupOfReadings, reconciled
from tarsus.core.readings.reconciliation_in_states import reconciled_in_states
from tarsus.core.readings.reconciliation_of_readings import SeenInView, reconciled_readings

# Expected figures: enumeration in rational arithmetic, benchmarks/make_reconciliation_cases.py.
PUBLISHED = json.loads((Path(__file__).parents[2] / "published" / "reconciliation_cases.json").read_text())
CASES = PUBLISHED["cases"]
EXACT = {"rtol": 0.0, "atol": 1e-9}


@pytest.fixture
def rng():
    return np.random.default_rng(20260611)


@pytest.mark.parametrize("case", PUBLISHED["of_readings"], ids=lambda case: case["name"])
def test_open_ends_and_unsure_sides_are_weighed_together_as_enumerated(case):
    told = case["reader"]
    palette = Palette.of(dict.fromkeys(told["confusion"], "#808080"))
    reader = Reader(told["swap"], told["flip"], 0.0, told["overlook"], told["lost"], told["confusion"])
    birds = [Bird(str(bird["id"]), Marks.of(bird["marks"])) for bird in case["birds"]]
    groups = [[SeenInView(Reading.of(one)) for one in group["readings"]] for group in case["groups"]]
    found = reconciled_readings(birds, Misreading.of(reader, palette), groups, strangers=0.0)
    np.testing.assert_allclose(found.seen, case["seen"], **EXACT)
    for answer, expected in zip(found.groups, case["groups"], strict=True):
        np.testing.assert_allclose(answer.chances, expected["chances"], **EXACT)


def group(weights, strangers=0.0):
    weights = np.array(weights, dtype=float)
    return GroupOfReadings(weights, np.broadcast_to(np.array(strangers, dtype=float), len(weights)).copy())


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_chances_are_those_of_listing_every_pairing(case):
    groups = [group(one["weights"], one["strangers"]) for one in case["groups"]]
    found = reconciled(groups, case["birds"])
    assert found.method == "exact"
    np.testing.assert_allclose(found.seen, case["seen"], **EXACT)
    for one, told in zip(case["groups"], found.groups, strict=True):
        np.testing.assert_allclose(told.chances, one["chances"], **EXACT)
        np.testing.assert_allclose(told.stranger, one["stranger"], **EXACT)


@pytest.mark.parametrize("case", PUBLISHED["in_states"], ids=lambda case: case["name"])
def test_a_round_in_a_light_that_nobody_knows_is_as_listed_state_by_state(case):
    count = len(case["prior"])
    states = [
        [group(one["in_states"][s]["weights"], one["in_states"][s]["strangers"]) for one in case["groups"]]
        for s in range(count)
    ]
    found = reconciled_in_states(states, np.array(case["prior"]), case["birds"])
    assert found.round.method == "exact"
    np.testing.assert_allclose(found.states, case["states"], **EXACT)
    np.testing.assert_allclose(found.round.seen, case["seen"], **EXACT)
    for told, one in zip(found.round.groups, case["groups"], strict=True):
        np.testing.assert_allclose(told.chances, one["chances"], **EXACT)
        np.testing.assert_allclose(told.stranger, one["stranger"], **EXACT)


def test_one_state_alone_is_the_round_as_it_was_weighed_without_any():
    for case in CASES:
        groups = [group(one["weights"], one["strangers"]) for one in case["groups"]]
        plain, found = (
            reconciled(groups, case["birds"]),
            reconciled_in_states([groups], np.ones(1), case["birds"]),
        )
        np.testing.assert_allclose(found.round.seen, plain.seen, **EXACT)
        np.testing.assert_allclose(found.round.groups[0].chances, plain.groups[0].chances, **EXACT)


def test_a_group_too_large_for_exact_sums_still_tells_the_state(rng):
    rows = rng.random((6, 8)) + 0.05
    states = [[group(rows, 0.01)], [group(rows * 0.2, 0.002)]]
    found = reconciled_in_states(states, np.array([0.5, 0.5]), 8, most_cells=0)
    assert found.round.method == "approximate"
    likelier, other = (0.8 * told + 0.2 * (0.5 + 0.5 * 0.2**6) for told in (1.0, 0.2**6))
    assert found.states[0] == pytest.approx(likelier / (likelier + other), rel=0, abs=1e-12)
    plain = reconciled(states[0], 8, 0)
    np.testing.assert_allclose(found.round.groups[0].chances, plain.groups[0].chances, rtol=0, atol=1e-6)


def test_readings_that_no_state_allows_are_refused_with_their_group():
    clear = group([[1.0, 0.0]])
    impossible = group([[1.0, 0.0], [1.0, 0.0]])
    with pytest.raises(ImpossibleReading, match=r"groups\[1\]"):
        reconciled_in_states([[clear, impossible], [clear, impossible]], np.array([0.5, 0.5]), 2)


def test_a_sure_reading_of_one_sister_leaves_the_part_reading_to_the_other():
    part, sure = [0.4, 0.4, 0.001], [0.9, 0.001, 0.002]
    together = reconciled([group([part, sure], 1e-6)], 3)
    apart = reconciled([group([part], 1e-6), group([sure], 1e-6)], 3)
    assert together.groups[0].chances[0, 1] > 0.99
    assert apart.groups[0].chances[0, 1] == pytest.approx(0.5, abs=0.01)
    assert together.seen[1] > 0.99 > apart.seen[1]


def test_an_empty_reading_only_takes_up_one_bird_of_its_group():
    sure = [1.0, 0.0, 0.0, 0.0]
    found = reconciled([group([sure, [0.25] * 4])], 4)
    np.testing.assert_allclose(found.seen, [1, 1 / 3, 1 / 3, 1 / 3], **EXACT)


def test_only_how_many_readings_are_empty_matters():
    birds, empty = 7, 4
    found = reconciled([group(np.full((empty, birds), 1 / birds))], birds)
    np.testing.assert_allclose(found.seen, empty / birds, **EXACT)


def test_one_perfect_matching_is_the_one_a_general_assignment_routine_finds(rng):
    """Against scipy.optimize.linear_sum_assignment, a general-purpose routine."""
    for _ in range(20):
        size = 12
        # A hidden order, and only birds later in it are possible besides: one perfect matching exists.
        weights = np.triu(rng.random((size, size)) * 0.99 + 0.01)
        weights = weights[rng.permutation(size)][:, rng.permutation(size)]
        with np.errstate(divide="ignore"):
            cost = -np.log(weights)
        cost[np.isinf(cost)] = 1e6
        rows, columns = linear_sum_assignment(cost)
        found = reconciled([group(weights)], size).groups[0].chances
        expected = np.zeros((size, size))
        expected[rows, columns] = 1.0
        np.testing.assert_allclose(found, expected, **EXACT)


def test_chances_are_ratios_of_permanents(rng):
    """P(r is b) = w_rb perm(minor) / perm(W); permanents by Ryser's formula (1963), another algorithm."""
    weights = rng.random((6, 6)) ** 3 + 1e-4
    found = reconciled([group(weights)], 6).groups[0].chances
    whole = permanent(weights)
    for r, b in itertools.product(range(6), range(6)):
        minor = np.delete(np.delete(weights, r, 0), b, 1)
        assert found[r, b] == pytest.approx(weights[r, b] * permanent(minor) / whole, abs=1e-12)


def permanent(matrix):
    size = len(matrix)
    total = 0.0
    for k in range(1, size + 1):
        for columns in itertools.combinations(range(size), k):
            total += (-1) ** (size - k) * math.prod(matrix[:, columns].sum(axis=1))
    return total


def test_what_is_dropped_before_an_exact_sum_moves_no_chance(rng):
    weights = 10.0 ** (-30 * rng.random((5, 7)))
    strangers = 10.0 ** (-12 * rng.random(5))
    whole = reconciled([group(weights, strangers)], 7, most_cells=10**9)
    pair, none = listed(weights, strangers)
    np.testing.assert_allclose(whole.groups[0].chances, pair, **EXACT)
    np.testing.assert_allclose(whole.groups[0].stranger, none, **EXACT)


def listed(weights, strangers):
    readings, birds = weights.shape
    pair, none = np.zeros((readings, birds)), np.zeros(readings)
    for k in range(readings + 1):
        for some in itertools.combinations(range(readings), k):
            rest = [r for r in range(readings) if r not in some]
            for chosen in itertools.permutations(range(birds), k):
                weight = math.prod(strangers[rest]) * math.prod(weights[list(some), list(chosen)])
                none[rest] += weight
                pair[list(some), list(chosen)] += weight
    whole = pair.sum(axis=1) + none
    return pair / whole[:, None], none / whole


def test_more_readings_than_birds_are_refused_when_nobody_can_be_a_stranger():
    with pytest.raises(ImpossibleReading, match=r"groups\[1\]"):
        reconciled([group([[1.0, 1.0]]), group([[1.0, 0.5], [0.4, 1.0], [1.0, 1.0]])], 2)
    with pytest.raises(ImpossibleReading, match=r"groups\[0\]"):
        reconciled([group([[1.0, 0.0], [1.0, 0.0]])], 2)
    with pytest.raises(ImpossibleReading, match=r"groups\[0\]\[1\]"):
        reconciled([group([[1.0, 0.0], [0.0, 0.0]])], 2)


def test_a_large_round_is_approximated_says_so_and_is_the_same_every_time(rng):
    weights = 10.0 ** (-8 * rng.random((120, 150)) ** 0.3)
    first = reconciled([group(weights, 1e-6)], 150)
    again = reconciled([group(weights, 1e-6)], 150)
    assert first.method == "approximate"
    np.testing.assert_array_equal(first.seen, again.seen)
    told = first.groups[0]
    np.testing.assert_allclose(told.chances.sum(axis=1) + told.stranger, 1.0, rtol=0.0, atol=5e-3)


def test_the_approximation_stays_near_the_exact_sums(rng):
    """The error bound stands in docs/science/reconciliation.md; here the seeds are fixed."""
    for _ in range(5):
        weights = 10.0 ** (-6 * rng.random((10, 14)) ** 0.5)
        strangers = np.full(10, 1e-5)
        exact = reconciled([group(weights, strangers)], 14)
        near = reconciled([group(weights, strangers)], 14, most_cells=0)
        assert (exact.method, near.method) == ("exact", "approximate")
        np.testing.assert_allclose(near.groups[0].chances, exact.groups[0].chances, rtol=0.0, atol=0.02)


def test_a_round_without_readings_has_seen_nobody():
    found = reconciled([group(np.zeros((0, 3)))], 3)
    np.testing.assert_array_equal(found.seen, 0.0)
