"""What it is worth to say the light of a round, or to infer it: rounds of twelve readings in strange worlds.

Worlds and flocks are those of `learning_worlds.py`; none of them is one of the states that are weighed. Each
reading is weighed with those of its round before it. Printed: log loss over the oracle's, and how
many of 1,000 readings are named wrongly from .9 on.

    .venv/bin/python benchmarks/lights.py [keepers a world] [rounds]
"""

from __future__ import annotations

import sys

import numpy as np
from learning_worlds import BEFORE, LEGS, PALETTE, WORLDS, Told, some_marks, world

from tarsus.core.marks.birds import Bird
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.lights import STATES, prior_of_states, shares_of_states, under

ROUND, SURE = 12, 0.9
WAYS = ("no light", "nobody said", "said", "oracle")


def played(name: str, seed: int, rounds: int) -> tuple[dict[str, float], dict[str, float]]:
    """Log loss over the oracle's, and wrong names of 1,000, by way."""
    rng = np.random.default_rng([5, seed])
    truth = world(name, rng)
    birds = [Bird(str(at), some_marks(rng, at)) for at in range(48)]
    told = Told(truth, rng)
    flocks = [Flock(birds, under(BEFORE, PALETTE, state), strangers=0.001) for state in STATES]
    oracle = Flock(birds, truth, strangers=0.001)
    priors = {
        "nobody said": prior_of_states(),
        "said": prior_of_states("dusk" if name == "dusk" else "bright", name == "dirty"),
    }
    loss, wrong = dict.fromkeys(WAYS, 0.0), dict.fromkeys(WAYS, 0.0)
    for _ in range(rounds):
        evidence: list[list[float]] = []
        for at in rng.permutation(len(birds))[:ROUND]:
            reading = told.reading(birds[at].marks, LEGS if rng.random() > 0.15 else LEGS[1:])
            found = [flock.posterior(reading) for flock in flocks]
            evidence.append([one.evidence for one in found])
            chances = {"no light": found[0].birds, "oracle": oracle.posterior(reading).birds}
            for way, prior in priors.items():
                shares = shares_of_states(prior, evidence)
                chances[way] = shares @ np.array([one.birds for one in found])
            for way, birds_of in chances.items():
                loss[way] -= float(np.log(max(birds_of[at], 1e-12)))
                wrong[way] += bool(birds_of.argmax() != at and birds_of.max() >= SURE)
    readings = rounds * ROUND
    over = {way: (one - loss["oracle"]) / readings for way, one in loss.items()}
    return over, {way: 1000 * one / readings for way, one in wrong.items()}


def main() -> None:
    keepers = int(sys.argv[1]) if len(sys.argv) > 1 else 4
    rounds = int(sys.argv[2]) if len(sys.argv) > 2 else 60
    for name in WORLDS:
        told = [played(name, seed, rounds) for seed in range(keepers)]
        for at, what in enumerate(("log loss over the oracle's", "wrong names of 1,000")):
            means = {way: float(np.mean([one[at][way] for one in told])) for way in WAYS}
            print(f"{name:<15} {what:<27} " + "  ".join(f"{w} {m:.4f}" for w, m in means.items()), flush=True)


if __name__ == "__main__":
    main()
