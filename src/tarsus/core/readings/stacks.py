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
from tarsus.core.marks.marks import NOT_MADE_OUT, OPEN_END, Bands, Marks
from tarsus.core.marks.sites import MIRROR, SITES
from tarsus.core.readings.misreading import Misreading, orders
from tarsus.core.readings.open_ends import completions, open_chances

ANY_COLOUR: Final = "any colour"
"""Stands in a stack for a band whose colour may be any of the palette, all equally likely (`strangers`)."""

MIRRORED: Final = tuple(SITES.index(MIRROR[site]) for site in SITES)
"""Position in `SITES` of each site's mirror."""


@dataclass(frozen=True, eq=False)
class Stacks:
    """Distinct stacks, bare first, and which of them each bird wears where.

    `words` is ``(L, U)``: index into the misreading's words, one past the last for `ANY_COLOUR`, two past
    it where the stack has no such band. `codes` is ``(S, B)``: index into `bands`; `mirrored` is the same
    of the mirror sites. `shown` is ``(C + 1, C + 2)``: chance that a band is there, noticed and read as
    each word, the last row for ``?``, by what it is, in the numbering of `words`.
    """

    bands: tuple[Bands, ...]
    words: NDArray[np.intp]
    codes: NDArray[np.intp]
    mirrored: NDArray[np.intp]
    missing: NDArray[np.float64]
    shown: NDArray[np.float64]

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
        absent = len(misreading.words) + 1
        words = np.full((max(map(len, index)), len(index)), absent, dtype=np.intp)
        for bands, at in index.items():
            for level, band in enumerate(bands):
                words[level, at] = _word(misreading, band)
        missing = np.where(words == absent, 1.0, misreading.gone)
        return cls(tuple(index), words, codes, codes[list(MIRRORED)], missing, _shown(misreading))


def stack_chances(misreading: Misreading, read: Bands, stacks: Stacks) -> NDArray[np.float64]:
    """Say for every stack how probable it is to be read so.

    Args:
        misreading: the observer.
        read: bands read on one site, from the body outward.
        stacks: what may be worn there.

    Returns:
        ``(U,)`` chances, equal to `Misreading.site_chance` of each stack.

    Raises:
        UnknownWord: a band that is no metal and no colour of the palette.

    Source:
        docs/science/reading.md, eqs. 2 and 3.
    """
    if OPEN_END not in read:
        return np.asarray(alike_stack_chances(misreading, [read], stacks)[0])
    allowed = completions(read, misreading.words)
    return open_chances(allowed, stacks.shown[:-1], stacks.words, stacks.missing, misreading.flip)


def alike_stack_chances(
    misreading: Misreading, reads: Sequence[Bands], stacks: Stacks
) -> NDArray[np.float64]:
    """Say the same for several readings of one length at once.

    Args:
        misreading: the observer.
        reads: R readings of one site, all of as many bands and without open ends.
        stacks: what may be worn there.

    Returns:
        ``(R, U)`` chance of each reading by each stack.

    Raises:
        UnknownWord: a band that is no metal and no colour of the palette.

    Source:
        docs/science/reading.md, eq. 2, for all stacks and all orders at once.
    """
    unclear = len(misreading.words)
    rows = np.array(
        [[unclear if band == NOT_MADE_OUT else _word(misreading, band) for band in read] for read in reads],
        dtype=np.intp,
    )
    count, length = rows.shape
    if length > len(stacks.words):
        return np.zeros((count, len(stacks.bands)))
    turned = list(orders(tuple(range(length)), misreading.flip))
    # shown[r, order, j, l, u]: band l of stack u is there, noticed, and read as the j-th of reading r in
    # that order.
    places = np.array([order for order, _ in turned], dtype=np.intp)
    shown = stacks.shown[rows[:, places]][..., stacks.words]
    chances = np.zeros((count, len(turned), length + 1, len(stacks.bands)))
    chances[:, :, 0] = 1.0
    for level, missing in enumerate(stacks.missing):
        given = chances[:, :, :-1] * shown[:, :, :, level]
        chances *= missing
        chances[:, :, 1:] += given
    shares = np.array([share for _, share in turned])
    return np.asarray(np.einsum("k,rku->ru", shares, chances[:, :, -1]))


def _shown(misreading: Misreading) -> NDArray[np.float64]:
    words = len(misreading.words)
    shown = np.zeros((words + 1, words + 2))
    shown[:words, :words] = misreading.table.T
    # A band of any colour is read as the colours are on average; metal (index 0) is no colour.
    shown[:words, words] = misreading.table[1:].mean(axis=0) if words > 1 else 0.0
    shown[words, : words + 1] = 1.0
    return np.asarray(shown * (1.0 - misreading.gone))


def _word(misreading: Misreading, band: str) -> int:
    if band == ANY_COLOUR:
        return len(misreading.words)
    if band not in misreading.code:
        raise UnknownWord("", band, "colour of the palette", misreading.words)
    return misreading.code[band]
