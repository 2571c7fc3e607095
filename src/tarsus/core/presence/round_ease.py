"""The ease of one round, from who was seen in it, and what is left of it for each bird.

Axes: B birds, H points of `lattice.SEEN_EASES`, E points of the round's own grid.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit

from tarsus.core.presence.lattice import SEEN_EASES

Floats = NDArray[np.float64]

_COARSE: Final[Floats] = np.linspace(-9.0, 6.0, 31)
_COARSE_SEEN: Final[Floats] = expit(SEEN_EASES[:, None] + _COARSE[None, :])
_FINE_STEPS: Final[Floats] = np.linspace(-6.0, 6.0, 25)
_TINY: Final = 1e-300


@dataclass(frozen=True)
class RoundEase:
    """Posterior of a round's ease, and each bird's chance of being seen in it.

    `seen_if`: ``(B, H)`` chance of being seen for each ease, by what the *other* birds say of the round. A
    bird's own miss must not make the morning foggy for itself: in a flock of two it would half excuse its
    own absence.
    """

    mean: float
    sd: float
    seen_if: Floats


def round_ease(here: Floats, chance: Floats, round_sd: float) -> RoundEase:
    """Weigh a round's ease by who was seen, and take each bird's own share out again.

    Args:
        here: ``(B, H)`` weight of each ease and being here; a row sums to the bird's chance of being here.
        chance: ``(B,)`` chance that each was seen, all of them looked for.
        round_sd: spread of rounds in this flock.

    Returns:
        The posterior and the chances of being seen that the update of each bird uses.

    Assumes:
        Given the round's ease, birds are seen independently.

    Source:
        docs/science/presence.md, eqs. 7 and 8.
    """
    coarse = _log_posterior(_explained(here, chance, _COARSE_SEEN), _COARSE, round_sd)
    mode, sd = _peak(coarse)
    grid = mode + sd * _FINE_STEPS
    seen = expit(SEEN_EASES[:, None] + grid[None, :])  # (H, E)
    explained = _explained(here, chance, seen)  # (B, E)
    log_weight = _log_posterior(explained, grid, round_sd)
    weight = _normalised(log_weight)
    mean = float((weight * grid).sum())
    spread = float(np.sqrt((weight * (grid - mean) ** 2).sum()))
    without_own = _normalised(log_weight[None, :] - np.log(explained))  # (B, E)
    return RoundEase(mean, spread, _sum_products(without_own, seen.T))


def _explained(here: Floats, chance: Floats, seen: Floats) -> Floats:
    """``(B, E)`` how well each ease of the round explains what was said of each bird."""
    detection = _sum_products(here, seen)
    q = chance[:, None]
    return np.maximum((1.0 - q) + (2.0 * q - 1.0) * detection, _TINY)


def _sum_products(left: Floats, right: Floats) -> Floats:
    """A matrix product: a row comes out the same whatever stands beside it, on any number of cores."""
    total = np.zeros((left.shape[0], right.shape[1]))
    for column in range(left.shape[1]):
        total += left[:, column, None] * right[column]
    return total


def _log_posterior(explained: Floats, grid: Floats, round_sd: float) -> Floats:
    total: Floats = np.log(explained).sum(axis=0) - 0.5 * (grid / round_sd) ** 2
    return total


def _peak(log_weight: Floats) -> tuple[float, float]:
    """Mode and spread of a curve on the coarse grid, by the parabola through its highest points."""
    top = int(np.clip(np.argmax(log_weight), 1, len(_COARSE) - 2))
    below, at, above = log_weight[top - 1 : top + 2]
    step = _COARSE[1] - _COARSE[0]
    bend = max(2.0 * at - below - above, 0.01)
    shift = float(np.clip(0.5 * (above - below) / bend, -1.0, 1.0))
    return float(_COARSE[top] + shift * step), float(np.clip(step / np.sqrt(bend), 0.02, 2.5))


def _normalised(log_weight: Floats) -> Floats:
    weight = np.exp(log_weight - log_weight.max(axis=-1, keepdims=True))
    shares: Floats = weight / weight.sum(axis=-1, keepdims=True)
    return shares
