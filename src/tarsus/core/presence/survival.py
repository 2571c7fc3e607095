"""Survival and detection from birds released in cohorts and reseen later: constant in time.

The likelihood of the m-array, each line a multinomial. It serves parks that want a yearly rate of vanishing
from their own record (`gone_per_year`), and it is the check of the package's detection model against a
published data set.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.special import expit, logit

from tarsus.core.errors import WrongValue

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class SurvivalFit:
    """Chance of staying from one occasion to the next and of being seen on one, with standard errors."""

    survival: float
    survival_se: float
    detection: float
    detection_se: float
    minus_two_log_likelihood: float


def fit_survival(released: Sequence[int], first_seen_again: Sequence[Sequence[int]]) -> SurvivalFit:
    """Estimate survival and detection, both constant.

    Args:
        released: birds released at each occasion but the last, those seen again and released anew included.
        first_seen_again: for each of them how many were first seen again one, two, … occasions later.

    Returns:
        Maximum-likelihood estimates; standard errors from the curvature on the logit scale (delta method);
        −2 ln L of the multinomial's kernel, without its coefficients.

    Raises:
        WrongValue: more birds were seen again than were released, or a line is longer than occasions are
        left.

    Assumes:
        Every bird released together has the same chances, and leaving for good and dying are one.

    Source:
        Cormack-Jolly-Seber likelihood as in Lebreton et al. 1992, Ecol. Monogr. 62:67-118;
        docs/science/presence.md, eq. 13.
    """
    lines = _checked(released, first_seen_again)

    def deviance(theta: Floats) -> float:
        return _deviance(float(expit(theta[0])), float(expit(theta[1])), released, lines)

    best = minimize(deviance, x0=logit([0.7, 0.7]), method="Nelder-Mead", tol=1e-10)
    survival, detection = (float(value) for value in expit(best.x))
    spread = np.sqrt(np.diag(np.linalg.inv(_curvature(deviance, best.x) / 2.0)))
    return SurvivalFit(
        survival,
        float(spread[0]) * survival * (1.0 - survival),
        detection,
        float(spread[1]) * detection * (1.0 - detection),
        float(best.fun),
    )


def _checked(released: Sequence[int], first_seen_again: Sequence[Sequence[int]]) -> list[list[int]]:
    if len(released) != len(first_seen_again):
        lines = len(first_seen_again)
        raise WrongValue("first_seen_again", f"has {lines} lines for {len(released)} releases")
    for at, (birds, line) in enumerate(zip(released, first_seen_again, strict=True)):
        place, left = f"first_seen_again[{at}]", len(released) - at
        if sum(line) > birds:
            raise WrongValue(place, f"{sum(line)} seen again of {birds} released; check both")
        if len(line) > left:
            raise WrongValue(place, f"has more than the {left} occasions left")
    return [list(line) + [0] * (len(released) - at - len(line)) for at, line in enumerate(first_seen_again)]


def _deviance(survival: float, detection: float, released: Sequence[int], lines: list[list[int]]) -> float:
    log_likelihood = 0.0
    for birds, line in zip(released, lines, strict=True):
        later = np.arange(len(line))
        seen = survival * detection * (survival * (1.0 - detection)) ** later
        never = 1.0 - seen.sum()
        log_likelihood += float((np.array(line) * np.log(seen)).sum() + (birds - sum(line)) * np.log(never))
    return -2.0 * log_likelihood


def _curvature(deviance: Callable[[Floats], float], at: Floats, step: float = 1e-3) -> Floats:
    """Second differences: the deviance is smooth, and a thousandth of a logit is far above its rounding."""
    size = len(at)
    bend = np.empty((size, size))
    move = np.eye(size) * step
    for i in range(size):
        for j in range(size):
            corners = [
                sign_i * sign_j * deviance(at + sign_i * move[i] + sign_j * move[j])
                for sign_i in (1, -1)
                for sign_j in (1, -1)
            ]
            bend[i, j] = sum(corners) / (4.0 * step**2)
    return bend
