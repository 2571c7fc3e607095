"""Hold the watch against flocks whose birds change, and say what the floor costs.

Worlds of our own, whose laws are not the watch's: steady birds; a season (two birds in five swing by 1.5 to
3 logits over the year, all at once or each at its own time); sitting (one in five, or two in five and
harder, is hard to see for four weeks from a day nobody is told, or from then on); and three gone on one
day. The oracle knows every bird's ease, each round's, the hazard, the share of birds that change and how
much each would, not which do or, where they sit, when.

A table: log loss of all bird-days after 60 days as a ratio to the oracle's; false searches a bird-year (a
bird that is here is taken for gone with one half or more), of ours and of the oracle; days until a gone
bird is searched for (30 at most), of ours and of the oracle. A second one: what the species' limit adds,
for birds as they are in these worlds.

    .venv/bin/python benchmarks/watch_changes.py [flocks a world]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit

from tarsus.core.presence.advice import DEFAULT_CAUTION
from tarsus.core.presence.flock_state import empty_flock, with_birds
from tarsus.core.presence.fold import RoundRules, RoundTold, advance
from tarsus.core.presence.loss import DAYS_A_YEAR, daily_loss
from tarsus.core.presence.simulation import log_loss

Floats = NDArray[np.float64]
Which = NDArray[np.bool_]

SEED = 20261127
BIRDS, DAYS, LEARNING_DAYS, LATEST = 40, 300, 60, 30
MEAN, BIRD_SD, ROUND_SD, GONE_PER_YEAR = 2.0, 1.2, 0.7, 0.1
DAY_ONE = 739000


@dataclass(frozen=True)
class World:
    """One flock. `paths` ``(B, H, R)``: how each bird's ease may go, `shares` ``(H,)`` how often it does."""

    seen: Floats
    here: Which
    ease: Floats
    rounds: Floats
    paths: Floats
    shares: Floats
    loss: float

    def oracle(self) -> Floats:
        """``(B, R)`` chance of being here by one who knows all but which birds change."""
        detection = expit(self.ease[:, None, None] + self.paths + self.rounds)
        here, gone = np.tile(self.shares, (len(self.seen), 1)), np.zeros(len(self.seen))
        told = np.empty_like(self.seen)
        for r, seen in enumerate(self.seen.T == 1.0):
            gone = gone + self.loss * here.sum(axis=1)
            chance = detection[:, :, r]
            here = (1.0 - self.loss) * here * np.where(seen[:, None], chance, 1.0 - chance)
            gone = np.where(seen, 0.0, gone)
            total = here.sum(axis=1) + gone
            here, gone = here / total[:, None], gone / total
            told[:, r] = 1.0 - gone
        return told


def drawn(rng: np.random.Generator, paths: Floats, shares: Floats, fox: bool = False) -> World:
    """Draw one flock that may go along these paths."""
    loss = daily_loss(GONE_PER_YEAR)
    ease = MEAN + BIRD_SD * rng.standard_normal(BIRDS)
    rounds = ROUND_SD * rng.standard_normal(DAYS)
    last = rng.geometric(loss, BIRDS) - 1
    if fox:
        last[rng.choice(BIRDS, 3, replace=False)] = rng.integers(120, 260)
    path = np.array([rng.choice(len(shares), p=shares) for _ in range(BIRDS)])
    detection = expit(ease[:, None] + paths[np.arange(BIRDS), path] + rounds)
    here = np.arange(DAYS) < last[:, None]
    seen = here & (rng.random(here.shape) < detection)
    return World(seen.astype(float), here, ease, rounds, paths, shares, loss)


def steady(rng: np.random.Generator, *, fox: bool = False) -> World:
    return drawn(rng, np.zeros((BIRDS, 1, DAYS)), np.ones(1), fox)


def season(rng: np.random.Generator, *, together: bool) -> World:
    size = rng.uniform(1.5, 3.0, BIRDS)
    begins = np.full(BIRDS, rng.uniform(0, DAYS_A_YEAR)) if together else rng.uniform(0, DAYS_A_YEAR, BIRDS)
    turn = 2.0 * np.pi * (np.arange(DAYS) - begins[:, None]) / DAYS_A_YEAR
    swing = -0.5 * size[:, None] * (1.0 - np.cos(turn))
    return drawn(rng, np.stack([np.zeros_like(swing), swing], axis=1), np.array([0.6, 0.4]))


def sitting(
    rng: np.random.Generator, *, share: float, drop: tuple[float, float], weeks: int | None = 4
) -> World:
    first = np.arange(LEARNING_DAYS, DAYS - 20)
    day, ends = np.arange(DAYS), first + (DAYS if weeks is None else 7 * weeks)
    sits = (day >= first[:, None]) & (day < ends[:, None])
    hidden = np.concatenate([np.zeros((1, DAYS)), sits])
    paths = -rng.uniform(*drop, BIRDS)[:, None, None] * hidden
    return drawn(rng, paths, np.append(1.0 - share, np.full(len(first), share / len(first))))


