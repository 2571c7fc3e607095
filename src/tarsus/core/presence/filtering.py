"""Here or gone: a two-state filter for birds whose ease of being seen is known.

Gone is for good: a bird that is observed again was here all along. Axes: B birds, R rounds. What a round
says of a bird is its `chance`: 1 seen, 0 looked for and not seen, between them a doubtful sighting, NaN not
looked for.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def evidence(chance: Floats, detection: Floats) -> tuple[Floats, Floats]:
    """How well "here" and "gone" explain what a round says of a bird.

    Args:
        chance: chance that the bird was seen; NaN is not looked for.
        detection: chance of being seen if here; same shape, or broadcast against it.

    Returns:
        Likelihood if here and likelihood if gone; 1 and 1 where nobody looked.

    Assumes:
        A doubtful sighting's chance was formed without knowing whether the bird is here.
    """
    looked = ~np.isnan(chance)
    seen = np.where(looked, chance, 0.5)
    here = np.where(looked, (1.0 - seen) + (2.0 * seen - 1.0) * detection, 1.0)
    return here, np.where(looked, 1.0 - seen, 1.0)


@dataclass(frozen=True)
class HereOrGone:
    """Chances of being here, ``(B, R)`` each: by what was known at a round, and by all that is known now."""

    filtered: Floats
    smoothed: Floats


def here_or_gone(chance: Floats, detection: Floats, days: Floats, loss: float) -> HereOrGone:
    """Filter a whole table of rounds, and look back over it.

    Args:
        chance: ``(B, R)`` what each round says of each bird; NaN is not looked for.
        detection: ``(B, R)`` chance of being seen in that round if here.
        days: ``(R,)`` days that passed before each round since the one before; 0 within a day.
        loss: chance of leaving on one day.

    Returns:
        Filtered and smoothed chances of being here; the last column of both is the same.

    Assumes:
        Every bird was here before the first round's days began.

    Source:
        Forward and backward recursions of a hidden Markov chain with one absorbing state.
    """
    if_here, if_gone = evidence(chance, detection)
    filtered = _forward(if_here, if_gone, days, loss)
    return HereOrGone(filtered, _backward(filtered, if_here, if_gone, days, loss))


def _forward(if_here: Floats, if_gone: Floats, days: Floats, loss: float) -> Floats:
    filtered = np.empty_like(if_here)
    here = np.ones(len(if_here))
    for r, gap in enumerate(days):
        here = here * (1.0 - loss) ** gap
        explained = here * if_here[:, r]
        total = explained + (1.0 - here) * if_gone[:, r]
        here = np.divide(explained, total, out=np.zeros_like(here), where=total > 0.0)
        filtered[:, r] = here
    return filtered


def _backward(filtered: Floats, if_here: Floats, if_gone: Floats, days: Floats, loss: float) -> Floats:
    """Ratio form: `later` is how well what came after is explained from here, against from gone."""
    smoothed = filtered.copy()
    later_here, later_gone = np.ones(len(filtered)), np.ones(len(filtered))
    for r in range(filtered.shape[1] - 2, -1, -1):
        stays = (1.0 - loss) ** days[r + 1]
        from_here, from_gone = if_here[:, r + 1] * later_here, if_gone[:, r + 1] * later_gone
        later_here, later_gone = stays * from_here + (1.0 - stays) * from_gone, from_gone
        scale = np.maximum(np.maximum(later_here, later_gone), np.finfo(float).tiny)
        later_here, later_gone = later_here / scale, later_gone / scale
        here = filtered[:, r] * later_here
        total = here + (1.0 - filtered[:, r]) * later_gone
        smoothed[:, r] = np.divide(here, total, out=np.zeros_like(here), where=total > 0.0)
    return smoothed
