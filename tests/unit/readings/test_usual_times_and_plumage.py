"""The hour of a sighting and the plumage of a bird move the prior, and never settle who it is."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from published_checks import published
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.places import AS_ANYBODY
from tarsus.core.readings.plumage import looks_young, plumage_factors
from tarsus.core.readings.reader import TRAINED
from tarsus.core.readings.times_of_day import part_of_day, time_factors

TIMES, PLUMAGE = published("time_cases"), published("plumage_cases")
READS = Misreading.of(TRAINED, BUILT_IN)


@pytest.mark.parametrize("case", TIMES["cases"], ids=lambda case: case["name"])
def test_an_hour_weighs_as_worked_by_hand(case: dict[str, Any]) -> None:
    for found, factors in zip(time_factors(case["seen"]), case["factors"], strict=True):
        assert found == pytest.approx(factors, rel=1e-12, abs=0)


def test_a_day_has_its_parts() -> None:
    assert {hour: part_of_day(int(hour)) for hour in TIMES["parts"]} == TIMES["parts"]


def test_no_bird_is_ruled_out_by_an_hour() -> None:
    factors = time_factors([{"morning": 10_000}] * 30 + [{"evening": 10_000}])
    assert min(factors[0].values()) > AS_ANYBODY
    assert factors[-1]["evening"] > 20


@pytest.mark.parametrize("case", PLUMAGE["ages"])
def test_a_bird_looks_young_by_its_age(case: dict[str, Any]) -> None:
    found = looks_young(case["age"], case["grown_at"])
    assert found == (case["young"] if case["young"] is None else pytest.approx(case["young"], abs=1e-12))


@pytest.mark.parametrize("case", PLUMAGE["cases"], ids=lambda case: case["name"])
def test_a_plumage_weighs_as_worked_by_hand(case: dict[str, Any]) -> None:
    assert plumage_factors(case["young"], case["told"]) == pytest.approx(case["factors"], abs=1e-12)


def test_of_two_that_wear_the_same_the_one_that_looks_so_is_likelier_and_a_stranger_as_before() -> None:
    marks = Marks.of({"left leg": ["metal"], "right leg": ["red", "blue"]})
    flock = Flock([Bird("chick", marks, young=0.95), Bird("old", marks, young=0.05)], READS, strangers=0.01)
    plain = Reading.of(marks.as_mapping())
    before, young = (
        flock.posterior(plain),
        flock.posterior(Reading.of({**plain.as_mapping(), "plumage": "young"})),
    )
    grown = flock.posterior(Reading.of({**plain.as_mapping(), "plumage": "grown", "swap": 0.02}))
    assert young.birds[0] / young.birds[1] == pytest.approx(19.0)
    assert grown.birds[1] > grown.birds[0]
    assert young.none_of_these == pytest.approx(before.none_of_these, rel=1e-12)


def test_a_plumage_of_birds_whose_age_nobody_knows_changes_nothing() -> None:
    marks = [Marks.of({"left leg": ["metal"], "right leg": [top, "blue"]}) for top in ("red", "orange")]
    flock = Flock([Bird(str(at), each) for at, each in enumerate(marks)], READS)
    for told in ({"right leg": ["red", "?"]}, {"right leg": ["*"], "swap": 0.5}):
        plain, seen = (flock.posterior(Reading.of(one)) for one in (told, {**told, "plumage": "young"}))
        np.testing.assert_array_equal(seen.both_ways, plain.both_ways)


def test_plumage_told_rightly_helps_and_a_flock_of_one_age_loses_nothing() -> None:
    rng = np.random.default_rng(4)
    tops, marks = ("red", "orange", "yellow", "lime"), []
    for at in range(16):
        marks.append(Marks.of({"left leg": ["metal"], "right leg": [tops[at % 4], tops[at // 4]]}))
    young = [0.95 if at % 2 else 0.05 for at in range(16)]
    flock = Flock([Bird(str(at), each, young=young[at]) for at, each in enumerate(marks)], READS)
    gain = 0.0
    for _ in range(400):
        at = int(rng.integers(16))
        told = {"right leg": ["?", marks[at].at("right leg")[1]]}
        said = "young" if rng.random() < young[at] else "grown"
        without, seen = (flock.posterior(Reading.of(one)) for one in (told, {**told, "plumage": said}))
        gain += float(np.log(seen.birds[at] / without.birds[at]))
    # Told rightly 19 times in 20 of two ages, it is worth ln 2 less what is unsure of it.
    assert gain / 400 == pytest.approx(np.log(2) + 0.95 * np.log(0.95) + 0.05 * np.log(0.05), abs=0.1)