WORLDS: dict[str, Callable[[np.random.Generator], World]] = {
    "steady": steady,
    "season, all at once": lambda rng: season(rng, together=True),
    "season, each its own": lambda rng: season(rng, together=False),
    "one in five sits": lambda rng: sitting(rng, share=0.2, drop=(1.0, 3.0)),
    "two in five sit, harder": lambda rng: sitting(rng, share=0.4, drop=(1.5, 4.0)),
    "one in five becomes shy": lambda rng: sitting(rng, share=0.2, drop=(1.0, 3.0), weeks=None),
    "three gone on one day": lambda rng: steady(rng, fox=True),
}


def watched(world: World) -> Floats:
    """``(B, R)`` chance of being here by the fold, the flock learnt on the way."""
    state = with_birds(empty_flock(), [f"{bird:03}" for bird in range(BIRDS)])
    rules = RoundRules(world.loss, max_unseen_days=10_000)
    told = np.empty_like(world.seen)
    for r in range(DAYS):
        state, _ = advance(state, RoundTold(DAY_ONE + r, world.seen[:, r]), rules)
        told[:, r] = state.still_here()
    return told


@dataclass
class Tally:
    """What one watcher got right and wrong."""

    loss: list[float] = field(default_factory=list)
    false: int = 0
    bird_years: float = 0.0
    delays: list[int] = field(default_factory=list)

    def add(self, world: World, worried: Which, still_here: Floats | None = None) -> None:
        """Count one flock; `worried` ``(B, R)`` says when a bird would be searched for."""
        here, days = world.here, np.arange(DAYS)
        if still_here is not None:
            self.loss.append(log_loss(still_here[:, LEARNING_DAYS:], here[:, LEARNING_DAYS:]))
        self.bird_years += here[:, LEARNING_DAYS:].sum() / DAYS_A_YEAR
        for bird, seen in enumerate(world.seen == 1.0):
            run = np.maximum.accumulate(np.where(seen, days, -1))
            called = np.flatnonzero(worried[bird] & ~seen)
            _, first = np.unique(run[called], return_index=True)
            alarms = called[first]
            self.false += int((here[bird, alarms] & (alarms >= LEARNING_DAYS)).sum())
            left = int(here[bird].sum())
            if LEARNING_DAYS <= left < DAYS:
                late = np.flatnonzero(worried[bird, left:] & (run[left:] < left))
                self.delays.append(min(int(late[0]) if len(late) else LATEST, LATEST))

    def told(self) -> str:
        return f"{self.false / self.bird_years:6.2f} {np.mean(self.delays):5.1f}"


def unseen_for(world: World, limit: int) -> Which:
    """``(B, R)`` unseen for the species' limit of days."""
    days = np.arange(DAYS)
    last = np.maximum.accumulate(np.where(world.seen == 1.0, days, -1), axis=1)
    return days - last >= limit


def speed(birds: int) -> float:
    """Milliseconds of one round of so many birds."""
    rng = np.random.default_rng(SEED)
    state, rules = with_birds(empty_flock(), [f"{bird:05}" for bird in range(birds)]), RoundRules(1e-4, 3)
    spent = []
    for r in range(12):
        told = RoundTold(DAY_ONE + r, (rng.random(birds) < 0.85).astype(float))
        began = time.process_time()
        state, _ = advance(state, told, rules)
        spent.append(time.process_time() - began)
    return 1000.0 * float(np.median(spent))


def main(flocks: int) -> None:
    print(f"{flocks} flocks a world of {BIRDS} birds and {DAYS} days, seed {SEED}")
    print(f"{'':26} log loss   false searches a bird-year, days to the first")
    print(f"{'':26}    ratio         ours       oracle")
    limits: dict[str, list[str]] = {}
    for name, draw in WORLDS.items():
        rng, ours, oracle = np.random.default_rng(SEED), Tally(), Tally()
        floors = {limit: (Tally(), Tally()) for limit in (1, 2, 3, 5, 7)}
        for _ in range(flocks):
            world = draw(rng)
            by_us, by_oracle = watched(world), world.oracle()
            worried = 1.0 - by_us >= DEFAULT_CAUTION.search
            ours.add(world, worried, by_us)
            oracle.add(world, 1.0 - by_oracle >= DEFAULT_CAUTION.search, by_oracle)
            for limit, (floor, both) in floors.items():
                floor.add(world, unseen_for(world, limit))
                both.add(world, worried | unseen_for(world, limit))
        ratio = np.mean(ours.loss) / np.mean(oracle.loss)
        print(f"{name:<26} {ratio:8.2f} {ours.told()} {oracle.told()}", flush=True)
        limits[name] = [both.told() for _, both in floors.values()]
    print(f"\nWith a limit of unseen days{'':9} 1{'':12} 2{'':12} 3{'':12} 5{'':12} 7")
    for name, told in limits.items():
        print(f"{name:<26} {'  '.join(told)}")
    print(f"\none round: 300 birds {speed(300):.1f} ms, 5,000 birds {speed(5000):.0f} ms")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
