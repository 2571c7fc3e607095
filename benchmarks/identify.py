"""How fast one reading is identified, against a per-bird loop of the same model in the same run.

The loop walks, bird by bird, through the ways in which what was read on both legs can have come about. The
flock is made ready once, as for a roll call, and is asked 400 readings that an observer drew from it, those
that nobody wears included. The bound for 300 birds is 200 times.

    .venv/bin/python benchmarks/identify.py
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Iterator
from itertools import combinations

import numpy as np
from measured import Measured, as_table

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import METAL, NOT_MADE_OUT, Bands, Marks, Reading
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.marks.sites import MIRROR
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.looking import look_next
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import UNTRAINED
from tarsus.core.readings.simulation import simulate_reading

BOUND, BOUND_FOR = 200, 300
READINGS = 400
LOOPED = 12
LIMITS = {10_000: 0.001, 1_000_000: 0.04}
"""Seconds of CPU for one answer, by the number of birds."""


def site_chance(misreading: Misreading, read: Bands, worn: Bands) -> float:
    """One site, every way in turn."""
    total, gone = 0.0, misreading.gone
    for remain in combinations(worn, len(read)):
        orders = [(list(remain), 1.0)]
        if len(remain) > 1:
            orders = [(list(remain), 1 - misreading.flip)]
            for at in range(len(remain) - 1):
                turned = list(remain)
                turned[at], turned[at + 1] = turned[at + 1], turned[at]
                orders.append((turned, misreading.flip / (len(remain) - 1)))
        for order, share in orders:
            chance = share * gone ** (len(worn) - len(read)) * (1 - gone) ** len(read)
            for r, w in zip(read, order, strict=True):
                if r != NOT_MADE_OUT:
                    chance *= misreading.confusion[misreading.code[w]][misreading.code[r]]
            total += chance
    return total


def looped(misreading: Misreading, birds: list[Bird], reading: Reading) -> list[float]:
    """The posterior over the flock, bird by bird."""
    weights = []
    for bird in birds:
        worn = dict(bird.marks.sites)
        straight, crossed = 1 - misreading.swap, misreading.swap
        for site, read in reading.sites:
            straight *= site_chance(misreading, read, worn.get(site, ()))
            crossed *= site_chance(misreading, read, worn.get(MIRROR[site], ()))
        weights.append(bird.prior * (straight + crossed))
    total = sum(weights) or 1.0
    return [weight / total for weight in weights]


def flock_of(rng: np.random.Generator, size: int) -> list[Bird]:
    """Avocets with a metal band by sex and two of nine colours, a fifth with three."""
    birds = []
    for at in range(size):
        colours = list(rng.choice(BUILT_IN.names[:9], 3 if at % 5 == 0 else 2))
        sides = ([METAL], colours) if at % 2 else (colours, [METAL])
        birds.append(
            Bird(f"A{at:03}", Marks.of(dict(zip(("left tibia", "right tibia"), sides, strict=True))))
        )
    return birds


def measure(size: int) -> Measured:
    """Print one line for a flock of this size; ours beside the loop, both by a reading."""
    rng = np.random.default_rng(300)
    misreading = Misreading.of(UNTRAINED, BUILT_IN)
    birds = flock_of(rng, size)
    readings = [
        simulate_reading(rng, birds[int(rng.integers(size))].marks, misreading) for _ in range(READINGS)
    ]
    plain = Flock(birds, misreading, strangers=0.0)
    slowest = []
    for reading in readings[:LOOPED]:
        start = time.process_time()
        expected = looped(misreading, birds, reading)
        slowest.append(time.process_time() - start)
        found = plain.posterior(reading).birds
        assert math.isclose(sum(expected), 1.0, rel_tol=1e-9)
        np.testing.assert_allclose(found, expected, rtol=1e-9, atol=1e-300)
    ours, looks, ready = [], [], []
    for _ in range(5):
        start = time.process_time()
        flock = Flock(birds, misreading)
        ready.append(time.process_time() - start)
        start = time.process_time()
        posteriors = [flock.posterior(reading) for reading in readings]
        ours.append((time.process_time() - start) / READINGS)
        start = time.process_time()
        for reading, posterior in zip(readings[:40], posteriors, strict=False):
            look_next(flock, reading, posterior)
        looks.append((time.process_time() - start) / 40)
    # The least of five runs for both, since other work on the machine only ever adds.
    loop = float(np.median(slowest))
    ratio = loop / min(ours)
    print(
        f"{size:>6} birds: {1e6 * min(ours):7.1f} us a reading, loop {1e3 * loop:8.2f} ms, "
        f"{ratio:6.0f} times faster; "
        f"{1e3 * min(ready):.1f} ms to make ready, where to look next {1e3 * min(looks):.2f} ms"
    )
    return Measured(
        f"a reading of {size} birds",
        min(ours),
        "a loop over the birds",
        loop,
        ratio,
        least=BOUND if size == BOUND_FOR else None,
    )


def answered(size: int, limit: float) -> Measured:
    """One whole answer of a flock too large for the loop: chances, candidates, where to look next."""
    rng = np.random.default_rng(301)
    misreading = Misreading.of(UNTRAINED, BUILT_IN)
    few = flock_of(rng, min(size, 20_000))
    birds = [few[at % len(few)] for at in range(size)]
    flock, took = Flock(birds, misreading), []
    for _ in range(40):
        reading = simulate_reading(rng, birds[int(rng.integers(size))].marks, misreading)
        start = time.process_time()
        posterior = flock.posterior(reading)
        flock.candidates(posterior, at_least=1e-3)
        look_next(flock, reading, posterior)
        took.append(time.process_time() - start)
    told = float(np.median(took))
    return Measured(f"a whole answer among {size:,} birds", told, "limit", limit, told / limit, most=1)


def lines() -> Iterator[Measured]:
    """The lines of `make bench`."""
    for size in (30, BOUND_FOR, 3000):
        yield measure(size)
    for size, limit in LIMITS.items():
        yield answered(size, limit)


if __name__ == "__main__":
    found = list(lines())
    print(as_table(found))
    sys.exit(not all(line.met for line in found))
