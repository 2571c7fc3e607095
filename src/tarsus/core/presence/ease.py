"""Bird ease and round ease together: a penalised logistic regression with two crossed effects.

logit(detection of bird b in round r) = mean + bird[b] + round[r]. Axes: B birds, R rounds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit

from tarsus.core.presence.group import BEFORE_ANY_ROUND, MEAN_SD, GroupEase

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class EaseFit:
    """Ease on the logit scale, with the variance of each effect (Laplace)."""

    mean: float
    bird: Floats
    round: Floats
    bird_variance: Floats
    round_variance: Floats

    def detection(self) -> Floats:
        """``(B, R)`` chance of being seen."""
        seen: Floats = expit(self.mean + self.bird[:, None] + self.round[None, :])
        return seen


def fit_ease(
    seen: Floats,
    weight: Floats,
    group: GroupEase,
    *,
    mean_prior: tuple[float, float] = (BEFORE_ANY_ROUND.mean, MEAN_SD),
    start: EaseFit | None = None,
    steps: int = 50,
) -> EaseFit:
    """Estimate the ease of every bird and every round together, each shrunk to its group.

    Args:
        seen: ``(B, R)`` chance that the bird was seen, 0 to 1; what it holds where `weight` is 0 does not
            matter.
        weight: ``(B, R)`` how much the look counts: 0 not looked for, else the chance that the bird was here.
        group: spreads of birds and rounds (its mean is estimated afresh).
        mean_prior: centre and spread of the flock's mean.
        start: where to begin.
        steps: most Newton steps.

    Returns:
        The penalised maximum, with variances from the curvature there.

    Source:
        Ridge logistic regression with one penalty a factor; docs/science/presence.md, eq. 4.
    """
    if seen.shape[0] < seen.shape[1]:
        turned = None if start is None else _turned(start)
        other_way = GroupEase(group.mean, group.round_sd, group.bird_sd)
        fit = fit_ease(seen.T, weight.T, other_way, mean_prior=mean_prior, start=turned, steps=steps)
        return _turned(fit)
    fit = start or _nothing_known(seen.shape, mean_prior[0])
    y = np.where(weight > 0.0, seen, 0.0)
    for _ in range(steps):
        fit, moved = _newton_step(fit, y, weight, group, mean_prior)
        if moved < 1e-10:
            break
    return fit


def _turned(fit: EaseFit) -> EaseFit:
    return EaseFit(fit.mean, fit.round, fit.bird, fit.round_variance, fit.bird_variance)


def _nothing_known(shape: tuple[int, ...], mean: float) -> EaseFit:
    birds, rounds = np.zeros(shape[0]), np.zeros(shape[1])
    return EaseFit(mean, birds, rounds, birds, rounds)


def _newton_step(
    fit: EaseFit, y: Floats, weight: Floats, group: GroupEase, mean_prior: tuple[float, float]
) -> tuple[EaseFit, float]:
    """One step on the penalised log-likelihood; the birds' block is diagonal and eliminated first."""
    p = fit.detection()
    residual, curvature = weight * (y - p), weight * p * (1.0 - p)
    bird_rigid, round_rigid, mean_rigid = group.bird_sd**-2, group.round_sd**-2, mean_prior[1] ** -2
    bird_slope = residual.sum(1) - bird_rigid * fit.bird
    rest_slope = np.append(
        residual.sum(0) - round_rigid * fit.round,
        residual.sum() - mean_rigid * (fit.mean - mean_prior[0]),
    )
    diagonal = curvature.sum(1) + bird_rigid
    across = np.column_stack([curvature, curvature.sum(1)])  # (B, R + 1): birds against rounds and mean
    rest = np.diag(np.append(curvature.sum(0) + round_rigid, curvature.sum() + mean_rigid))
    rest[:-1, -1] = rest[-1, :-1] = curvature.sum(0)
    inverse = np.linalg.inv(rest - across.T @ (across / diagonal[:, None]))
    rest_move = inverse @ (rest_slope - across.T @ (bird_slope / diagonal))
    bird_move = (bird_slope - across @ rest_move) / diagonal
    # A full step can overshoot where nearly everything was seen; two logits at a time cannot.
    largest = float(max(np.abs(rest_move).max(), np.abs(bird_move).max(initial=0.0)))
    short = min(1.0, 2.0 / largest) if largest > 0.0 else 1.0
    bird_variance = 1.0 / diagonal + np.einsum("br,rs,bs->b", across, inverse, across) / diagonal**2
    return (
        EaseFit(
            fit.mean + short * float(rest_move[-1]),
            fit.bird + short * bird_move,
            fit.round + short * rest_move[:-1],
            bird_variance,
            np.diag(inverse)[:-1].copy(),
        ),
        largest,
    )
