"""The chance of every reading of a side, for every way in which a flock wears that side.

With all sites seen, a reading is what was read on the left and what was read on the right. The chance of
reading one side so depends only on what is worn there, or on the mirror side where legs were mixed up:

    P(x, y | l, r) = (1 - s) A[l, x] A[r, y] + s A[r, x] A[l, y]

with one table A over the distinct *sides* (stacks of tibia, leg and wing together). Array axes: D distinct
sides, V readings of a side, W words (metal and colours).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.marks import Bands, Marks
from tarsus.core.marks.sites import SITES
from tarsus.core.readings.misreading import Misreading

Floats = NDArray[np.float64]
Codes = NDArray[np.intp]

MOST_ENTRIES: Final = 30_000_000
"""Entries of a table of sides; beyond, readings are too many to be listed."""

NEVER: Final = 1e-13
"""Readings that no side gives with more than this chance are left out."""

HALVES: Final = tuple((site, SITES[SITES.index(site) + 3]) for site in SITES[:3])
"""Left and right sites of tibia, leg and wing."""


@dataclass(frozen=True, eq=False)
class SideTables:
    """`chances[d, v]`: side ``d`` is read as ``v``. `left`, `right`: ``(B,)`` which side each bird wears."""

    swap: float
    chances: Floats
    left: Codes
    right: Codes

    @cached_property
    def alikeness(self) -> Floats:
        """``(D, D)`` Bhattacharyya coefficient of two sides: 1 where no reading tells them apart.

        Source:
            docs/science/clashes.md, eq. 1.
        """
        roots = np.sqrt(self.chances)
        return np.asarray(np.minimum(roots @ roots.T, 1.0))


def side_tables(misreading: Misreading, marks: Sequence[Marks]) -> SideTables | None:
    """Lay out how every bird's sides may be read.

    Args:
        misreading: the observer; both sides are seen whole.
        marks: what each of B birds wears.

    Returns:
        The tables, or `None` when a side can be read in too many ways to list them.

    Source:
        docs/science/assignment.md, eq. 1; the process is `Misreading.site_chance`.
    """
    stacks: list[dict[Bands, int]] = [{} for _ in HALVES]
    sides: dict[tuple[int, ...], int] = {}
    codes = np.empty((2, len(marks)), dtype=np.intp)
    for bird, worn in enumerate(marks):
        by_site = dict(worn.sites)
        for side in (0, 1):
            key = tuple(
                known.setdefault(by_site.get(half[side], ()), len(known))
                for known, half in zip(stacks, HALVES, strict=True)
            )
            codes[side, bird] = sides.setdefault(key, len(sides))
    chances = np.ones((len(sides), 1))
    for place, known in enumerate(stacks):
        if len(known) == 1 and () in known:
            continue
        table = site_table(misreading, list(known))
        if table is None:
            return None
        rows = table[[key[place] for key in sides]]
        if chances.shape[0] * chances.shape[1] * rows.shape[1] > MOST_ENTRIES:
            return None
        chances = (chances[:, :, None] * rows[:, None, :]).reshape(len(sides), -1)
        chances = chances[:, chances.max(axis=0) > NEVER]
    return SideTables(misreading.swap, chances, codes[0], codes[1])


def site_table(misreading: Misreading, stacks: Sequence[Bands]) -> Floats | None:
    """List every reading of a site with its chance, for each stack.

    Args:
        misreading: the observer.
        stacks: what may be worn there, from the body outward.

    Returns:
        ``(U, V)``: rows sum to 1. `None` where there are too many readings. Readings stand by length, then
        in the order of the words.

    Source:
        docs/science/reading.md, eq. 2: the same sum as `Misreading.site_chance`, for all readings at once.
    """
    words, longest = len(misreading.words), max(map(len, stacks))
    starts = np.cumsum([0, *(words**length for length in range(longest + 1))])
    if len(stacks) * starts[-1] > MOST_ENTRIES:
        return None
    table = np.zeros((len(stacks), starts[-1]))
    for length in range(longest + 1):
        at = [k for k, bands in enumerate(stacks) if len(bands) == length]
        if not at:
            continue
        worn = np.array([[misreading.code[band] for band in stacks[k]] for k in at], dtype=np.intp)
        worn = worn.reshape(len(at), length)
        for shown in range(length + 1):
            gone = misreading.gone ** (length - shown) * (1 - misreading.gone) ** shown
            for kept in combinations(range(length), shown):
                block = gone * _turned(_read(misreading.table, worn[:, kept]), misreading.flip)
                table[at, starts[shown] : starts[shown + 1]] += block.reshape(len(at), -1)
    return table


def _read(confusion: Floats, worn: Codes) -> Floats:
    """Every way to read these bands in this order: ``(U, W, ..., W)``, an axis a band."""
    block = np.ones((len(worn),))
    for band in worn.T:
        rows = confusion[band].reshape(len(worn), *([1] * (block.ndim - 1)), -1)
        block = block[..., None] * rows
    return block


def _turned(block: Floats, flip: float) -> Floats:
    """The same with one neighbouring pair, drawn evenly, turned over with chance `flip`."""
    pairs = block.ndim - 2
    if pairs < 1 or flip == 0:
        return block
    turned = sum(np.swapaxes(block, at, at + 1) for at in range(1, pairs + 1))
    return np.asarray((1 - flip) * block + flip / pairs * turned)
