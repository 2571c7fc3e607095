"""How often a learned reader is falsely `earned`, at any check, where the reader errs as thought.

Each reader makes 200 checks; evidence is followed check by check, as an app that looks after each one would
see it. Printed for thresholds in nats: how many passed at some check. In a world that differs that is right.

    .venv/bin/python benchmarks/false_earned.py [readers, default 500] [world, default matching] [checks]

A reader takes some .2 s on one core.
"""

from __future__ import annotations

import sys

import numpy as np
from learning_worlds import BEFORE, PALETTE, checks_of, world

from tarsus.core.readings.earning import WANTED, followed
from tarsus.core.readings.fitting import Fitter

THRESHOLDS = (1.0, float(np.log(12.0)), WANTED)


def main() -> None:
    readers = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    name = sys.argv[2] if len(sys.argv) > 2 else "matching"
    count = int(sys.argv[3]) if len(sys.argv) > 3 else 200
    fitter = Fitter(BEFORE, PALETTE)
    most = []
    for at in range(readers):
        rng = np.random.default_rng([2026, 77, at])
        checks, _ = checks_of(world(name, rng), count, rng)
        most.append(followed(checks, fitter).max())
    for nats in THRESHOLDS:
        passed = int((np.array(most) >= nats).sum())
        bound = f", under {100 * (1 - 0.05 ** (1 / readers)):.2f} in 100 with 95 %" if not passed else ""
        factor = f"a factor of {np.exp(nats):.0f}"
        print(f"{name}: {nats:.2f} nats ({factor}): {passed} of {readers} at some check{bound}")
    if name == "matching" and (np.array(most) >= WANTED).mean() > 0.01:
        sys.exit("more than one in a hundred were falsely earned")


if __name__ == "__main__":
    main()
