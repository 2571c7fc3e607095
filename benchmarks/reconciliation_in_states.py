"""What it is worth to weigh a group's readings in one light and mud: rounds of three groups of four.

Worlds and flocks are those of `learning_worlds.py`, and two in which everything is as the model thinks: each
round in one of its states, and one group in five in a state of its own. Printed of each way: log loss of
whose each reading was over that of one who knows how every group was read, and how many of 1,000 readings are
named wrongly from .9 on.

    .venv/bin/python benchmarks/reconciliation_in_states.py [keepers a world] [rounds]
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence

import numpy as np
from learning_worlds import BEFORE, LEGS, PALETTE, WORLDS, Told, some_marks, world

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Reading
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.lights import STATES, prior_of_states, shares_of_states, under
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reconciliation import GroupOfReadings, reconciled
from tarsus.core.readings.reconciliation_in_states import OF_ITS_OWN, reconciled_in_states
from tarsus.core.readings.simulation import simulate_reading

GROUPS, IN_VIEW, SURE, STRANGERS = 3, 4, 0.9, 0.001
WAYS = ("no light", "light apart", "light together")
OF_THE_MODEL = ("states as thought", "states, said")
Real = np.ndarray[tuple[int, ...], np.dtype[np.float64]]


def weights(flock: Flock, group: Sequence[Reading]) -> GroupOfReadings:
    told = [flock.posterior(one) for one in group]
    probable = np.array([one.evidence for one in told])
    rows = np.array([one.birds for one in told]) * probable[:, None]
    return GroupOfReadings(rows, np.array([one.none_of_these for one in told]) * probable)


def chances(groups: Sequence[GroupOfReadings], birds: int) -> list[Real]:
    return [one.chances for one in reconciled(groups, birds).groups]


def apart(states: list[list[GroupOfReadings]], prior: Real, birds: int) -> list[Real]:
    """Each reading's chances mixed over the states by itself, and only then weighed with its group's."""
    by_reading = [
        np.array([s[g].weights.sum(axis=1) + s[g].strangers for s in states]) for g in range(len(states[0]))
    ]
    shares = shares_of_states(prior, np.concatenate(by_reading, axis=1).T)
    mixed = []
    for g, probable in enumerate(by_reading):
        rows = sum(p * s[g].weights / e[:, None] for p, s, e in zip(shares, states, probable, strict=True))
        none = sum(p * s[g].strangers / e for p, s, e in zip(shares, states, probable, strict=True))
        mixed.append(GroupOfReadings(rows, none))
    return chances(mixed, birds)


def played(name: str, seed: int, rounds: int) -> tuple[dict[str, float], dict[str, float]]:
    """Log loss over that of the one who knows, and wrong names of 1,000, by way."""
    rng = np.random.default_rng([7, seed])
    by_model = name in OF_THE_MODEL
    birds = [Bird(str(at), some_marks(rng, at)) for at in range(48)]
    observers = [under(BEFORE, PALETTE, state) for state in STATES]
    flocks = [Flock(birds, one, strangers=STRANGERS) for one in observers]
    reads, known = _reader(name, rng, birds, observers, flocks)
    loss, wrong = dict.fromkeys((*WAYS, "known"), 0.0), dict.fromkeys((*WAYS, "known"), 0.0)
    for _ in range(rounds):
        prior, of_round = prior_of_states(), 0
        if by_model:
            of_round = int(rng.choice(len(STATES), p=prior))
            if name == "states, said":
                prior = prior_of_states(STATES[of_round].light, STATES[of_round].mud)
        seen = [rng.permutation(len(birds))[:IN_VIEW] for _ in range(GROUPS)]
        own = [
            int(rng.choice(len(STATES), p=prior_of_states())) if rng.random() < OF_ITS_OWN else of_round
            for _ in seen
        ]
        read = [[reads(int(at), state) for at in group] for group, state in zip(seen, own, strict=True)]
        states = [[weights(flock, group) for group in read] for flock in flocks]
        found = {
            "no light": chances(states[0], len(birds)),
            "light apart": apart(states, prior, len(birds)),
            "light together": [
                one.chances for one in reconciled_in_states(states, prior, len(birds)).round.groups
            ],
            "known": chances(
                [weights(known(s), group) for s, group in zip(own, read, strict=True)], len(birds)
            ),
        }
        for way, told in found.items():
            for group, rows in zip(seen, told, strict=True):
                of = rows[np.arange(IN_VIEW), group]
                loss[way] -= float(np.log(np.maximum(of, 1e-12)).sum())
                wrong[way] += int(((rows.argmax(axis=1) != group) & (rows.max(axis=1) >= SURE)).sum())
    readings = rounds * GROUPS * IN_VIEW
    over = {way: (one - loss["known"]) / readings for way, one in loss.items()}
    return over, {way: 1000 * one / readings for way, one in wrong.items()}


def _reader(
    name: str, rng: np.random.Generator, birds: list[Bird], observers: list[Misreading], flocks: list[Flock]
) -> tuple[Callable[[int, int], Reading], Callable[[int], Flock]]:
    """How a bird is read in a state, and the flock of the one who knows."""

    def sites() -> tuple[str, ...]:
        return tuple(LEGS if rng.random() > 0.15 else LEGS[1:])

    if name in OF_THE_MODEL:
        return (
            lambda at, state: simulate_reading(rng, birds[at].marks, observers[state], sites=sites()),
            lambda state: flocks[state],
        )
    truth = world(name, rng)
    told, oracle = Told(truth, rng), Flock(birds, truth, strangers=STRANGERS)
    return lambda at, _: told.reading(birds[at].marks, sites()), lambda _: oracle


def main() -> None:
    keepers = int(sys.argv[1]) if len(sys.argv) > 1 else 4
    rounds = int(sys.argv[2]) if len(sys.argv) > 2 else 60
    for name in (*OF_THE_MODEL, *WORLDS):
        told = [played(name, seed, rounds) for seed in range(keepers)]
        for at, what in enumerate(("log loss over the one who knows", "wrong names of 1,000")):
            means = {way: float(np.mean([one[at][way] for one in told])) for way in (*WAYS, "known")}
            print(f"{name:<18} {what:<31} " + "  ".join(f"{w} {m:.4f}" for w, m in means.items()), flush=True)


if __name__ == "__main__":
    main()
