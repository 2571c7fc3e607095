"""What the hour of a sighting and the plumage are worth to who it is: part readings of a flock of 48.

Each world says how birds differ in their hours, and how many of them are young. The habit is learnt from as
many sightings as are printed, so that few of them show whether chance is taken for habit. Printed: log loss a
reading without them and what they gain, each reading of one leg with half of its bands not made out.

    .venv/bin/python benchmarks/usual.py [flocks]
"""

from __future__ import annotations

import sys

import numpy as np
from learning_worlds import BEFORE, some_marks

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Reading
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.plumage import looks_young
from tarsus.core.readings.simulation import simulate_reading
from tarsus.core.readings.times_of_day import PARTS, time_factors

BIRDS, READINGS, GROWN_AT = 48, 60, 400
HABITS = {"all keep the same hours": 1e6, "hours differ": 4.0, "hours differ much": 0.7}


def worth(habit: float, sightings: int, young: float, rng: np.random.Generator) -> tuple[float, float]:
    """Log loss a reading without and with what is usual, in one flock."""
    flocks_hours = np.array([0.5, 0.2, 0.3])
    hours = rng.dirichlet(habit * flocks_hours, BIRDS)
    words = [part for part, _ in PARTS]
    seen = [
        {part: int(n) for part, n in zip(words, rng.multinomial(rng.poisson(sightings), own), strict=True)}
        for own in hours
    ]
    factors = time_factors(seen)
    ages = np.where(rng.random(BIRDS) < young, rng.integers(30, 500, BIRDS), 2000)
    marks = [some_marks(rng, at) for at in range(BIRDS)]
    plain = Flock([Bird(str(at), one) for at, one in enumerate(marks)], BEFORE)
    by_part = {
        part: Flock(
            [
                Bird(
                    str(at), one, prior=factors[at].get(part, 1.0), young=looks_young(int(ages[at]), GROWN_AT)
                )
                for at, one in enumerate(marks)
            ],
            BEFORE,
        )
        for part in words
    }
    without = with_usual = 0.0
    for _ in range(READINGS):
        part = int(rng.choice(3, p=flocks_hours))
        at = int(rng.choice(BIRDS, p=hours[:, part] / hours[:, part].sum()))
        leg = next(site for site, bands in marks[at].sites if len(bands) > 1)
        read = simulate_reading(rng, marks[at], BEFORE, sites=(leg,), unclear=0.5)
        said = looks_young(int(ages[at]), GROWN_AT) or 0.0
        told = Reading(read.sites, None, "young" if rng.random() < said else "grown")
        without -= float(np.log(max(plain.posterior(read).birds[at], 1e-12)))
        with_usual -= float(np.log(max(by_part[words[part]].posterior(told).birds[at], 1e-12)))
    return without / READINGS, with_usual / READINGS


def main() -> None:
    flocks = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    for name, habit in HABITS.items():
        for sightings in (5, 60):
            for young in (0.0, 0.25):
                rng = np.random.default_rng([3, sightings, int(100 * young)])
                told = np.array([worth(habit, sightings, young, rng) for _ in range(flocks)])
                gain = told[:, 0] - told[:, 1]
                error = gain.std(ddof=1) / np.sqrt(flocks)
                print(
                    f"{name:<24} {sightings:>3} sightings a bird, {young:.0%} young: "
                    f"without {told[:, 0].mean():.3f}, gain {gain.mean():+.4f} ± {error:.4f}",
                    flush=True,
                )


if __name__ == "__main__":
    main()
