"""The lattice on which a bird's ease is carried, so that a day's update needs no history.

G points of the logit scale, from a bird that is seen once in fifty rounds to one that is missed once in
3,000. Half a logit apart: a quarter changes no log loss by 2 % (decision 0029).
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit

from tarsus.core.presence.group import GroupEase

Floats = NDArray[np.float64]

STEP: Final = 0.5

EASES: Final[Floats] = np.linspace(-4.0, 8.0, 25)
"""``(G,)`` logit ease of a bird in an ordinary round, while it behaves as usual."""

HARDER_STEPS: Final = 6
"""A bird that has become hard to see loses three logits: one seen in nine of ten rounds is seen in three."""

SEEN_EASES: Final[Floats] = np.concatenate([EASES[0] - STEP * np.arange(HARDER_STEPS, 0, -1), EASES])
"""``(H,)`` every ease with which a bird can be seen, the hard ones included."""

ORDINARY: Final[Floats] = expit(SEEN_EASES)
"""``(H,)`` chance of being seen in an ordinary round."""


def share_of_eases(group: GroupEase) -> Floats:
    """``(G,)`` share of this flock's birds at each ease; sums to 1.

    Source:
        docs/science/presence.md, eq. 4.
    """
    weight = -0.5 * ((EASES - group.mean) / group.bird_sd) ** 2
    weight = np.exp(weight - weight.max())
    shares: Floats = weight / weight.sum()
    return shares
