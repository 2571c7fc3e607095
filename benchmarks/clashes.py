"""Fewest birds to re-band: flocks with up to 100 birds in clashes, against the floor of the cover.

The bound is 10 s for 100 birds with clashes, and the plan must be proven.
"""

from __future__ import annotations

import sys
import time
from itertools import product

import numpy as np

from tarsus.core.choosing.rebanding import plan_rebanding
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED

RULE = MarkRule.of(
    metal={"F": "left leg", "M": "right leg"},
    colours={"F": {"right leg": 2}, "M": {"left leg": 2}},
)
BOUND_S = 10.0


def flocks_meeting(clashing: int, rng: np.random.Generator) -> list[Bird]:
    """Two flocks, each clean by itself, in which `clashing` birds in all wear another's marks."""
    pairs = [(a, b) for a, b in product(BUILT_IN.names[:10], repeat=2)]
    worn = [pairs[i] for i in rng.permutation(len(pairs))]
    half = clashing // 2
    residents = [Bird(f"A{i}", marks(pair), sex="F") for i, pair in enumerate(worn[: half + 15])]
    return residents + [Bird(f"B{i}", marks(pair), sex="F") for i, pair in enumerate(worn[:half])]


def marks(pair: tuple[str, str]) -> Marks:
    return Marks.of({"left leg": ["metal"], "right leg": list(pair)})


if __name__ == "__main__":
    misreading = Misreading.of(TRAINED, BUILT_IN)
    worst = 0.0
    for clashing in (10, 30, 60, 100):
        flock = flocks_meeting(clashing, np.random.default_rng(clashing))
        start = time.perf_counter()
        plan = plan_rebanding(flock, RULE, BUILT_IN.names, misreading, clarity=0.2)
        took = time.perf_counter() - start
        worst = max(worst, took)
        print(
            f"{clashing:>4} birds with clashes, {len(flock)} in all: re-band {len(plan.birds)},"
            f" floor {plan.least:.0f}, proven {plan.proven}, {took:.2f} s ({took / BOUND_S:.2f} of the bound)"
        )
    sys.exit(worst > BOUND_S)
