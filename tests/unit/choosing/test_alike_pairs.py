"""Which birds are too alike, against the sum over every reading."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from tarsus.core.choosing.alike_pairs import alike_marks
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import Reader

PALETTE = Palette.of({"red": "#c8102e", "orange": "#f27d00", "blue": "#1b4dbf"})
ONE_WAY = {"red": {"orange": 0.2}}
WORN = [
    Marks.of({"left leg": ["metal"], "right leg": ["red", "blue"]}),
    Marks.of({"left leg": ["metal"], "right leg": ["orange", "blue"]}),
    Marks.of({"left leg": ["red", "blue"], "right leg": ["metal"]}),
    Marks.of({"left leg": ["metal"], "right leg": ["blue", "blue"]}),
    Marks.of({"left leg": ["metal"], "right leg": ["red", "blue"]}),
]
EVERY = [
    Reading.of({"left leg": left, "right leg": right})
    for left, right in product(
        [r for n in range(3) for r in product(("metal", *PALETTE.names), repeat=n)], repeat=2
    )
]


@pytest.mark.parametrize("sureness", [0.6, 0.95])
def test_the_cost_of_two_birds_is_the_sum_over_every_reading_of_what_is_less(sureness: float) -> None:
    reader = Misreading.of(Reader(0.03, 0.05, 0.06, 0.02, 0.03, confusion=ONE_WAY), PALETTE)
    chances = [np.array([reader.reading_chance(reading, marks) for reading in EVERY]) for marks in WORN]
    found = {(pair.one, pair.other): pair.cost for pair in alike_marks(reader, WORN, 0.005, sureness)}
    for one, a in enumerate(chances):
        for other, b in enumerate(chances[:one]):
            cost = np.minimum((1 - sureness) * (a + b), np.minimum(a, b)).sum() / 2
            assert ((other, one) in found) == (cost > 0.005)
            assert found.get((other, one), cost) == pytest.approx(cost, abs=1e-9)


def test_a_confusion_that_goes_one_way_only_is_found_whichever_bird_comes_first() -> None:
    reader = Misreading.of(Reader(0.0, 0.0, 0.0, 0.0, 0.0, confusion=ONE_WAY), PALETTE)
    # Where only red is taken for orange, one reading in two of the two wearers' orange is in doubt.
    cost = 0.05 * (0.2 + 1.0) / 2
    for birds in (WORN[:2], WORN[1::-1]):
        (pair,) = alike_marks(reader, birds, 0.01)
        assert (pair.cost, pair.same) == (pytest.approx(cost), False)


def test_equal_marks_are_told_whatever_a_park_accepts_and_the_costliest_come_first() -> None:
    reader = Misreading.of(Reader(0.03, 0.0, 0.01, 0.0, 0.0), PALETTE)
    assert [(pair.one, pair.other) for pair in alike_marks(reader, WORN, 0.4)] == [(0, 4)]
    costs = [pair.cost for pair in alike_marks(reader, WORN, 0.001)]
    assert len(costs) > 1
    assert costs == sorted(costs, reverse=True)
