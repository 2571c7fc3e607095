"""Birds' ease, rounds' ease, their spreads and who is gone, estimated together from one table of rounds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.presence.ease import EaseFit, fit_ease
from tarsus.core.presence.filtering import here_or_gone
from tarsus.core.presence.group import BEFORE_ANY_ROUND, PRIOR_BIRDS, PRIOR_ROUNDS, GroupEase

Floats = NDArray[np.float64]

PASSES: Final = 60
"""Most passes; a pass that moves no spread by 1e-4 is the last."""


@dataclass(frozen=True)
class Together:
    """The fit, and what the flock's birds and rounds have in common."""

    fit: EaseFit
    group: GroupEase


def estimate_together(chance: Floats, days: Floats, loss: float) -> Together:
    """Estimate bird and round ease with who is here, by expectation and maximisation.

    A miss counts against a bird's ease only as far as the bird was here to be missed, so that one that has
    gone does not come to look shy.

    Args:
        chance: ``(B, R)`` 1 seen, 0 not seen, between them a doubtful sighting, NaN not looked for.
        days: ``(R,)`` days before each round since the one before.
        loss: chance of leaving on one day.

    Returns:
        Penalised estimates at spreads that the table itself suggests (Laplace, with a weak prior).

    Source:
        docs/science/presence.md, eqs. 4 to 6.
    """
    looked = ~np.isnan(chance)
    seen = np.where(looked, chance, 0.0)
    group, fit = BEFORE_ANY_ROUND, None
    for _ in range(PASSES):
        here = (
            np.ones_like(seen) if fit is None else here_or_gone(chance, fit.detection(), days, loss).smoothed
        )
        fit = fit_ease(seen, looked * here, group, start=fit, steps=3)
        spread = _spreads(fit)
        moved = max(abs(spread.bird_sd - group.bird_sd), abs(spread.round_sd - group.round_sd))
        group = spread
        if moved < 1e-4:
            break
    assert fit is not None
    return Together(fit, group)


def _spreads(fit: EaseFit) -> GroupEase:
    return GroupEase(
        fit.mean,
        _spread(fit.bird, fit.bird_variance, PRIOR_BIRDS, BEFORE_ANY_ROUND.bird_sd),
        _spread(fit.round, fit.round_variance, PRIOR_ROUNDS, BEFORE_ANY_ROUND.round_sd),
    )


def _spread(effect: Floats, variance: Floats, prior_count: float, prior_sd: float) -> float:
    squares = float((effect**2 + variance).sum()) + prior_count * prior_sd**2
    return float(np.sqrt(squares / (len(effect) + prior_count)))
