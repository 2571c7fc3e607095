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
from tarsus.core.presence.looks import looks_needed, still_here_if_missed
from tarsus.core.presence.loss import daily_loss

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class BirdWatch:
    """One bird after the last round.

    `still_here`: chance, doubtful sightings counted by their probability. `usual`: its chance of being seen
    in an ordinary round, as its sightings have it. `unseen_rounds`: rounds since its last observed sighting
    in which it was looked for. `unseen_days`: days since then, those on which it was known to be elsewhere
    left out. `advice`: one of `ADVICE`. `looks_needed`: how many more misses in ordinary daily rounds
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
    """Every bird, every round's ease (logit), and what is known of the flock after the last round."""

    birds: tuple[BirdWatch, ...]
    eases: tuple[float, ...]
    state: FlockState


def watch_flock(
    birds: Sequence[str],
    days: Sequence[date],
    chance: Floats,
    *,
    gone_per_year: float,
    max_unseen_days: int,
    caution: Caution = DEFAULT_CAUTION,
    excused: NDArray[np.bool_] | None = None,
) -> FlockWatch:
    """Say who is still here after a table of rounds, as a checkpoint carried through them would.

    Args:
        birds: ids, each once.
        days: day of each round, in order; a day may come more than once.
        chance: ``(B, R)`` 1 observed, 0 looked for and not seen, between them doubtful, NaN nobody looked.
        gone_per_year: share of birds that vanish unnoticed in a year.
        max_unseen_days: unseen for so long is *search* whatever the model says.
        caution: thresholds of the advice.
        excused: ``(B, R)`` known to be elsewhere; none where it is left out.

    Returns:
        Birds in the order given, rounds likewise.

    Source:
        docs/science/presence.md.
    """
    none = np.zeros(chance.shape, dtype=bool)
    ordinals = np.array([day.toordinal() for day in days], dtype=np.int64)
    hours, elsewhere = hours_of(ordinals), days_elsewhere(ordinals, none if excused is None else excused)
    rules = RoundRules(daily_loss(gone_per_year), max_unseen_days, caution)
    state = with_birds(empty_flock(), birds)
    row_of = {bird: row for row, bird in enumerate(birds)}
    order = [row_of[bird] for bird in state.birds]
    eases = []
    for r, day in enumerate(ordinals):
        told_then = RoundTold(int(day), chance[order, r], hour=float(hours[r]), elsewhere=elsewhere[order, r])
        state, ease = advance(state, told_then, rules)
        eases.append(ease.mean)
    told = {bird.bird: bird for bird in watched(state, rules)}
    return FlockWatch(tuple(told[bird] for bird in birds), tuple(eases), state)


def hours_of(ordinals: NDArray[np.int64]) -> Floats:
    """Hours for rounds of which only the day is known: those of one day are spread evenly over it."""
    _, first, at, times = np.unique(ordinals, return_index=True, return_inverse=True, return_counts=True)
    within = np.arange(len(ordinals)) - first[at]
    spread: Floats = 24.0 * within / times[at]
    return spread


def days_elsewhere(ordinals: NDArray[np.int64], excused: NDArray[np.bool_]) -> NDArray[np.int64]:
    """``(B, R)`` days since the round before on which a bird was elsewhere: its own, those between two."""
    new_days = np.diff(ordinals, prepend=ordinals[:1] - 1)
    before = np.concatenate([np.zeros((len(excused), 1), dtype=bool), excused[:, :-1]], axis=1)
    days: NDArray[np.int64] = np.where(excused, np.where(before, new_days, np.minimum(new_days, 1)), 0)
    return days


def watched(state: FlockState, rules: RoundRules) -> tuple[BirdWatch, ...]:
    """What a state says of each of its birds, in its order."""
    here = state.still_here()
    unseen = state.unseen_days()
    needed, missed = looks_needed(state, rules), still_here_if_missed(state, rules)
    return tuple(
        BirdWatch(
            bird=bird,
            still_here=float(here[row]) if state.entered[row] else 1.0,
            usual=float(state.usual[row]),
            unseen_rounds=int(state.missed[row]),
            unseen_days=int(unseen[row]),
            advice=ADVICE[state.worst[row]],
            looks_needed=needed[row],
            if_missed=float(missed[row]),
        )
        for row, bird in enumerate(state.birds)
    )
