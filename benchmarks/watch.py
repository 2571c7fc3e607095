"""Hold the watch against the truth of simulated flocks.

Two figures a setting: the log loss of `still_here` as a ratio to a filter that knows every bird's and every
round's true ease, and the share of gone bird-days that are flagged at one false alarm in a hundred, beside
what counting unseen rounds flags. The checkpoint's own fold is measured, group values learnt on the way,
and for the last day the command's whole-table estimate.

    .venv/bin/python benchmarks/watch.py [flocks a setting]
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from tarsus.core.presence.flock_state import empty_flock, with_birds
from tarsus.core.presence.fold import RoundRules, RoundTold, advance
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.simulation import SimulatedFlock, log_loss, share_flagged, simulate_flock
from tarsus.core.presence.watch import watch_flock

Floats = NDArray[np.float64]
DAY_ONE = date(2026, 1, 1)
SEED = 20260301
FORTNIGHT = 14


@dataclass(frozen=True)
class Setting:
    name: str
    group: GroupEase
    birds: int
    days: int
    a_day: int
    learning_days: int
    gone_per_year: float


SETTINGS = (
    Setting("shy and bold, foggy", GroupEase(1.5, 1.5, 1.0), 40, 60, 1, 20, 0.6),
    Setting("shy and bold, foggy, longer", GroupEase(1.5, 1.3, 0.9), 40, 150, 1, 60, 0.3),
    Setting("shy flock", GroupEase(1.0, 1.3, 1.0), 40, 60, 1, 20, 0.6),
    Setting("twice a day", GroupEase(1.5, 1.3, 0.9), 30, 90, 2, 30, 0.4),
    Setting("bold flock", GroupEase(2.5, 0.8, 0.6), 40, 90, 1, 30, 0.4),
    Setting("small flock", GroupEase(1.5, 1.3, 0.9), 8, 90, 1, 30, 0.4),
)


def bird_days(flock: SimulatedFlock, learning_days: int) -> Floats:
    """Rows: still here by the fold, by the true filter, misses in a row, gone, days gone."""
    state = with_birds(empty_flock(), [f"{bird:04}" for bird in range(len(flock.here))])
    rules = RoundRules(flock.loss, max_unseen_days=10_000)
    best = flock.best_possible()
    last = np.where(flock.here.any(axis=1), (flock.here * flock.days).max(axis=1), -1)
    rows = []
    for r, day in enumerate(flock.days):
        state, _ = advance(state, RoundTold(DAY_ONE.toordinal() + int(day), flock.chance[:, r]), rules)
        if day >= learning_days:
            rows.append([state.still_here(), best[:, r], state.missed, ~flock.here[:, r], day - last])
    return np.concatenate([np.array(row, dtype=float) for row in rows], axis=1)


def last_day(flock: SimulatedFlock, gone_per_year: float) -> tuple[float, float]:
    """Log loss of the command's answer on the last day, and of the true filter."""
    names = [f"{bird:04}" for bird in range(len(flock.here))]
    days = [DAY_ONE + timedelta(days=int(day)) for day in flock.days]
    watch = watch_flock(names, days, flock.chance, gone_per_year=gone_per_year, max_unseen_days=10_000)
    told = np.array([bird.still_here for bird in watch.birds])
    here = flock.here[:, -1]
    return log_loss(told, here), log_loss(flock.best_possible()[:, -1], here)


def measured(setting: Setting, flocks: int) -> str:
    rng = np.random.default_rng(SEED)
    days, ends = [], []
    for _ in range(flocks):
        flock = simulate_flock(
            rng,
            birds=setting.birds,
            days=setting.days,
            a_day=setting.a_day,
            group=setting.group,
            gone_per_year=setting.gone_per_year,
        )
        days.append(bird_days(flock, setting.learning_days))
        ends.append(last_day(flock, setting.gone_per_year))
    still_here, best, missed, gone, days_gone = np.concatenate(days, axis=1)
    is_gone = gone == 1.0
    ratio = log_loss(still_here, ~is_gone) / log_loss(best, ~is_gone)
    end_ratio = np.mean([ours for ours, _ in ends]) / np.mean([theirs for _, theirs in ends])
    recent = ~is_gone | (days_gone <= FORTNIGHT)
    flagged = [
        100 * share_flagged(worry[kept], is_gone[kept], 0.01)
        for kept in (recent, np.ones_like(recent))
        for worry in (1.0 - still_here, missed, 1.0 - best)
    ]
    return (
        f"{setting.name:<28} {ratio:5.2f} {end_ratio:5.2f}   "
        f"{flagged[0]:5.1f} {flagged[1]:5.1f} {flagged[2]:5.1f}   "
        f"{flagged[3]:5.1f} {flagged[4]:5.1f} {flagged[5]:5.1f}"
    )


def main(flocks: int) -> None:
    print(f"{flocks} flocks a setting, seed {SEED}. Log loss against the truth; flagged at 1 % false alarms.")
    print(f"{'':<28} log loss ratio  first fortnight gone   all days gone")
    print(f"{'':<28}  days  end    ours count truth    ours count truth")
    for setting in SETTINGS:
        print(measured(setting, flocks), flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 60)
