"""A reading with an open end: the chance of all the readings that it can be completed to.

*Red, perhaps more below* is red alone, red over blue, red over metal over blue, and so on: a set of readings
of one site. Which completions there are is told by an automaton that reads bands one after the other, so
that each is counted once however it fits. Array axes: Q states, C words, L bands of a stack, U stacks.

Decision 0035.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations_with_replacement
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import UnknownWord
from tarsus.core.marks.marks import NOT_MADE_OUT, OPEN_END, Bands

MOST_BANDS: Final = 8
"""Bands that a site with an open end may tell: its automaton can double with each."""

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Completions:
    """`to` ``(Q, C)`` the state after a word, beginning in state 0; `fits` ``(Q,)`` whether the bands so far
    are one of the readings."""

    to: NDArray[np.intp]
    fits: NDArray[np.bool_]

    def steps(self, shown: Real) -> Real:
        """``(K, Q, Q)`` chance to go from state to state by one band, from `shown` ``(C, K)``: the chance
        that a band of each of K kinds is read as each word.

        Source:
            docs/science/reading.md, eq. 9.
        """
        states = len(self.fits)
        moves = self.to[:, :, None] == np.arange(states)
        return np.asarray(np.einsum("wk,qwr->kqr", shown, moves))


@lru_cache(maxsize=1024)
def completions(read: Bands, words: tuple[str, ...]) -> Completions:
    """Lay out which sequences of words a reading of one site stands for.

    Args:
        read: bands from the body outward, `NOT_MADE_OUT` and `OPEN_END` among them.
        words: what a band can be read as.

    Returns:
        A deterministic automaton over the words.

    Raises:
        UnknownWord: a band that is none of the words.

    Source:
        Subset construction (Rabin & Scott 1959, IBM J. Res. Dev. 3:114-125; from memory); sets of places in
        the reading are bits of a number.
    """
    for band in told_bands(read):
        if band not in words and band != NOT_MADE_OUT:
            raise UnknownWord("", band, "colour of the palette", words)

    states = [_reached(read, 1)]
    known = {states[0]: 0}
    rows: list[list[int]] = []
    for places in states:  # grows as it goes
        row = []
        for word in words:
            there = _after(read, places, word)
            if there not in known:
                known[there] = len(states)
                states.append(there)
            row.append(known[there])
        rows.append(row)
    fits = np.array([bool(places >> len(read) & 1) for places in states])
    return Completions(np.array(rows, dtype=np.intp), fits)


def _after(read: Bands, places: int, word: str) -> int:
    """Places in the reading, as bits, that a word leads to."""
    there = 0
    for at, band in enumerate(read):
        if places >> at & 1:
            there |= 1 << at if band == OPEN_END else (band in (word, NOT_MADE_OUT)) << at + 1
    return _reached(read, there)


def _reached(read: Bands, places: int) -> int:
    """The same with those that an open end leads to without a band."""
    for at, band in enumerate(read):
        if band == OPEN_END and places >> at & 1:
            places |= 1 << at + 1
    return places


def open_chances(
    allowed: Completions, shown: Real, stack: NDArray[np.intp], missing: Real, flip: float
) -> Real:
    """Sum the chances of all completions, for every stack.

    Args:
        allowed: the readings that are summed.
        shown: ``(C, K)`` chance that a band of each kind is there, noticed and read as each word.
        stack: ``(L, U)`` kind of each band of each stack.
        missing: ``(L, U)`` chance that a band does not show.
        flip: chance that one neighbouring pair of those shown is turned over.

    Returns:
        ``(U,)`` chances.

    Source:
        docs/science/reading.md, eq. 9: which bands show, which pair is turned and how each is read are
        summed band by band.
    """
    steps = allowed.steps(shown)
    longest, stacks = stack.shape
    # kept[m, u, q]: so far m bands showed, in their own order; turned: one pair of them the other way round.
    kept = np.zeros((longest + 1, stacks, len(allowed.fits)))
    kept[0, :, 0] = 1.0
    turned = np.zeros_like(kept)
    held: list[tuple[Real, Real]] = []
    for kinds, gone in zip(stack, missing, strict=True):
        step = steps[kinds]
        new_kept, new_turned = kept * gone[:, None], turned * gone[:, None]
        new_kept[1:] += _moved(kept[:-1], step)
        new_turned[1:] += _moved(turned[:-1], step)
        for before, upper in held:
            # The band held back is read after this one.
            new_turned[2:] += _moved(_moved(before[:-2], step), upper)
        held = [(before * gone[:, None], upper) for before, upper in held] + [(kept, step)]
        kept, turned = new_kept, new_turned
    kept_fit, turned_fit = kept @ allowed.fits, turned @ allowed.fits
    pairs = np.maximum(np.arange(longest + 1) - 1, 0)[:, None]
    in_order = np.where(pairs > 0, 1.0 - flip, 1.0) * kept_fit
    return np.asarray((in_order + flip / np.maximum(pairs, 1) * turned_fit).sum(axis=0))


def alike_open_chance(allowed: Completions, shown: Real, another: float) -> float:
    """Sum the chances of all completions where a geometric number of bands shows, all of one kind.

    Args:
        allowed: the readings that are summed.
        shown: ``(C,)`` chance that a band is read as each word; sums to 1.
        another: chance that one more band shows.

    Source:
        docs/science/reading.md, eq. 9.
    """
    step = another * allowed.steps(shown[:, None])[0]
    ends = np.linalg.solve(np.eye(len(step)) - step, allowed.fits.astype(float))
    return float((1.0 - another) * ends[0])


def spelled_out(read: Bands, most: int) -> Iterator[Bands]:
    """The reading with `NOT_MADE_OUT` for each band that an open end may hide, up to so many bands in all.

    Source:
        docs/science/reading.md, eq. 9.
    """
    pieces: list[Bands] = [()]
    for band in read:
        if band != OPEN_END:
            pieces[-1] += (band,)
        elif len(pieces) == 1 or pieces[-1]:  # two open ends in a row are one
            pieces.append(())
    told = sum(map(len, pieces))
    gaps = len(pieces) - 1
    for hidden in range(max(most - told, 0) + 1 if gaps else 1):
        for cuts in combinations_with_replacement(range(hidden + 1), max(gaps - 1, 0)):
            sizes = np.diff((0, *cuts, hidden)) if gaps else ()
            filled = pieces[0]
            for size, piece in zip(sizes, pieces[1:], strict=True):
                filled += (NOT_MADE_OUT,) * int(size) + piece
            yield filled


def _moved(chances: Real, step: Real) -> Real:
    return np.asarray(np.einsum("muq,uqr->mur", chances, step))


def told_bands(read: Sequence[str]) -> Bands:
    """The bands that a reading of one site tells, without its open ends."""
    return tuple(band for band in read if band != OPEN_END)
