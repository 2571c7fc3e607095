"""Birds that are taken for one another stand together."""

from __future__ import annotations

import numpy as np

from tarsus.core.readings.seriation import together


def test_a_chain_that_was_shuffled_is_found_again() -> None:
    """Worked out by hand: a table whose entries fall away from the diagonal has one such order, up to its
    turn (a Robinson matrix; Atkins, Boman and Hendrickson 1998, theorem 3.3, from memory).
    """
    chain = np.array([[np.exp(-abs(i - j)) for j in range(12)] for i in range(12)])
    shuffled = np.random.default_rng(5).permutation(12)
    order = [int(shuffled[at]) for at in together(chain[np.ix_(shuffled, shuffled)])]
    assert order in (list(range(12)), list(range(11, -1, -1)))


def test_groups_that_have_nothing_in_common_stay_whole_the_worst_first() -> None:
    table = np.zeros((6, 6))
    table[0, 3] = table[3, 0] = 0.01
    table[1, 5] = table[5, 1] = 0.2
    order = together(table)
    assert sorted(order) == list(range(6))
    assert set(order[:2]) == {1, 5}
    assert set(order[2:4]) == {0, 3}


def test_a_flock_of_one_or_of_nobody_has_an_order() -> None:
    assert together(np.zeros((1, 1))) == [0]
    assert together(np.zeros((0, 0))) == []
