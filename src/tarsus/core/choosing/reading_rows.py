"""The likely readings of each bird, as sparse rows over all readings of the flock.

What is left out of a row is counted: a bound on how far it can move any chance of a wrong name.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.reading_tables import Codes, Floats, SideTables

Starts = NDArray[np.intp]

FINEST: Final = (0.0, 1e-12, 1e-10, 1e-9, 1e-8, 1e-7)
"""Chances below which a reading may be left out of a row, the most careful first."""

MOST_ENTRIES: Final = 4_000_000

TRIED: Final = 24
"""Rows from which the number of entries is estimated."""


@dataclass(frozen=True, eq=False)
class ReadingRows:
    """Row ``b`` is ``reading[start[b]:start[b + 1]]`` with ``chance``; `left_out[b]` is the rest of it."""

    start: Starts
    reading: Codes
    chance: Floats
    left_out: Floats

    def __len__(self) -> int:
        return len(self.left_out)

    @property
    def owner(self) -> Codes:
        """The row of every entry."""
        return np.repeat(np.arange(len(self)), np.diff(self.start))


def finest_cut(tables: SideTables, left: Codes, right: Codes, most: int = MOST_ENTRIES) -> float | None:
    """The most careful cut at which the rows of these birds hold no more than `most` entries.

    Returns:
        A chance of `FINEST`, or `None` where even the coarsest cut leaves too many.
    """
    if not len(left):
        return FINEST[0]
    some = np.unique(np.linspace(0, len(left) - 1, TRIED).astype(np.intp))
    for cut in FINEST:
        likely, entries = _Likely(tables.chances, cut), 0
        for one, other in zip(left[some].tolist(), right[some].tolist(), strict=True):
            entries += likely.stays(one, other, _over(cut, 1 - tables.swap)).sum()
            if tables.swap > 0:
                entries += likely.stays(other, one, _over(cut, tables.swap)).sum()
        if entries * len(left) <= most * len(some):
            return cut
    return None


def reading_rows(tables: SideTables, left: Codes, right: Codes, cut: float) -> ReadingRows:
    """The readings of each bird that have more than a chance of `cut`.

    Args:
        tables: how sides are read.
        left: ``(B,)`` side worn on the left.
        right: ``(B,)`` side worn on the right.
        cut: chance below which a reading may be left out.

    Returns:
        One row a bird. Readings are numbered ``x V + y`` for ``x`` on the left and ``y`` on the right.
    """
    found = list(_keys(tables, left, right, cut))
    lengths = np.array([len(keys) for keys in found], dtype=np.intp)
    start = np.concatenate([[0], np.cumsum(lengths)]).astype(np.intp)
    keys = np.concatenate(found) if found else np.zeros(0, dtype=np.intp)
    chance = chances_at(tables, np.repeat(left, lengths), np.repeat(right, lengths), keys)
    sums = np.add.reduceat(chance, start[:-1]) if len(chance) else np.zeros(len(left))
    return ReadingRows(start, keys, chance, np.maximum(1.0 - sums, 0.0))


def chances_at(tables: SideTables, left: Codes, right: Codes, keys: Codes) -> Floats:
    """The exact chance of each reading for a bird that wears these sides; all arguments alike in shape.

    Source:
        docs/science/assignment.md, eq. 1.
    """
    table, swap = tables.chances, tables.swap
    read_left, read_right = np.divmod(keys, table.shape[1])
    straight = table[left, read_left] * table[right, read_right]
    if swap == 0:
        return straight
    return np.asarray((1 - swap) * straight + swap * (table[right, read_left] * table[left, read_right]))


def _keys(tables: SideTables, left: Codes, right: Codes, cut: float) -> Iterator[Codes]:
    """For each bird the readings that keep their place, sorted."""
    swap, width = tables.swap, tables.chances.shape[1]
    likely = _Likely(tables.chances, cut)
    for one, other in zip(left.tolist(), right.tolist(), strict=True):
        at_left, at_right = likely.pairs(one, other, _over(cut, 1 - swap))
        keys = at_left * width + at_right
        if swap > 0:
            mixed_left, mixed_right = likely.pairs(other, one, _over(cut, swap))
            keys = np.union1d(keys, mixed_left * width + mixed_right)
        else:
            keys.sort()
        yield keys


def _over(cut: float, share: float) -> float:
    return cut / share if share > 0 else np.inf


class _Likely:
    """Readings of each side, the likeliest first."""

    def __init__(self, chances: Floats, cut: float) -> None:
        self.chances, self.cut = chances, cut
        self.known: dict[int, tuple[Codes, Floats]] = {}

    def of(self, side: int) -> tuple[Codes, Floats]:
        if side not in self.known:
            row = self.chances[side]
            at = np.flatnonzero(row > self.cut)
            at = at[np.argsort(-row[at], kind="stable")]
            self.known[side] = at, row[at]
        return self.known[side]

    def stays(self, left: int, right: int, cut: float) -> Codes:
        """How many readings of the right stay with each one of the left.

        Chances fall, so they are a first stretch of the right's.
        """
        chance_left, chance_right = self.of(left)[1], self.of(right)[1]
        return np.searchsorted(-chance_right, -cut / chance_left, side="left")

    def pairs(self, left: int, right: int, cut: float) -> tuple[Codes, Codes]:
        """Readings of both sides whose product is over `cut`."""
        at_left, at_right, stay = self.of(left)[0], self.of(right)[0], self.stays(left, right, cut)
        which = np.repeat(np.arange(len(at_left)), stay)
        within = np.arange(len(which)) - np.repeat(np.cumsum(stay) - stay, stay)
        return at_left[which], at_right[within]
