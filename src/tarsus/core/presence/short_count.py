"""A count below the roll: somebody is to be searched for, and this says among whom."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.stats import binom

Floats = NDArray[np.float64]

OVERLOOKED_IN_A_COUNT: Final = 0.01
"""Chance that a counter passes over a bird that is there. Ours, not published."""

NEVER_RULED_OUT: Final = 1e-4
"""Least chance of being gone in a short count: a bird named this morning may have been misnamed."""


@dataclass(frozen=True)
class ShortCount:
    """A count that is short.

    `missing`: birds on the roll less birds counted. `miscount`: chance that nobody has gone and the count is
    wrong; it is shown beside the search and never calls it off. `among`: ``(B,)`` chance that each bird is
    one of the missing, if so many are; sums to `missing`.
    """

    missing: int
    miscount: float
    among: Floats


def among_whom(
    gone: Floats, missing: int, overlooked: float = OVERLOOKED_IN_A_COUNT, least: float = NEVER_RULED_OUT
) -> ShortCount:
    """Say who is missing when a count is short.

    Args:
        gone: ``(B,)`` chance that each bird on the roll has gone, before the count.
        missing: how many the count is short, 1 to B.
        overlooked: chance that a present bird was passed over in the count.
        least: no bird is taken for less likely gone than this, nor for more likely gone than 1 less it.

    Returns:
        Who it may be, and the chance that it is nobody.

    Assumes:
        Birds leave independently of each other, and nobody is counted twice.

    Source:
        Bayes' rule over a sum of unlike coin tosses, and coin tosses conditioned on their sum;
        docs/science/presence.md, eq. 12. The phone's twin is web/static/shared/missing.js.
    """
    assert 1 <= missing <= len(gone), "a count is short by one bird at least, and by the whole roll at most"
    chance = np.clip(gone, least, 1.0 - least)
    how_many = _how_many_gone(chance[None, :], missing)[0]
    gone_counts = np.arange(missing + 1)
    # Chance of this count if so many are gone: the others of the shortfall were there and passed over.
    counted_so = np.asarray(binom.pmf(missing - gone_counts, len(gone) - gone_counts, overlooked))
    weight = how_many * counted_so
    others = ~np.eye(len(gone), dtype=bool)
    of_the_others = _how_many_gone(np.where(others, chance[None, :], 0.0), missing - 1)[:, -1]
    return ShortCount(missing, float(weight[0] / weight.sum()), chance * of_the_others / how_many[missing])


def _how_many_gone(chance: Floats, most: int) -> Floats:
    """``(N, most + 1)`` chance that 0, 1, … `most` birds of each row ``(N, B)`` are gone."""
    number = np.zeros((len(chance), most + 1))
    number[:, 0] = 1.0
    for gone in chance.T:
        step = number * (1.0 - gone)[:, None]
        step[:, 1:] += number[:, :-1] * gone[:, None]
        number = step
    return number
