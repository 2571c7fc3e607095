"""How soon a decline is told, and how often a healthy bird is weighed again: for docs/science/weights.md.

    python benchmarks/weights.py [birds]

Invented birds of 300 g whose weighings scatter by 2 % (normal, one by one). Declines begin after a year of
steady weights, or with the first weight there is; each weighing is judged by what was known then.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import numpy as np

from tarsus.core.care.weight_told import NOTHING, TELL_VET, WEIGH_AGAIN, WeightTold, weights_told
from tarsus.core.care.weights import Weight, WeightLimits

BEGUN = datetime(2020, 1, 6, 7, 30, tzinfo=UTC)
USUAL_G, NOISE, YEAR = 300.0, 0.02, 365.25
SAMPLINGS = {"weekly": 7.0, "monthly": 30.0, "quarterly": 91.0, "half-yearly": 183.0, "yearly": 365.0}
DECLINES = {"-10 % in two years": 0.05 / YEAR, "-.5 % a month": 0.06 / YEAR, "-5 % a month": 0.6 / YEAR}


def history(
    rng: np.random.Generator, every_days: float, years: float, loss: Callable[[float], float]
) -> list[WeightTold]:
    """One bird's weighings, told."""
    days = np.arange(0.0, years * YEAR, every_days)
    scatter = rng.normal(0.0, NOISE, len(days))
    weights = [
        Weight(
            BEGUN + timedelta(days=float(day)), USUAL_G * (1.0 - loss(float(day))) * float(1.0 + off), "perch"
        )
        for day, off in zip(days, scatter, strict=True)
    ]
    return weights_told(weights, WeightLimits())


def declines(birds: int) -> None:
    """Print at which loss a decline is first told, and at which the vet is."""
    print("decline; true loss when first told, median (95 of 100), and when the vet is told")
    for name, a_day in DECLINES.items():
        for began, steady in (("after a year", YEAR), ("from the first weight", 0.0)):
            for sampling, every in SAMPLINGS.items():
                rng = np.random.default_rng(5)
                told = [
                    history(rng, every, 4.0, lambda day, s=steady, a=a_day: max(0.0, min(0.6, (day - s) * a)))
                    for _ in range(birds)
                ]
                first, vet = (
                    np.array([loss_at(one, words, steady, a_day) for one in told])
                    for words in ((WEIGH_AGAIN, TELL_VET), (TELL_VET,))
                )
                print(
                    f"  {name:<20} {began:<22} {sampling:<12}"
                    f" {np.median(first):5.1f} % ({np.percentile(first, 95):5.1f} %)"
                    f"   vet {np.median(vet):5.1f} % ({np.percentile(vet, 95):5.1f} %)"
                )


def loss_at(told: list[WeightTold], words: tuple[str, ...], steady: float, a_day: float) -> float:
    """The true loss in per cent at the first such answer once the decline began; 99 where there is none."""
    for one in told:
        day = (one.weight.at - BEGUN).total_seconds() / 86400.0
        if day > steady and one.prompt in words:
            return 100.0 * (day - steady) * a_day
    return 99.0


def healthy(birds: int) -> None:
    """Print how often a healthy bird is weighed again, and how often the vet is told of it."""
    print("healthy birds, five years each: weighings that say so, bird-years in which the vet is told")
    for sampling, every in SAMPLINGS.items():
        rng = np.random.default_rng(6)
        told = [history(rng, every, 5.0, lambda _: 0.0) for _ in range(birds)]
        for since, words in ((0, "from the first weight on"), (1, "after a year of weights")):
            answers = [(year_of(one), one.prompt) for bird in told for one in bird if year_of(one) >= since]
            again = np.mean([prompt != NOTHING for _, prompt in answers])
            vet = sum(
                len({year_of(one) for one in bird if one.prompt == TELL_VET and year_of(one) >= since})
                for bird in told
            )
            bird_years = (5 - since) * birds
            print(
                f"  {sampling:<12} {words:<25} {100 * again:5.2f} % of {len(answers)} weighings"
                f"   vet {100 * vet / bird_years:5.2f} % of {bird_years} bird-years"
            )


def year_of(told: WeightTold) -> int:
    """The year of the bird's record in which it was weighed, from 0."""
    return int((told.weight.at - BEGUN).days // YEAR)


def main() -> None:
    """Print both tables."""
    birds = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    healthy(birds)
    declines(max(20, birds // 3))


if __name__ == "__main__":
    main()
