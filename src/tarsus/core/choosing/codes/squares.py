"""Orthogonal Latin squares where there is no field: arrays of order 6, 10, … with a hole.

A quasi-difference matrix over a group G has k rows; a column leaves at most one row empty, u columns leave
each row empty, and between any two rows the differences of the columns that fill both are each element of G
once. Every column, shifted by every element of G, gives a word; an empty place takes one of u further
symbols, its own for each of the u columns. The words agree in at most one position, so their distance is k
− 1, and together they use every pair of symbols except those within the hole of the u further ones. The
hole takes a code over u symbols.

So 2 squares of order 6 with a hole of 2 give 34 words of 4 positions (36 would need two orthogonal Latin
squares of order 6: impossible, Tarry 1900); 2 squares of order 10 with a hole of 3, filled, give the 100 of
Parker 1959; 4 squares of order 10 with a hole of 2 (Brouwer 1984, Four MOLS of order 10 with a hole of
order 2, J. Statist. Plann. Inference 10:203-205) give 98 words of 6 positions at distance 5. The columns
are found here by search.

Source: Colbourn & Dinitz 2007, Handbook of Combinatorial Designs, III.4 (definitions; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, product
from typing import Final

import numpy as np

from tarsus.core.choosing.codes.words import Words

EMPTY: Final = -1
Column = tuple[int, ...]


@dataclass(frozen=True)
class Layout:
    """Where to look: the group Z_a × Z_b …, the rows, the empties of each row, and a symmetry of the rows.

    `shift` sends row r to row ``shift[r]``; the matrix is to be unchanged by it, which shortens the search.
    """

    group: tuple[int, ...]
    rows: int
    empties: int
    shift: tuple[int, ...]


# For each number of colours and of positions, the layout that has an answer.
LAYOUTS: Final = {
    (6, 4): Layout((2, 2), 4, 2, (0, 1, 2, 3)),
    (10, 4): Layout((7,), 4, 3, (1, 2, 3, 0)),
    (10, 5): Layout((4, 2), 6, 2, (1, 2, 0, 4, 5, 3)),
    (10, 6): Layout((4, 2), 6, 2, (1, 2, 0, 4, 5, 3)),
}


def _differences(group: tuple[int, ...]) -> list[list[int]]:
    elements = list(product(*map(range, group)))
    number = {e: i for i, e in enumerate(elements)}

    def minus(x: tuple[int, ...], y: tuple[int, ...]) -> int:
        return number[tuple((a - b) % m for a, b, m in zip(x, y, group, strict=True))]

    return [[minus(x, y) for y in elements] for x in elements]


def _orbit(column: Column, shift: tuple[int, ...]) -> list[Column]:
    """The column and what the symmetry of the rows makes of it."""
    seen = [column]
    while True:
        moved = [0] * len(column)
        for row, entry in enumerate(seen[-1]):
            moved[shift[row]] = entry
        if tuple(moved) == column:
            return seen
        seen.append(tuple(moved))


def _covered(columns: list[Column], minus: list[list[int]]) -> int | None:
    """The differences these columns use, a bit for each pair of rows and element; `None` if one is used
    twice.
    """
    order, used = len(minus), 0
    for column in columns:
        for pair, (x, y) in enumerate(combinations(column, 2)):
            if x == EMPTY or y == EMPTY:
                continue
            bit = 1 << (pair * order + minus[x][y])
            if used & bit:
                return None
            used |= bit
    return used


def _candidates(layout: Layout, minus: list[list[int]]) -> Iterator[tuple[int, list[Column]]]:
    """Every orbit of columns with one empty row that uses no difference twice, its first entry nought."""
    order = len(minus)
    for empty in range(layout.rows):
        for rest in product(range(order), repeat=layout.rows - 2):
            entries = [0, *rest]
            entries.insert(empty, EMPTY)
            column = tuple(entries)
            orbit = _orbit(column, layout.shift)
            if min(c.index(EMPTY) for c in orbit) < empty:
                continue  # met already, from the first row of its orbit
            used = _covered(orbit, minus)
            if used is not None:
                yield used, orbit


def quasi_difference_matrix(layout: Layout) -> list[Column]:
    """The columns of a matrix of this layout, by exact cover of all differences.

    Always the difference covered next is the lowest still open, so nothing is tried twice.

    Raises:
        ValueError: there is none.

    Source:
        Colbourn & Dinitz 2007, Handbook of Combinatorial Designs, III.4 (from memory).
    """
    minus = _differences(layout.group)
    order, pairs = len(minus), layout.rows * (layout.rows - 1) // 2
    # What the columns with an empty row leave over is covered by columns of noughts.
    full = order - (layout.rows - 2) * layout.empties
    assert full in (0, 1)
    columns: list[Column] = [(0,) * layout.rows] * full
    start = _covered(columns, minus) or 0
    goal = (1 << (pairs * order)) - 1
    by_bit: list[list[tuple[int, list[Column]]]] = [[] for _ in range(pairs * order)]
    for used, orbit in _candidates(layout, minus):
        for bit in range(pairs * order):
            if used >> bit & 1:
                by_bit[bit].append((used, orbit))

    def cover(covered: int, chosen: list[list[Column]]) -> list[list[Column]] | None:
        if covered == goal:
            return chosen
        lowest = (~covered & (covered + 1)).bit_length() - 1
        for used, orbit in by_bit[lowest]:
            if not used & covered:
                found = cover(covered | used, [*chosen, orbit])
                if found is not None:
                    return found
        return None

    found = cover(start, [])
    if found is None:
        raise ValueError("no matrix of this layout exists")
    return columns + [column for orbit in found for column in orbit]


def hole_array(layout: Layout) -> Words:
    """The words of the array with its hole left open; distance ``rows - 1``.

    The group's elements come first as symbols, then the `empties` further ones of the hole.

    Source:
        Colbourn & Dinitz 2007, Handbook of Combinatorial Designs, III.4 (from memory).
    """
    elements = list(product(*map(range, layout.group)))
    number = {e: i for i, e in enumerate(elements)}
    met = [0] * layout.rows
    words = []
    for column in quasi_difference_matrix(layout):
        further = EMPTY
        if EMPTY in column:
            row = column.index(EMPTY)
            further = len(elements) + met[row]
            met[row] += 1
        for by in elements:
            words.append(
                [
                    further
                    if entry == EMPTY
                    else number[
                        tuple((a + b) % m for a, b, m in zip(elements[entry], by, layout.group, strict=True))
                    ]
                    for entry in column
                ]
            )
    return np.array(words, dtype=np.uint8)
