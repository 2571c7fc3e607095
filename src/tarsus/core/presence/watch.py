"""A whole table of rounds at once: who is still here, how easily each bird is seen, how each round was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from tarsus.core.presence.advice import ADVICE, DEFAULT_CAUTION, Caution
from tarsus.core.presence.flock_state import FlockState, empty_flock, with_birds
from tarsus.core.presence.fold import RoundRules, RoundTold, advance
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.lattice import ORDINARY
from tarsus.core.presence.looks import looks_needed, still_here_if_missed
from tarsus.core.presence.loss import daily_loss
from tarsus.core.presence.together import estimate_together

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class BirdWatch:
    """One bird after the last round.

    `still_here`: chance, doubtful sightings counted by their probability. `usual`: its chance of being seen
    in an ordinary round. `unseen_rounds`, `unseen_days`: since its last observed sighting, 0 if it was not
    missed since. `advice`: one of `ADVICE`. `looks_needed`: how many more misses in ordinary daily rounds
    would settle that it has gone; `None` where it is settled or no number of looks would do. `if_missed`:
    chance that it is still here should the next ordinary round miss it.
    """

    bird: str
    still_here: float
    usual: float
    unseen_rounds: int
    unseen_days: int
    advice: str
    looks_needed: int | None
    if_missed: float


@dataclass(frozen=True)
class FlockWatch:
    """Every bird, every round's ease (logit), and what the flock has in common."""

    birds: tuple[BirdWatch, ...]
    eases: tuple[float, ...]
    group: GroupEase
    state: FlockState


def watch_flock(
    birds: Sequence[str],
    days: Sequence[date],
    chance: Floats,
    *,
    gone_per_year: float,
    max_unseen_days: int,
    caution: Caution = DEFAULT_CAUTION,
) -> FlockWatch:
    """Say who is still here after a table of rounds.

    Args:
        birds: ids, each once.
        days: day of each round, in order; a day may come more than once.
        chance: ``(B, R)`` 1 observed, 0 looked for and not seen, between them doubtful, NaN not looked for.
        gone_per_year: share of birds that vanish unnoticed in a year.
        max_unseen_days: unseen for so long is *search* whatever the model says.
        caution: thresholds of the advice.

    Returns:
        Birds in the order given, rounds likewise.

    Source:
        docs/science/presence.md.
    """
    loss = daily_loss(gone_per_year)
    ordinals = np.array([day.toordinal() for day in days], dtype=np.int64)
    hours = hours_of(ordinals)
    moments = ordinals + hours / 24.0
    gaps = np.diff(moments, prepend=moments[:1] - 1.0)
    together = estimate_together(chance, gaps, loss)
    rules = RoundRules(loss, max_unseen_days, caution, learn_group=False)
    state = with_birds(empty_flock(together.group), birds)
    row_of = {bird: row for row, bird in enumerate(birds)}
    order = [row_of[bird] for bird in state.birds]
    for r, day in enumerate(ordinals):
        told_then = RoundTold(int(day), chance[order, r], hour=float(hours[r]))
        state, _ = advance(state, told_then, rules)
    told = {bird.bird: bird for bird in watched(state, rules)}
    eases = tuple(float(ease) for ease in together.fit.round)
    return FlockWatch(tuple(told[bird] for bird in birds), eases, together.group, state)


def hours_of(ordinals: NDArray[np.int64]) -> Floats:
    """Hours for rounds of which only the day is known: those of one day are spread evenly over it."""
    _, first, at, times = np.unique(ordinals, return_index=True, return_inverse=True, return_counts=True)
    within = np.arange(len(ordinals)) - first[at]
    spread: Floats = 24.0 * within / times[at]
    return spread


def watched(state: FlockState, rules: RoundRules) -> tuple[BirdWatch, ...]:
    """What a state says of each of its birds, in its order."""
    here = state.still_here()
    usual = state.ease_weights() @ ORDINARY
    needed, missed = looks_needed(state, rules), still_here_if_missed(state, rules)
    return tuple(
        BirdWatch(
            bird=bird,
            still_here=float(here[row]) if state.entered[row] else 1.0,
            usual=float(usual[row]),
            unseen_rounds=int(state.missed[row]),
            unseen_days=int(state.day - state.seen_on[row]) if state.missed[row] else 0,
            advice=ADVICE[state.worst[row]],
            looks_needed=needed[row],
            if_missed=float(missed[row]),
        )
        for row, bird in enumerate(state.birds)
    )
