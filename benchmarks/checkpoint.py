"""Measure a day's update of 5,000 birds with 1, 5 and 20 years behind it.

Fifty flocks of a hundred birds, one round a day. The past of one flock is folded in full, checked to the
last bit against one carried through its kept form, and stands for all fifty: what a day costs depends on
the state's size.

    .venv/bin/python benchmarks/checkpoint.py [years, default 1 5 20]
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Iterator

import numpy as np
from measured import Measured

from tarsus.core.presence.checkpoint import as_plain, from_plain
from tarsus.core.presence.flock_state import FlockState, empty_flock, with_birds
from tarsus.core.presence.fold import RoundRules, RoundTold, advance
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.simulation import SimulatedFlock, simulate_flock

FLOCKS, BIRDS, DAY_ONE = 50, 100, 732_000
RULES = RoundRules(loss=1 / 3650, max_unseen_days=3)


def one_flock(days: int) -> SimulatedFlock:
    rng = np.random.default_rng(5)
    group = GroupEase(1.5, 1.2, 0.8)
    return simulate_flock(rng, birds=BIRDS, days=days, a_day=1, group=group, gone_per_year=0.02)


def folded(flock: SimulatedFlock, *, kept_every: int | None) -> FlockState:
    state = with_birds(empty_flock(), [f"{bird:03}" for bird in range(BIRDS)])
    for r, day in enumerate(flock.days):
        state, _ = advance(state, RoundTold(DAY_ONE + int(day), flock.chance[:, r]), RULES)
        if kept_every and r % kept_every == 0:
            state = from_plain(json.loads(json.dumps(as_plain(state))))
    return state


def days_update(kept: str, looks: np.ndarray, day: int) -> str:
    """What a night does for one flock: read its checkpoint, take the day's round in, keep it."""
    state = from_plain(json.loads(kept))
    state, _ = advance(state, RoundTold(day, looks), RULES)
    return json.dumps(as_plain(state))


def lines() -> Iterator[Measured]:
    """The lines of `make bench`: what a day costs does not grow with the years behind it."""
    took = {}
    for span in (1, 4):
        flock = one_flock(365 * span + 1)
        kept, day = json.dumps(as_plain(folded(flock, kept_every=None))), DAY_ONE + len(flock.days)
        took[span] = _least_of_three(kept, flock.chance[:, -1], day)
    job = f"a day's watch of {FLOCKS * BIRDS} birds, 4 years behind it"
    yield Measured(job, took[4], "1 year behind it", took[1], took[4] / took[1], most=1.15)


def _least_of_three(kept: str, looks: np.ndarray, day: int) -> float:
    rounds = []
    for _ in range(3):
        began = time.process_time()
        for _ in range(FLOCKS):
            days_update(kept, looks, day)
        rounds.append(time.process_time() - began)
    return min(rounds)


def main(years: list[int]) -> None:
    print(f"{FLOCKS} flocks of {BIRDS}: {FLOCKS * BIRDS} birds, one round a day")
    for span in years:
        flock = one_flock(365 * span + 1)
        began = time.perf_counter()
        rebuilt = folded(flock, kept_every=None)
        whole = time.perf_counter() - began
        same = as_plain(rebuilt) == as_plain(folded(flock, kept_every=30))
        kept, day = json.dumps(as_plain(rebuilt)), DAY_ONE + len(flock.days)
        update = _least_of_three(kept, flock.chance[:, -1], day)
        print(
            f"{span:3} years behind: a day's update {1000 * update:6.0f} ms, "
            f"{FLOCKS * len(kept) / 1e6:5.1f} MB of checkpoints; rebuilding from "
            f"{FLOCKS * BIRDS * len(flock.days) / 1e6:5.1f} million looks {FLOCKS * whole:6.0f} s; "
            f"carried = rebuilt to the last bit: {same}",
            flush=True,
        )


if __name__ == "__main__":
    main([int(word) for word in sys.argv[1:]] or [1, 5, 20])
