"""The distinct stacks of bands that a flock wears on its sites, coded once for many look-ups.

A flock of hundreds wears far fewer stacks than it has legs, and the chance of what was read on one site
depends on the stack alone. So a reading costs one small table over stacks, and a bird costs a look-up a site.
Array axes: U stacks, L bands of the longest stack, S sites in the order of `SITES`, B birds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import UnknownWord
from tarsus.core.marks.marks import NOT_MADE_OUT, Bands, Marks
from tarsus.core.marks.sites import MIRROR, SITES
from tarsus.core.readings.misreading import Misreading, orders

ANY_COLOUR: Final = "any colour"
"""Stands in a stack for a band whose colour may be any of the palette, all equally likely (`strangers`)."""

MIRRORED: Final = tuple(SITES.index(MIRROR[site]) for site in SITES)
"""Position in `SITES` of each site's mirror."""


@dataclass(frozen=True, eq=False)
class Stacks:
    """Distinct stacks, bare first, and which of them each bird wears where.

    `words` is ``(L, U)``: index into the misreading's words, one past the last for `ANY_COLOUR`, -1 where
    the stack has no such band. `codes` is ``(S, B)``: index into `bands`.
    """

    bands: tuple[Bands, ...]
    words: NDArray[np.intp]
    codes: NDArray[np.intp]

    @classmethod
    def of(cls, misreading: Misreading, marks: Sequence[Marks]) -> Stacks:
        """Code what these birds wear.

        Raises:
            UnknownWord: a band that is no metal and no colour of the palette.
        """
        index: dict[Bands, int] = {(): 0}
        codes = np.zeros((len(SITES), len(marks)), dtype=np.intp)
        for bird, worn in enumerate(marks):
            for site, bands in worn.sites:
                codes[SITES.index(site), bird] = index.setdefault(bands, len(index))
        longest = max(map(len, index))
        words = np.full((longest, len(index)), -1, dtype=np.intp)
        for bands, at in index.items():
            for level, band in enumerate(bands):
                words[level, at] = _word(misreading, band)
        return cls(tuple(index), words, codes)


def stack_chances(misreading: Misreading, read: Bands, stacks: Stacks) -> NDArray[np.float64]:
    """Say for every stack how probable it is to be read so.

    Args:
        misreading: the observer.
        read: bands read on one site, from the body outward.
        stacks: what may be worn there.

    Returns:
        ``(U,)`` chances, equal to `Misreading.site_chance` of each stack.

    Source:
        docs/science/reading.md, eq. 2, for all stacks and all orders at once.
    """
    if len(read) > len(stacks.words):
        return np.zeros(len(stacks.bands))
    turned = list(orders(read, misreading.flip))
    columns = _columns(misreading, read)
    # shown[order, j, l, u]: band l of stack u is there, noticed, and read as the j-th of that order.
    shown = columns[[[read.index(band) for band in order] for order, _ in turned]][:, :, stacks.words]
    shown *= 1.0 - misreading.gone
    missing = np.where(stacks.words < 0, 1.0, misreading.gone)
    chances = np.zeros((len(turned), len(read) + 1, len(stacks.bands)))
    chances[:, 0] = 1.0
    for level in range(len(stacks.words)):
        given = chances[:, :-1] * shown[:, :, level]
        chances *= missing[level]
        chances[:, 1:] += given
    return np.asarray(np.array([share for _, share in turned]) @ chances[:, -1])


def _columns(misreading: Misreading, read: Bands) -> NDArray[np.float64]:
    """``(len(read), C + 2)`` chance of each band read, by what it is: the words, any colour, no band."""
    columns = np.zeros((len(read), len(misreading.words) + 2))
    for at, band in enumerate(read):
        if band == NOT_MADE_OUT:
            columns[at, :-1] = 1.0
            continue
        column = misreading.table[:, _word(misreading, band)]
        columns[at, :-2] = column
        columns[at, -2] = column[1:].mean() if len(column) > 1 else 0.0
    return columns


def _word(misreading: Misreading, band: str) -> int:
    if band == ANY_COLOUR:
        return len(misreading.words)
    if band not in misreading.code:
        raise UnknownWord("", band, "colour of the palette", misreading.words)
    return misreading.code[band]
