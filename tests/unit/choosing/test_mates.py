"""Mates on wings take their mate's colours, where the stock has them, and are told why where it has not."""

from __future__ import annotations

import pytest

from tarsus.core.choosing.assignment import assigned
from tarsus.core.choosing.assignment_mates import MateWithoutMarks, matching
from tarsus.core.choosing.assignment_slots import Wanted
from tarsus.core.errors import NotEnoughMarks
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED

FOUR = Palette.of({name: dict(BUILT_IN.colours)[name] for name in ("red", "orange", "blue", "white")})
WINGS = MarkRule.of({"F": "left leg", "M": "right leg"}, {"F": {"left wing": 2}, "M": {"right wing": 2}})
READS = Misreading.of(TRAINED, FOUR)
PETREL = Bird("Petrel", Marks.of({"left leg": ["metal"], "left wing": ["red", "blue"]}), "F")
SKUA = Wanted("Skua", "M", mate="Petrel")


def given(wanted, stock, worn=(PETREL,)):
    return assigned(worn, wanted, WINGS, FOUR.names, READS, stock=stock, seconds=0.2)


def test_the_order_of_the_colours_stays_and_only_the_side_changes():
    assert matching(PETREL.marks, "right leg") == Marks.of(
        {"right leg": ["metal"], "right wing": ["red", "blue"]}
    )


def test_a_mates_bands_are_taken_from_the_stock():
    found = given([SKUA], {"red": 1, "blue": 2, "white": 5})
    assert found.marks["Skua"].at("right wing") == ("red", "blue")
    assert found.left_in_stock == {"red": 0, "blue": 1, "white": 5}


@pytest.mark.parametrize(
    ("stock", "said"),
    [
        ({"red": 1}, "there is no blue in stock where 1 is needed"),
        ({"red": 1, "blue": 0}, "there is no blue in stock where 1 is needed"),
        ({"blue": 3, "white": 9}, "there is no red in stock where 1 is needed"),
        ({"red": 1, "blue": 1, "metal": 0}, "there is no metal in stock where 1 is needed"),
    ],
)
def test_a_mate_whose_bands_are_not_held_is_refused_and_told_why(stock, said):
    with pytest.raises(MateWithoutMarks, match=said) as refused:
        given([SKUA], stock)
    assert (refused.value.bird, refused.value.mate) == ("Skua", "Petrel")
    assert refused.value.available == 0


def test_two_of_a_colour_are_counted_as_two():
    doubled = Bird("Petrel", Marks.of({"left wing": ["red", "red"]}), "F")
    with pytest.raises(MateWithoutMarks, match="there is 1 red in stock where 2 are needed"):
        given([SKUA], {"red": 1, "blue": 4}, (doubled,))


def test_marks_that_somebody_wears_are_not_given_to_a_mate():
    gull = Bird("Gull", Marks.of({"right leg": ["metal"], "right wing": ["red", "blue"]}), "M")
    with pytest.raises(MateWithoutMarks, match="Gull wears those marks"):
        given([SKUA], None, (PETREL, gull))


def test_two_mates_do_not_share_one_band_and_who_goes_without_is_named():
    tern = Bird("Tern", Marks.of({"left leg": ["metal"], "left wing": ["blue", "red"]}), "F")
    with pytest.raises(NotEnoughMarks, match="1 of 2") as refused:
        given([SKUA, Wanted("Auk", "M", mate="Tern")], {"red": 1, "blue": 2}, (PETREL, tern))
    assert "who wears what its mate" in str(refused.value)
    assert refused.value.available == 1


def test_wanted_mates_take_two_of_every_colour_from_the_stock():
    pair = [Wanted("Gull", "F", mate="Tern"), Wanted("Tern", "M", mate="Gull")]
    found = given(pair, {"red": 2, "blue": 2, "white": 1, "orange": 1}, ())
    assert set(found.marks["Gull"].at("left wing")) <= {"red", "blue"}
    assert min(found.left_in_stock.values()) >= 0
    assert sum(found.left_in_stock.values()) == 2
    with pytest.raises(NotEnoughMarks, match="0 of 2"):
        given(pair, {"red": 1, "blue": 1, "white": 1, "orange": 1}, ())
