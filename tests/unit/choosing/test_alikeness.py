"""How alike marks read, against enumeration of every reading."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from tarsus.core.choosing.alikeness import alikeness, pair_loss
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import Reader

PALETTE = Palette.of({"red": "#c8102e", "orange": "#f27d00", "blue": "#1b4dbf"})
BIRDS = [
    Marks.of({"left leg": ["metal"], "right leg": ["red", "blue"]}),
    Marks.of({"left leg": ["metal"], "right leg": ["orange", "blue"]}),
    Marks.of({"left leg": ["red", "blue"], "right leg": ["metal"]}),
    Marks.of({"left leg": ["metal"], "right leg": ["blue", "blue"]}),
    Marks.of({"right leg": ["red"]}),
]


def reading_chances(misreading: Misreading, marks: Marks) -> np.ndarray:
    reads = [r for n in range(3) for r in product(misreading.words, repeat=n)]
    pairs = product(reads, reads)
    return np.array(
        [misreading.reading_chance(Reading.of({"left leg": a, "right leg": b}), marks) for a, b in pairs]
    )


def both_ways(swap: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Our table, the exact coefficient and the exact chance of guessing wrong, all by enumeration but the
    first.
    """
    misreading = Misreading.of(Reader(swap=swap, flip=0.05, colour=0.06, overlook=0.02, lost=0.03), PALETTE)
    chances = [reading_chances(misreading, b) for b in BIRDS]
    assert [c.sum() for c in chances] == pytest.approx([1.0] * len(BIRDS), abs=1e-12)
    exact = np.array([[np.sqrt(a * b).sum() for b in chances] for a in chances])
    wrong = np.array([[np.minimum(a, b).sum() / 2 for b in chances] for a in chances])
    return alikeness(misreading, BIRDS, BIRDS), exact, wrong


def test_without_an_exchange_of_sides_the_coefficient_is_exact() -> None:
    table, exact, _ = both_ways(0.0)
    np.testing.assert_allclose(table, exact, rtol=0, atol=1e-12)


def test_with_an_exchange_it_is_never_too_small_and_close() -> None:
    table, exact, wrong = both_ways(0.04)
    assert (table >= exact - 1e-12).all()
    assert (table / 2 >= wrong - 1e-12).all()
    np.testing.assert_allclose(table, exact, rtol=0, atol=0.08)


@pytest.mark.parametrize(
    ("swap", "sureness"), [(0.0, 0.95), (0.04, 0.95), (0.04, 0.6), (0.04, 0.3), (0.1, 0.0)]
)
def test_what_a_reading_of_two_birds_costs_is_never_put_too_low(swap: float, sureness: float) -> None:
    """Against the reject rule reading by reading; the bound is met within a factor where it counts."""
    misreading = Misreading.of(Reader(swap=swap, flip=0.05, colour=0.06, overlook=0.02, lost=0.03), PALETTE)
    chances = [reading_chances(misreading, b) / 2 for b in BIRDS]
    exact = np.array(
        [[np.minimum((1 - sureness) * (a + b), np.minimum(a, b)).sum() for b in chances] for a in chances]
    )
    bound = pair_loss(misreading, BIRDS, BIRDS, sureness)
    assert (bound >= exact - 1e-12).all()
    off = ~np.eye(len(BIRDS), dtype=bool)
    assert (bound[off] <= 13 * exact[off]).all()


def test_a_doubt_that_costs_little_makes_two_birds_cost_less() -> None:
    misreading = Misreading.of(Reader(swap=0.04, flip=0.05, colour=0.06, overlook=0.02, lost=0.03), PALETTE)
    always, doubting = (pair_loss(misreading, BIRDS[:1], BIRDS[1:2], sure) for sure in (0.0, 0.92))
    assert doubting[0, 0] == pytest.approx(0.4 * always[0, 0], rel=1e-12)
    assert always[0, 0] == pytest.approx(alikeness(misreading, BIRDS[:1], BIRDS[1:2])[0, 0] / 2, rel=1e-12)


def test_a_female_reads_as_the_male_whose_marks_are_hers_exchanged() -> None:
    table, _, _ = both_ways(0.04)
    assert table[0, 2] > 0.25  # only an exchange of legs tells of the other
    assert table[0, 2] < table[0, 1]  # red taken for orange is worse still here
    assert table[0, 3] < table[0, 1]  # red is far from blue
