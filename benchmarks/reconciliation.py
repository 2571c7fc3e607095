"""How far the approximation of `tarsus reconcile` errs, and how long rounds take.

Readings are drawn by a trained reader from a flock with a metal band and two of nine colours; some are parts
(one leg seen), some are empty. Errors are against exact sums with a larger allowance, where those finish, and
beyond against a long chain of exchanges, whose own error is told. Run from the project's root:
`OPENBLAS_NUM_THREADS=1 python benchmarks/reconciliation.py`.
"""

from __future__ import annotations

import time

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.candidates import possible_marks
from tarsus.core.marks.marks import Reading
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED
from tarsus.core.readings.reconciliation import GroupOfReadings, reconciled
from tarsus.core.readings.simulation import simulate_reading

Floats = NDArray[np.float64]

NINE = Palette(BUILT_IN.colours[:9])
RULE = MarkRule.of(
    {"F": "left leg", "M": "right leg"}, {"F": {"right leg": 2, "left leg": 0}, "M": {"left leg": 2}}
)
WIDE = MarkRule.of(
    {"F": "left leg", "M": "right leg"},
    {"F": {"right leg": 2, "left leg": 1}, "M": {"left leg": 2, "right leg": 1}},
)
ALLOWED = 1_500_000_000
"""Products that exact sums may take here: what the errors are measured against."""


def drawn_group(
    birds: int, readings: int, part: float, empty: float, rng: np.random.Generator
) -> GroupOfReadings:
    """A flock, and readings of different birds of it."""
    misreading = Misreading.of(TRAINED, NINE)
    options = [
        marks for sex in "FM" for marks in possible_marks(RULE if birds <= 120 else WIDE, sex, NINE.names)
    ]
    flock = [Bird(str(k), options[at]) for k, at in enumerate(rng.choice(len(options), birds, replace=False))]
    ready = Flock(flock, misreading)
    weights, strangers = np.zeros((readings, birds)), np.zeros(readings)
    for r, true in enumerate(rng.choice(birds, readings, replace=False)):
        whole = simulate_reading(rng, flock[true].marks, misreading, unclear=0.05)
        kept = list(whole.sites)
        draw = rng.random()
        if draw < empty:
            kept = []
        elif draw < empty + part:
            kept = [kept[int(rng.integers(len(kept)))]]
        posterior = ready.posterior(Reading(tuple(kept)))
        weights[r] = posterior.birds
        strangers[r] = max(posterior.none_of_these, 1e-12)
    return GroupOfReadings(weights, strangers)


def ignoring(group: GroupOfReadings) -> Floats:
    """What each reading says alone."""
    return group.weights / (group.weights.sum(axis=1) + group.strangers)[:, None]


def chain(group: GroupOfReadings, sweeps: int, rng: np.random.Generator) -> Floats:
    """Chances by a chain that moves one reading at a time, or exchanges the birds of two (Metropolis)."""
    weights = np.column_stack([group.weights, group.strangers])
    readings, none = len(weights), group.weights.shape[1]
    holds = np.full(readings, none)
    taken = np.zeros(none, dtype=bool)
    counts = np.zeros_like(weights)
    log_free = np.cumsum(weights, axis=1)
    for sweep in range(sweeps):
        for r in rng.permutation(readings):
            # A bird drawn by its weight; if another reading holds it, the two try to exchange.
            new = int(np.searchsorted(log_free[r], rng.random() * log_free[r, -1], side="right"))
            old = int(holds[r])
            if new == old:
                continue
            if new == none or not taken[new]:
                holds[r] = new
            else:
                other = int(np.flatnonzero(holds == new)[0])
                # Proposed by r's own weights, so only the other's weights decide.
                if rng.random() * weights[other, new] < weights[other, old] or weights[other, new] == 0:
                    holds[r], holds[other] = new, old
            for bird in (old, new):
                if bird != none:
                    taken[bird] = bool((holds == bird).any())
        if sweep >= sweeps // 10:
            counts[np.arange(readings), holds] += 1
    return np.asarray(counts[:, :-1] / counts.sum(axis=1, keepdims=True))


def against_exact() -> None:
    """Errors where exact sums finish."""
    print("against exact sums: errors of a bird's chance to have been seen, and of a reading's chance")
    print(f"{'birds':>6}{'readings':>9}{'rounds':>7}{'worst':>12}{'mean':>11}{'worst read':>12}{'alone':>8}")
    for birds, readings, part, empty in (
        (30, 10, 0.3, 0.1), (30, 14, 0.3, 0.1), (30, 18, 0.3, 0.1),
        (60, 14, 0.6, 0.1), (60, 18, 0.2, 0.1), (120, 14, 0.5, 0.2),
    ):  # fmt: skip
        worst_seen, mean_seen, worst_reading, alone, rounds = 0.0, [], 0.0, 0.0, 0
        for seed in range(12):
            group = drawn_group(birds, readings, part, empty, np.random.default_rng(seed))
            exact = reconciled([group], birds, most_cells=ALLOWED)
            if exact.method != "exact":
                continue
            rounds += 1
            near = reconciled([group], birds, most_cells=0)
            error = np.abs(near.seen - exact.seen)
            worst_seen = max(worst_seen, float(error.max()))
            mean_seen.append(float(error.mean()))
            moved = np.abs(near.groups[0].chances - exact.groups[0].chances)
            worst_reading = max(worst_reading, float(moved.max()))
            alone = max(alone, float(np.abs(ignoring(group) - exact.groups[0].chances).max()))
        print(
            f"{birds:>6}{readings:>9}{rounds:>7}{worst_seen:>12.1e}{np.mean(mean_seen):>11.1e}"
            f"{worst_reading:>12.1e}{alone:>8.2f}"
        )


def against_chain() -> None:
    """Errors beyond, against a long chain and the difference of two such chains."""
    print("\nagainst a long chain (worst error of a reading's chance; between two halves of the chain)")
    for birds, readings, part, empty in ((60, 40, 0.4, 0.1), (120, 80, 0.4, 0.1)):
        group = drawn_group(birds, readings, part, empty, np.random.default_rng(1))
        near = reconciled([group], birds, most_cells=0).groups[0].chances
        one, other = (chain(group, 12_000, np.random.default_rng(seed)) for seed in (1, 2))
        both = (one + other) / 2
        print(
            f"{birds:>6}{readings:>9}  here {np.abs(near - both).max():.3f}, "
            f"chains differ by {np.abs(one - other).max():.3f}, "
            f"alone {np.abs(ignoring(group) - both).max():.2f}"
        )


def times() -> None:
    """How long rounds take."""
    print("\nseconds for a round in one group, and in groups of 12")
    for birds, readings in ((30, 20), (60, 40), (120, 80), (400, 20), (400, 300)):
        group = drawn_group(birds, readings, 0.4, 0.1, np.random.default_rng(2))
        began = time.perf_counter()
        whole = reconciled([group], birds)
        took = time.perf_counter() - began
        cut = range(0, readings, 12)
        parts = [GroupOfReadings(group.weights[k : k + 12], group.strangers[k : k + 12]) for k in cut]
        began = time.perf_counter()
        by_twelve = reconciled(parts, birds)
        print(
            f"{birds:>6}{readings:>9}  one group {took:.2f} s ({whole.method}), "
            f"twelves {time.perf_counter() - began:.2f} s ({by_twelve.method})"
        )


if __name__ == "__main__":
    against_exact()
    against_chain()
    times()
