"""One round after another: the update that carries a flock's past forward without reading it again.

The same function serves a checkpoint that is a day old and a rebuilding from the first round, so both agree
to the last bit; docs/decisions has why.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.presence.advice import ADVICE, DEFAULT_CAUTION, Caution, advised
from tarsus.core.presence.filtering import evidence
from tarsus.core.presence.flock_state import FlockState, joint_weights
from tarsus.core.presence.group import (
    BEFORE_ANY_ROUND,
    MEAN_SD,
    PRIOR_BIRDS,
    PRIOR_ROUNDS,
    GroupEase,
)
from tarsus.core.presence.lattice import EASES
from tarsus.core.presence.round_ease import RoundEase, round_ease

Floats = NDArray[np.float64]

HALF_LIFE_DAYS: Final = 180.0
"""What was learnt of a bird's ease counts half after so long: birds change their ways with the season."""

DOUBT_CEILING: Final = 0.99
"""A sighting that nobody observed never counts for more than this."""


@dataclass(frozen=True)
class RoundRules:
    """What the update needs beside the round itself."""

    loss: float
    max_unseen_days: int
    caution: Caution = DEFAULT_CAUTION
    half_life_days: float = HALF_LIFE_DAYS
    learn_group: bool = True


@dataclass(frozen=True)
class RoundTold:
    """One round of a flock, birds in the state's order.

    `day`: ordinal. `hour`: of the day, so that a bird can leave between morning and evening. `chance`:
    ``(B,)`` 1 observed, 0 looked for and not seen, between them a doubtful or inferred sighting, NaN not
    looked for (known to sit on a nest, off show, in moult, or not yet here). `casual`: nobody called a roll;
    who was seen was seen, and nothing is learnt of anybody's ease.
    """

    day: int
    chance: Floats
    casual: bool = False
    hour: float = 0.0

    @property
    def moment(self) -> float:
        """Days and their fraction."""
        return self.day + self.hour / 24.0


def advance(state: FlockState, told: RoundTold, rules: RoundRules) -> tuple[FlockState, RoundEase]:
    """Take one more round into account.

    Args:
        state: what is known before it.
        told: the round; its moment is not before the state's.
        rules: hazard, the species' limit, thresholds.

    Returns:
        What is known after it, and the ease of the round.

    Assumes:
        A bird that left does not come back by itself; one that is observed was here all along.

    Source:
        docs/science/presence.md, eqs. 7 to 11.
    """
    state = _days_pass(state, told, rules)
    looked = ~np.isnan(told.chance)
    if not looked.any():
        return state, RoundEase(0.0, state.group.round_sd, np.zeros((0, len(EASES))))
    if told.casual:
        seen = np.where(told.chance == 1.0, told.chance, np.nan)
        unlearnt = np.ones((int((seen == 1.0).sum()), len(EASES)))
        state = _look(state, told.day, seen, seen == 1.0, unlearnt)
        return _advise(state, told.day, rules), RoundEase(0.0, 0.0, unlearnt)
    here, _ = joint_weights(state)
    chance = np.where(told.chance < 1.0, np.minimum(told.chance, DOUBT_CEILING), told.chance)
    ease = round_ease(here[looked], chance[looked], state.group.round_sd)
    state = _look(state, told.day, chance, looked, ease.seen_if)
    state = _advise(state, told.day, rules)
    return (_group_learns(state, ease) if rules.learn_group else state), ease


def _days_pass(state: FlockState, told: RoundTold, rules: RoundRules) -> FlockState:
    """Let birds leave and knowledge age; a newcomer begins on the day before its first look."""
    days = told.moment - state.moment if state.day else 0.0
    assert days >= 0.0, "rounds come in the order in which they were called"
    starts = ~np.isnan(told.chance) & (state.entered == 0)
    passed = np.where(state.entered == 1, days, np.where(starts, 1.0, 0.0))[:, None]
    stays = (1.0 - rules.loss) ** passed
    kept = 0.5 ** (days / rules.half_life_days)
    return replace(
        state,
        day=told.day,
        moment=told.moment,
        learnt=state.learnt * kept,
        run_gone=state.run_gone + np.exp(state.run_here) * (1.0 - stays),
        run_here=state.run_here + np.log(stays),
        seen_on=np.where(starts, told.day - 1, state.seen_on),
        entered=np.where(starts, 1, state.entered),
        round_square=state.round_square * kept,
        round_count=state.round_count * kept,
    )


def _look(
    state: FlockState, day: int, chance: Floats, looked: NDArray[np.bool_], seen_if: Floats
) -> FlockState:
    detection = np.full_like(state.learnt, 0.5)
    detection[looked] = seen_if
    if_here, if_gone = evidence(chance[:, None], detection)
    observed = chance == 1.0
    row = observed[:, None]
    run_here = state.run_here + np.log(if_here)
    # An observed bird was here through all its misses: they now count for its ease, and the run starts again.
    learnt = np.where(row, state.learnt + run_here, state.learnt)
    return replace(
        state,
        learnt=learnt - learnt.max(axis=1, keepdims=True),
        run_here=np.where(row, 0.0, run_here),
        run_gone=np.where(row, 0.0, state.run_gone * if_gone),
        seen_on=np.where(observed, day, state.seen_on),
        missed=np.where(observed, 0, state.missed + looked),
    )


def _advise(state: FlockState, day: int, rules: RoundRules) -> FlockState:
    """Keep the most worried advice of each run: only an observed sighting takes an alarm back."""
    gone = 1.0 - state.still_here()
    worst = state.worst.copy()
    for row, missed in enumerate(state.missed):
        unseen = int(day - state.seen_on[row]) if missed else 0
        now = advised(float(gone[row]), int(missed), unseen, rules.max_unseen_days, rules.caution)
        worst[row] = max(ADVICE.index(now), int(worst[row])) if missed else 0
    return replace(state, worst=worst)


def _group_learns(state: FlockState, ease: RoundEase) -> FlockState:
    """One step towards the spreads that make the flock's birds and rounds likeliest."""
    square = state.round_square + ease.mean**2 + ease.sd**2
    count = state.round_count + 1.0
    round_sd = np.sqrt((square + PRIOR_ROUNDS * BEFORE_ANY_ROUND.round_sd**2) / (count + PRIOR_ROUNDS))
    weight = state.ease_weights()[state.entered == 1]
    bird_mean = (weight * EASES).sum(axis=1)
    rigid = (state.group.bird_sd / MEAN_SD) ** 2
    mean = (bird_mean.sum() + rigid * BEFORE_ANY_ROUND.mean) / (len(weight) + rigid)
    squares = (weight * (EASES - mean) ** 2).sum() + PRIOR_BIRDS * BEFORE_ANY_ROUND.bird_sd**2
    bird_sd = np.sqrt(squares / (len(weight) + PRIOR_BIRDS))
    group = GroupEase(float(mean), float(bird_sd), float(round_sd))
    return replace(state, group=group, round_square=float(square), round_count=float(count))
