"""Simulated flocks of shy and bold birds with foggy rounds, to hold the model against what is true."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit

from tarsus.core.presence.filtering import still_here
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.loss import daily_loss

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class SimulatedFlock:
    """One flock and the truth of it. Axes: B birds, R rounds.

    `days`: ``(R,)`` day of each round from 0. `here`: ``(B, R)`` whether each was there. `detection`: ``(B,
    R)`` its chance of being seen if there. `chance`: ``(B, R)`` 1 seen and 0 not, as the watch takes it.
    """

    days: NDArray[np.int64]
    here: NDArray[np.bool_]
    detection: Floats
    chance: Floats
    bird_ease: Floats
    round_ease: Floats
    loss: float

    def gaps(self) -> Floats:
        """``(R,)`` days before each round since the one before."""
        return np.diff(self.days, prepend=self.days[:1] - 1).astype(float)

    def best_possible(self) -> Floats:
        """``(B, R)`` chance of being here by a filter that knows every bird's and every round's true ease."""
        return still_here(self.chance, self.detection, self.gaps(), self.loss)


def simulate_flock(
    rng: np.random.Generator, *, birds: int, days: int, a_day: int, group: GroupEase, gone_per_year: float
) -> SimulatedFlock:
    """Draw a flock whose birds leave at a small daily hazard.

    Args:
        rng: where chance comes from.
        birds: how many start.
        days: how many days are watched.
        a_day: rounds on each day.
        group: spreads of birds and rounds.
        gone_per_year: share that leaves in a year.

    Returns:
        What was seen, and the truth.

    Source:
        docs/science/presence.md, eq. 3 and 4.
    """
    loss = daily_loss(gone_per_year)
    day = np.repeat(np.arange(days), a_day)
    bird_ease = group.mean + group.bird_sd * rng.standard_normal(birds)
    round_ease = group.round_sd * rng.standard_normal(len(day))
    last_day = rng.geometric(loss, birds) - 1 if loss > 0.0 else np.full(birds, days)
    here = day[None, :] < last_day[:, None]
    detection = expit(bird_ease[:, None] + round_ease[None, :])
    seen = here & (rng.random(here.shape) < detection)
    return SimulatedFlock(day, here, detection, seen.astype(float), bird_ease, round_ease, loss)


def log_loss(chance: Floats, true: NDArray[np.bool_]) -> float:
    """Mean log loss of chances against what was true.

    Source:
        The logarithmic score (Good 1952, J. R. Stat. Soc. B 14:107-114; from memory).
    """
    held = np.clip(chance, 1e-12, 1.0 - 1e-12)
    return float(-np.where(true, np.log(held), np.log1p(-held)).mean())


def share_flagged(worry: Floats, gone: NDArray[np.bool_], false_alarms: float) -> float:
    """Share of gone bird-days that are flagged when a given share of the others is flagged too.

    Args:
        worry: any score, larger is more worrying.
        gone: which bird-days are truly gone.
        false_alarms: share of bird-days that are there and may be flagged.

    Returns:
        The share, ties drawn by lot, so that a coarse score is not punished for being coarse.
    """
    there = np.sort(worry[~gone])[::-1]
    allowed = false_alarms * len(there)
    threshold = there[min(int(allowed), len(there) - 1)]
    surely, tied = (worry[gone] > threshold).mean(), (worry[gone] == threshold).mean()
    left_over = (allowed - (there > threshold).sum()) / max(int((there == threshold).sum()), 1)
    return float(surely + tied * min(left_over, 1.0))
