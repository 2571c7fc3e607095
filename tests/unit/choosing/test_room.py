"""Room left and colours to order, against cases that can be counted."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import sqrt

import networkx as nx
import numpy as np

from tarsus.core.choosing.room import colours_to_order, room_left, too_alike
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, Reader

READS = Misreading.of(TRAINED, BUILT_IN)


def females(colours: Sequence[str]) -> list[Marks]:
    return [Marks.of({"left leg": ["metal"], "right leg": [a, b]}) for a, b in product(colours, repeat=2)]


def test_a_reader_without_errors_leaves_room_for_every_combination() -> None:
    perfect = Misreading.of(Reader(0, 0, 0, 0, 0), BUILT_IN)
    offered = females(["red", "blue", "white"])
    room = room_left(perfect, offered[:2], offered, clarity=0.01)
    assert (room.birds, room.at_most, room.proven) == (7, 7, True)


def test_room_is_as_large_as_a_largest_independent_set() -> None:
    """networkx finds the largest clique of the complement exactly on a small case."""
    offered = females(["red", "orange", "yellow", "green", "blue"])
    clarity = 0.02 * sqrt(0.1)
    clash = too_alike(READS, offered, offered, clarity)
    np.fill_diagonal(clash, val=False)
    assert clash.any()
    complement = nx.complement(nx.from_numpy_array(clash))
    _, largest = nx.max_weight_clique(complement, weight=None)
    room = room_left(READS, [], offered, clarity)
    assert room.birds == largest
    assert room.at_most >= largest
    assert not too_alike(READS, room.marks, room.marks, clarity)[np.triu_indices(room.birds, 1)].any()


def test_equal_marks_are_too_alike_whatever_a_park_accepts() -> None:
    """Two equal birds are always in doubt, which costs little: they are told apart never."""
    offered = females(["red", "blue"])
    clash = too_alike(READS, offered, offered[1:], clarity=0.4)
    assert clash.tolist() == [[False] * 3, [True, False, False], [False, True, False], [False, False, True]]


def test_no_new_marks_are_too_alike_to_worn_ones() -> None:
    offered = females(["red", "orange", "yellow", "green"])
    worn = [offered[5]]
    room = room_left(READS, worn, offered, clarity=0.02 * sqrt(0.1))
    assert not too_alike(READS, room.marks, worn, 0.02 * sqrt(0.1)).any()


def test_a_colour_unlike_those_held_makes_more_room_than_one_much_like_them() -> None:
    poor = Misreading.of(Reader(swap=0.02, flip=0.01, colour=0.08, overlook=0.01, lost=0.01), BUILT_IN)
    held = ["red", "yellow", "white"]
    ranked = colours_to_order(poor, [], held, ["orange", "black"], females, clarity=0.06 * sqrt(0.1))
    assert [value.colour for value in ranked] == ["black", "orange"]
    assert ranked[0].more_birds > ranked[1].more_birds
