"""The lattice on which a bird's ease is carried, so that a day's update needs no history.

G points of the logit scale, from a bird that is seen once in fifty rounds to one that is missed once in
3,000.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit

from tarsus.core.presence.group import GroupEase

Floats = NDArray[np.float64]

EASES: Final[Floats] = np.linspace(-4.0, 8.0, 49)
"""``(G,)`` logit ease of a bird in an ordinary round."""

ORDINARY: Final[Floats] = expit(EASES)
"""``(G,)`` chance of being seen in an ordinary round."""


def log_prior(group: GroupEase) -> Floats:
    """``(G,)`` log weight of each ease for a bird of this flock of which nothing is known; sums to 1."""
    weight = -0.5 * ((EASES - group.mean) / group.bird_sd) ** 2
    weight = weight - weight.max()
    shrunk: Floats = weight - np.log(np.exp(weight).sum())
    return shrunk
