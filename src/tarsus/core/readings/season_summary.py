"""Seasons of several schemes side by side, with intervals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.stats import binom
from scipy.stats import t as student

from tarsus.core.readings.season import SeasonPlayed

SHARES: Final = ("right", "misnamed", "unnamed", "unresolved")


@dataclass(frozen=True, slots=True)
class Estimate:
    """A mean over seasons with its 95 % interval."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class RoundsToSeeAll:
    """Rounds until every bird had been named rightly once: the median season with its 95 % interval (None:
    more than the season has), and the share of seasons in which it did not come to that."""

    median: float | None
    low: float | None
    high: float | None
    not_all: float


@dataclass(frozen=True)
class SchemeSummary:
    """One scheme over its seasons.

    `shares` are of all readings, `against` is the difference to the first scheme.
    """

    shares: dict[str, Estimate]
    against: dict[str, Estimate]
    rounds_to_see_all: RoundsToSeeAll


def summarised(played: Sequence[Sequence[SeasonPlayed]]) -> tuple[SchemeSummary, ...]:
    """Put schemes side by side.

    Args:
        played: seasons by scheme; the k-th season of each was played with the same seed.

    Returns:
        One summary a scheme.

    Source:
        Student's interval over seasons, of differences season by season; the interval of a median from the
        binomial distribution of order statistics.
    """
    shares = [{name: _shares(seasons, name) for name in SHARES} for seasons in played]
    return tuple(
        SchemeSummary(
            {name: _bounded(mean_with_interval(of[name])) for name in SHARES},
            {name: mean_with_interval(of[name] - shares[0][name]) for name in SHARES},
            _rounds(seasons),
        )
        for of, seasons in zip(shares, played, strict=True)
    )


def _shares(seasons: Sequence[SeasonPlayed], name: str) -> NDArray[np.float64]:
    return np.array([getattr(season, name) / max(season.readings, 1) for season in seasons])


def mean_with_interval(values: NDArray[np.float64]) -> Estimate:
    """The mean of some seasons with Student's 95 % interval; no width where there is but one season.

    Source:
        docs/science/study.md.
    """
    mean = float(values.mean())
    if len(values) < 2:
        return Estimate(mean, mean, mean)
    half = float(student.ppf(0.975, len(values) - 1) * values.std(ddof=1) / np.sqrt(len(values)))
    return Estimate(mean, mean - half, mean + half)


def _bounded(estimate: Estimate) -> Estimate:
    return Estimate(estimate.mean, max(estimate.low, 0.0), min(estimate.high, 1.0))


def _rounds(seasons: Sequence[SeasonPlayed]) -> RoundsToSeeAll:
    ended = [np.inf if s.rounds_to_see_all is None else s.rounds_to_see_all for s in seasons]
    ended = sorted(ended)
    count = len(ended)
    # Order statistics that hold the median with at least 95 %; all there is where seasons are too few.
    below = int(binom.ppf(0.025, count, 0.5))
    low, high = ended[max(below - 1, 0)], ended[min(count - below, count - 1)]
    not_all = sum(np.isinf(rounds) for rounds in ended) / count
    return RoundsToSeeAll(_told(float(np.median(ended))), _told(low), _told(high), float(not_all))


def _told(rounds: float) -> float | None:
    # The median of two middle seasons of which one never ended is not a number.
    return float(rounds) if np.isfinite(rounds) else None
