"""Whether practice helps a reader whose checks are few, and is left out where it says nothing of the exhibit.

    .venv/bin/python benchmarks/practice_prior.py [readers, default 12]

Each reader errs as one of the worlds of `learning_worlds.py` and makes 40 real checks; the practice is 20
drawings read with the same errors, as thought (a screen on which nothing is mixed up), or with others.
Printed: of how many practice was used, and what it gained on 200 further checks. Some two seconds a reader.
"""

from __future__ import annotations

import sys

import numpy as np
from learning_worlds import BEFORE, PALETTE, checks_of, world

from tarsus.core.readings.error_paths import Check
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.teaching import person_lesson

PRACTICE = {
    "with the same errors": lambda errs, _: errs,
    "as thought": lambda _, rng: world("matching", rng),
    "on a screen at dusk": lambda _, rng: world("dusk", rng),
}
CHECKS = 40


def loss(reader: Misreading, checks: list[Check]) -> float:
    """Mean log loss of what was read."""
    chances = [reader.reading_chance(check.read, check.worn) for check in checks]
    return float(-np.log(np.maximum(chances, 1e-6)).mean())


def main() -> None:
    readers = int(sys.argv[1]) if len(sys.argv) > 1 else 12
    false = 0
    for name in ("matching", "mixed-up sides", "dirty"):
        for what, practice_of in PRACTICE.items():
            gains = []
            for at in range(readers):
                rng = np.random.default_rng([2026, 91, at])
                errs = world(name, rng)
                (checks, _), (later, _) = checks_of(errs, CHECKS, rng), checks_of(errs, 200, rng)
                drawn, _ = checks_of(practice_of(errs, rng), 20, rng)
                told = person_lesson(checks, [], BEFORE, BEFORE, PALETTE, drawn)
                if told.practised:
                    without = person_lesson(checks, [], BEFORE, BEFORE, PALETTE)
                    gains.append(loss(without.after, later) - loss(told.after, later))
            gained = f", gaining {np.mean(gains):.4f} nats a check" if gains else ""
            print(f"{name}, practice {what}: used by {len(gains)} of {readers}{gained}")
            false += len(gains) if name == "matching" else 0
    if false > 0.01 * readers * len(PRACTICE) + 1:
        sys.exit("practice was used where readers err as thought")


if __name__ == "__main__":
    main()
