"""How a bird's ease goes on: it stays, drifts with the season, or becomes hard to see and comes back.

Axes: B birds, L layers (`STAYS`, `DRIFTS`, `OPENLY`, `HIDDEN`), G points of `lattice.EASES`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, exp
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.presence.lattice import EASES, HARDER_STEPS, SEEN_EASES, STEP

Floats = NDArray[np.float64]

STAYS, DRIFTS, OPENLY, HIDDEN = range(4)
LAYERS: Final = 4

# Ours, not published; chosen on simulated flocks (benchmarks/watch_changes.py, decision 0029).
DRIFT_A_DAY: Final = 0.1
"""Logits by which a drifting bird's ease wanders in a day: about one in a season."""
HIDES_A_DAY: Final = 1 / 150
"""Chance that a bird of the hiding habit becomes hard to see on a day."""
RETURNS_A_DAY: Final = 1 / 45
"""Chance that one that is hard to see is its old self again on the next day: nests and moults take weeks."""
CHANGES_HABIT_A_DAY: Final = 1 / 1000
PRIOR_BIRDS: Final = 5.0
"""As how many birds the shares of `BEFORE_ANY_ROUND` count."""
_SHARE_HIDDEN: Final = HIDES_A_DAY / (HIDES_A_DAY + RETURNS_A_DAY)
_LONGEST_STEP: Final = 6.0
_MOST_STEPS: Final = 60


@dataclass(frozen=True)
class Habits:
    """Shares of a flock's birds whose ease stays, drifts, or now and then hides; they sum to 1."""

    stays: float
    drifts: float
    hides: float

    def layers(self) -> Floats:
        """``(L,)`` share of each layer before anything is known of a bird.

        Source:
            docs/science/presence.md, eq. 5.
        """
        hidden = self.hides * _SHARE_HIDDEN
        return np.array([self.stays, self.drifts, self.hides - hidden, hidden])


BEFORE_ANY_ROUND: Final = Habits(0.87, 0.08, 0.05)


def days_on(ease: Floats, days: float, shares: Floats, habits: Habits) -> Floats:
    """Let every bird's ease go its way for some days.

    Each move is reversible against the flock's shares, so that a likelihood moves as a weight would: a bird
    of which nothing is known stays one of which nothing is known, and old evidence fades towards the flock.

    Args:
        ease: ``(B, L, G)`` likelihood of what was told, for each layer and ease today.
        days: days that pass.
        shares: ``(G,)`` share of the flock's birds at each ease.
        habits: the flock's.

    Returns:
        The same after those days.

    Assumes:
        A bird changes independently of the others; a season that changes all at once moves the flock's mean.

    Source:
        docs/science/presence.md, eq. 9.
    """
    moved = ease.copy()
    moved[:, DRIFTS] = _drifted(ease[:, DRIFTS], days, shares)
    mixed = 1.0 - exp(-(HIDES_A_DAY + RETURNS_A_DAY) * days)
    apart = ease[:, HIDDEN] - ease[:, OPENLY]
    moved[:, OPENLY] += _SHARE_HIDDEN * mixed * apart
    moved[:, HIDDEN] -= (1.0 - _SHARE_HIDDEN) * mixed * apart
    changes = 1.0 - exp(-CHANGES_HABIT_A_DAY * days)
    common = np.zeros_like(ease[:, 0])
    for layer, share in enumerate(habits.layers()):
        common += share * moved[:, layer]
    result: Floats = (1.0 - changes) * moved + changes * common[:, None]
    return result


def _drifted(ease: Floats, days: float, shares: Floats) -> Floats:
    """A walk to the neighbouring ease, taken less often where fewer birds of the flock are (Metropolis)."""
    steps = min(max(ceil(days / _LONGEST_STEP), 1), _MOST_STEPS)
    pace = 0.5 * (DRIFT_A_DAY / STEP) ** 2 * min(days / steps, _LONGEST_STEP)
    up = pace * np.minimum(1.0, shares[1:] / np.maximum(shares[:-1], 1e-300))
    down = pace * np.minimum(1.0, shares[:-1] / np.maximum(shares[1:], 1e-300))
    for _ in range(steps):
        rise = ease[:, 1:] - ease[:, :-1]
        ease = ease.copy()
        ease[:, :-1] += up * rise
        ease[:, 1:] -= down * rise
    return ease


def seen_as(weight: Floats) -> Floats:
    """``(B, H)`` the weights of ``(B, L, G)`` by the ease with which the bird is seen today."""
    seen = np.zeros((len(weight), len(SEEN_EASES)))
    seen[:, HARDER_STEPS:] = weight[:, STAYS] + weight[:, DRIFTS] + weight[:, OPENLY]
    seen[:, : len(EASES)] += weight[:, HIDDEN]
    return seen


def by_layer(seen_if: Floats) -> Floats:
    """``(B, L, G)`` what stands in ``(B, H)`` for each ease of being seen, given back to layers and eases."""
    told = np.repeat(seen_if[:, None, HARDER_STEPS:], LAYERS, axis=1)
    told[:, HIDDEN] = seen_if[:, : len(EASES)]
    return told


def learnt_habits(weight: Floats, here: Floats) -> Habits:
    """One step towards the shares that make the flock's birds likeliest.

    Args:
        weight: ``(B, L, G)`` posterior of each bird's ease if it is here; each bird sums to 1.
        here: ``(B,)`` chance that it is here.

    Returns:
        Shares in which those of `BEFORE_ANY_ROUND` count as `PRIOR_BIRDS` birds.

    Source:
        docs/science/presence.md, eq. 6.
    """
    of = (weight.sum(axis=2) * here[:, None]).sum(axis=0)
    known = float(here.sum()) + PRIOR_BIRDS
    before = BEFORE_ANY_ROUND
    return Habits(
        float(of[STAYS] + PRIOR_BIRDS * before.stays) / known,
        float(of[DRIFTS] + PRIOR_BIRDS * before.drifts) / known,
        float(of[OPENLY] + of[HIDDEN] + PRIOR_BIRDS * before.hides) / known,
    )
