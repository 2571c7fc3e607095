"""Tables of sides and sparse rows, against the observer process one reading at a time."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from tarsus.core.choosing.reading_rows import finest_cut, reading_rows
from tarsus.core.choosing.reading_tables import side_tables, site_table
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import Reader

PALETTE = Palette.of({"red": "#c8102e", "orange": "#f27d00", "blue": "#1b4dbf"})
# Only red is taken for orange: a table turned round would show at once.
ASYMMETRIC = Reader(
    swap=0.1, flip=0.2, colour=0.0, overlook=0.05, lost=0.07, confusion={"red": {"orange": 0.3}}
)
EXACT = {"rtol": 0.0, "atol": 1e-13}


@pytest.fixture
def misreading():
    return Misreading.of(ASYMMETRIC, PALETTE)


def test_every_reading_of_a_site_has_the_chance_of_the_observer_process(misreading):
    stacks = [(), ("metal",), ("red", "blue"), ("red", "red", "orange"), ("metal", "blue")]
    table = site_table(misreading, stacks)
    reads = [read for length in range(4) for read in product(misreading.words, repeat=length)]
    expected = [[misreading.site_chance(read, stack) for read in reads] for stack in stacks]
    np.testing.assert_allclose(table, expected, **EXACT)
    np.testing.assert_allclose(table.sum(axis=1), 1.0, **EXACT)


def test_a_red_band_is_read_as_orange_and_never_the_other_way_round(misreading):
    table = site_table(misreading, [("red",), ("orange",)])
    orange = 1 + misreading.words.index("orange")
    red = 1 + misreading.words.index("red")
    assert table[0, orange] > 0.2
    assert table[1, red] == 0.0


def test_rows_hold_every_reading_of_a_bird_and_exchanged_legs_too(misreading):
    bird = Marks.of({"left leg": ["metal"], "right leg": ["red", "blue"]})
    tables = side_tables(misreading, [bird])
    rows = reading_rows(tables, tables.left, tables.right, 0.0)
    assert rows.chance.sum() == pytest.approx(1.0, abs=1e-12)
    reads = [read for length in range(3) for read in product(misreading.words, repeat=length)]
    chances = sorted(
        misreading.reading_chance(Reading.of({"left leg": one, "right leg": other}), bird)
        for one in reads
        for other in reads
    )
    possible = [chance for chance in chances if chance > 0]
    np.testing.assert_allclose(np.sort(rows.chance), possible, **EXACT)


def test_what_a_row_leaves_out_is_counted(misreading):
    bird = Marks.of({"left leg": ["red", "orange"], "right leg": ["red", "blue"]})
    tables = side_tables(misreading, [bird])
    whole = reading_rows(tables, tables.left, tables.right, 0.0)
    cut = reading_rows(tables, tables.left, tables.right, 1e-3)
    assert 0 < len(cut.reading) < len(whole.reading)
    assert cut.chance.min() > 1e-3
    assert cut.left_out[0] == pytest.approx(whole.chance[whole.chance <= 1e-3].sum(), abs=1e-12)


def test_the_finest_cut_keeps_to_the_room_there_is(misreading):
    birds = [Marks.of({"left leg": [a, b], "right leg": [c]}) for a, b, c in product(PALETTE.names, repeat=3)]
    tables = side_tables(misreading, birds)
    assert finest_cut(tables, tables.left, tables.right) == 0.0
    assert finest_cut(tables, tables.left, tables.right, most=500) is None


def test_sides_above_and_below_the_joint_are_read_together(misreading):
    bird = Marks.of({"left tibia": ["metal"], "left leg": ["red"], "right leg": ["blue"]})
    other = Marks.of({"left tibia": ["metal"], "left leg": ["orange"], "right leg": ["blue"]})
    tables = side_tables(misreading, [bird, other])
    np.testing.assert_allclose(tables.chances.sum(axis=1), 1.0, **EXACT)
    assert len(tables.chances) == 3
