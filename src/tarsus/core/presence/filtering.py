"""Here or gone: a two-state filter for birds whose ease of being seen is known.

Gone is for good: a bird that is observed again was here all along. Axes: B birds, R rounds. What a round
says of a bird is its `chance`: 1 seen, 0 looked for and not seen, between them a doubtful sighting, NaN not
looked for.
"""

from __future__ import annotations

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

    Source:
        docs/science/presence.md, eq. 4 and 9.
    """
    looked = ~np.isnan(chance)
    seen = np.where(looked, chance, 0.5)
    here = np.where(looked, (1.0 - seen) + (2.0 * seen - 1.0) * detection, 1.0)
    return here, np.where(looked, 1.0 - seen, 1.0)


def still_here(chance: Floats, detection: Floats, days: Floats, loss: float) -> Floats:
    """Filter a whole table of rounds.

    Args:
        chance: ``(B, R)`` what each round says of each bird; NaN is not looked for.
        detection: ``(B, R)`` chance of being seen in that round if here.
        days: ``(R,)`` days that passed before each round since the one before; 0 within a day.
        loss: chance of leaving on one day.

    Returns:
        ``(B, R)`` chance of being here, by what was known at each round.

    Assumes:
        Every bird was here before the first round's days began.

    Source:
        Forward recursion of a hidden Markov chain with one absorbing state; docs/science/presence.md, eq. 3.
    """
    if_here, if_gone = evidence(chance, detection)
    filtered = np.empty_like(if_here)
    here = np.ones(len(if_here))
    for r, gap in enumerate(days):
        here = here * (1.0 - loss) ** gap
        explained = here * if_here[:, r]
        total = explained + (1.0 - here) * if_gone[:, r]
        here = np.divide(explained, total, out=np.zeros_like(here), where=total > 0.0)
        filtered[:, r] = here
    return filtered
