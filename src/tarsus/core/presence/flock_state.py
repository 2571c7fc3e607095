"""All that the past says of one flock, in a size that does not grow with the past.

Axes: B birds in the order of their ids, G points of `lattice.EASES`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from tarsus.core.presence.group import BEFORE_ANY_ROUND, GroupEase
from tarsus.core.presence.lattice import EASES, log_prior

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Number = TypeVar("Number", np.float64, np.int64)


@dataclass(frozen=True, eq=False)
class FlockState:
    """What a day's update starts from.

    `learnt`: ``(B, G)`` log-likelihood of each ease from rounds up to the last observed sighting. `run_here`:
    ``(B, G)`` log-likelihood of the rounds since, if the bird is here. `run_gone`: ``(B, G)`` likelihood of
    them if it has left since. `seen_on`: ``(B,)`` day (ordinal) of the last observed sighting, or the day
    before it was first looked for. `missed`: ``(B,)`` rounds since. `worst`: ``(B,)`` the most worried
    advice since (0 present, 1 look again, 2 search). `entered`: ``(B,)`` whether it was looked for at all.
    `day`: ordinal of the last round, 0 before any. `round_square` and `round_count`: running sums behind
    the rounds' spread.
    """

    birds: tuple[str, ...]
    learnt: Floats
    run_here: Floats
    run_gone: Floats
    seen_on: Whole
    missed: Whole
    worst: Whole
    entered: Whole
    day: int = 0
    moment: float = 0.0
    group: GroupEase = BEFORE_ANY_ROUND
    round_square: float = 0.0
    round_count: float = 0.0

    def still_here(self) -> Floats:
        """``(B,)`` chance that each bird is still here, by all that was told."""
        here, gone = joint_weights(self)
        share: Floats = here.sum(axis=1) / (here.sum(axis=1) + gone.sum(axis=1))
        return share

    def ease_weights(self) -> Floats:
        """``(B, G)`` posterior of each bird's ease; rows sum to 1."""
        here, gone = joint_weights(self)
        weight: Floats = here + gone
        return weight


def joint_weights(state: FlockState) -> tuple[Floats, Floats]:
    """Posterior of ease with being here, and with being gone, ``(B, G)`` each; both rows sum to 1."""
    weight = state.learnt + log_prior(state.group)
    weight = np.exp(weight - weight.max(axis=1, keepdims=True))
    here, gone = weight * np.exp(state.run_here), weight * state.run_gone
    total = here.sum(axis=1, keepdims=True) + gone.sum(axis=1, keepdims=True)
    return here / total, gone / total


def empty_flock(group: GroupEase = BEFORE_ANY_ROUND) -> FlockState:
    """A flock without birds and without a past."""
    rows, none = np.zeros((0, len(EASES))), np.zeros(0, dtype=np.int64)
    return FlockState((), rows, rows, rows, none, none, none, none, group=group)


def with_birds(state: FlockState, birds: Iterable[str]) -> FlockState:
    """The same flock with exactly these birds: newcomers start unknown, and who has left is dropped."""
    wanted = tuple(sorted(set(birds)))
    if wanted == state.birds:
        return state
    row_of = {bird: row for row, bird in enumerate(state.birds)}
    kept = np.array([row_of.get(bird, -1) for bird in wanted], dtype=np.int64)
    return replace(
        state,
        birds=wanted,
        learnt=_rows(state.learnt, kept),
        run_here=_rows(state.run_here, kept),
        run_gone=_rows(state.run_gone, kept),
        seen_on=_rows(state.seen_on, kept),
        missed=_rows(state.missed, kept),
        worst=_rows(state.worst, kept),
        entered=_rows(state.entered, kept),
    )


def _rows(array: NDArray[Number], kept: Whole) -> NDArray[Number]:
    padded = np.concatenate([array, np.zeros((1, *array.shape[1:]), dtype=array.dtype)])
    rows: NDArray[Number] = padded[kept]  # -1 is the row of zeros
    return rows
