"""One round after another: the update that carries a flock's past forward without reading it again.

The same function serves a checkpoint that is a day old and a rebuilding from the first round, so both agree
to the last bit; docs/decisions has why.

Decision 0020.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.presence.advice import ADVICE, DEFAULT_CAUTION, SEARCH, Caution, advised
from tarsus.core.presence.filtering import evidence
from tarsus.core.presence.flock_state import FlockState, prior_of
from tarsus.core.presence.group import (
    BEFORE_ANY_ROUND,
    MEAN_SD,
    PRIOR_BIRDS,
    PRIOR_ROUNDS,
    GroupEase,
)
from tarsus.core.presence.habits import by_layer, days_on, learnt_habits, seen_as
from tarsus.core.presence.lattice import EASES, SEEN_EASES, share_of_eases
from tarsus.core.presence.round_ease import RoundEase, round_ease
from tarsus.core.presence.witnesses import APART, CLEARS

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Which = NDArray[np.bool_]

ROUNDS_HALF_LIFE_DAYS: Final = 180.0
"""What was learnt of how much rounds differ counts half after so long."""

DOUBT_CEILING: Final = 0.99
"""A sighting that nobody observed never counts for more than this."""

_APART_DAYS: Final = APART.total_seconds() / 86_400
VOUCHED_FOR_DAYS: Final = 7.0
"""A single reading waits so long for the second one (ours)."""

_LEAST: Final = 1e-100
_MOMENT: Final = 1e-6
"""A tenth of a second in days: what a moment's rounding may hide."""
_LONGEST_ODDS: Final = 1e12


@dataclass(frozen=True)
class RoundRules:
    """What the update needs beside the round itself."""

    loss: float
    max_unseen_days: int
    caution: Caution = DEFAULT_CAUTION
    learn_group: bool = True


@dataclass(frozen=True)
class RoundTold:
    """One round of a flock, birds in the state's order.

    `day`: ordinal. `hour`: of the day, so that a bird can leave between morning and evening. `chance`:
    ``(B,)`` 1 observed, 0 looked for and not seen, between them a doubtful or inferred sighting, NaN nobody
    looked. `elsewhere`: ``(B,)`` days since the round before, this one's among them, on which each was
    known to be elsewhere (on a nest, off show): they do not count as unseen. `elsewhere_now`: ``(B,)``
    whether this round's day is among those. `witnesses`: ``(B,)`` independent readings that an observed
    bird rests on, 0 where photographs alone show it, `CLEARS` for one that was in the hand or that a person
    knows by sight; `None` takes every observed bird for such a one. `casual`: nobody called a roll of this
    flock; who was seen was seen, nothing is learnt of anybody's ease, and the day that runs is not yet one
    unseen.
    """

    day: int
    chance: Floats
    casual: bool = False
    hour: float = 0.0
    elsewhere: Whole | None = None
    elsewhere_now: Which | None = None
    witnesses: Whole | None = None

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
    chance, state = _believed(state, told, rules)
    looked = ~np.isnan(chance)
    if told.casual:
        looked &= chance == 1.0
        chance = np.where(looked, chance, np.nan)
    unlearnt = np.ones((int(looked.sum()), len(SEEN_EASES)))
    if told.casual or not looked.any():
        state = _look(state, told.day, chance, looked, unlearnt)
        return _advise(state, told, rules), RoundEase(0.0, state.group.round_sd, unlearnt)
    here = seen_as(state.ease_if_here()) * state.still_here()[:, None]
    ease = round_ease(here[looked], chance[looked], state.group.round_sd)
    state = _advise(_look(state, told.day, chance, looked, ease.seen_if), told, rules)
    return (_group_learns(state, ease) if rules.learn_group else state), ease


def _days_pass(state: FlockState, told: RoundTold, rules: RoundRules) -> FlockState:
    """Let birds leave and change; a newcomer begins on the day before its first look."""
    days = told.moment - state.moment if state.day else 0.0
    assert days >= 0.0, "rounds come in the order in which they were called"
    elsewhere = np.zeros(len(state.birds), dtype=np.int64) if told.elsewhere is None else told.elsewhere
    starts = (~np.isnan(told.chance) | (elsewhere > 0)) & (state.entered == 0)
    passed = np.where(state.entered == 1, days, np.where(starts, 1.0, 0.0))
    stays = (1.0 - rules.loss) ** passed
    elsewhere = np.where(starts, np.minimum(elsewhere, 1), elsewhere)
    kept = 0.5 ** (days / ROUNDS_HALF_LIFE_DAYS)
    return replace(
        state,
        day=told.day,
        moment=told.moment,
        ease=days_on(state.ease, days, share_of_eases(state.group), state.habits),
        gone=(state.gone + 1.0 - stays) / stays,
        seen_on=np.where(starts, told.day - 1, state.seen_on),
        excused_days=state.excused_days + elsewhere,
        entered=np.where(starts, 1, state.entered),
        usual=np.where(starts, state.usual_now(), state.usual),
        round_square=state.round_square * kept,
        round_count=state.round_count * kept,
    )


def _believed(state: FlockState, told: RoundTold, rules: RoundRules) -> tuple[Floats, FlockState]:
    """What the round says of each bird: one reading of a bird that is searched for clears it of nothing, and
    a photograph or a transponder is not even the first of two.
    """
    observed = told.chance == 1.0
    # Days may have made it *search* since the last look, which nobody has told the state yet.
    searched = (state.worst == ADVICE.index(SEARCH)) | (_unseen_before(state, told) >= rules.max_unseen_days)
    standing = searched & (state.missed > 0)
    since = told.moment - state.vouched_at
    vouched = (since > _APART_DAYS - _MOMENT) & (since < VOUCHED_FOR_DAYS + _MOMENT)
    alone = np.zeros_like(observed) if told.witnesses is None else told.witnesses < CLEARS
    pictured = np.zeros_like(observed) if told.witnesses is None else told.witnesses == 0
    waits = observed & ((standing & alone & ~vouched) | (searched & pictured))
    chance = np.where(waits, DOUBT_CEILING, told.chance)
    chance = np.where(chance < 1.0, np.minimum(chance, DOUBT_CEILING), chance)
    # A second reading within the half hour does not make the first one younger.
    first = waits & ~pictured & (since > _APART_DAYS - _MOMENT)
    vouched_at = np.where(chance == 1.0, 0.0, np.where(first, told.moment, state.vouched_at))
    return chance, replace(state, vouched_at=vouched_at)


def _look(state: FlockState, day: int, chance: Floats, looked: Which, seen_if: Floats) -> FlockState:
    detection = np.full((len(state.birds), len(SEEN_EASES)), 0.5)
    detection[looked] = seen_if
    if_here, if_gone = evidence(chance[:, None], detection)
    observed = chance == 1.0
    ease = np.maximum(state.ease * by_layer(if_here), _LEAST)
    total = _sums(ease * prior_of(state))
    before = _sums(state.ease * prior_of(state))
    gone = np.minimum(state.gone * if_gone[:, 0] * before / total, _LONGEST_ODDS)
    state = replace(
        state,
        ease=ease / total[:, None, None],
        gone=np.where(observed, 0.0, gone),
        seen_on=np.where(observed, day, state.seen_on),
        excused_days=np.where(observed, 0, state.excused_days),
        missed=np.where(observed, 0, state.missed + looked),
    )
    return replace(state, usual=np.where(observed, state.usual_now(), state.usual))


def _sums(weight: Floats) -> Floats:
    total: Floats = weight.sum(axis=2).sum(axis=1)
    return total


def _unseen_before(state: FlockState, told: RoundTold) -> Whole:
    """``(B,)`` unseen days until the day before a round: its own day counts once a roll of it was called."""
    now = 1 if told.elsewhere_now is None else np.where(told.elsewhere_now, 0, 1)
    days: Whole = np.maximum(0, state.unseen_days() - now)
    return days


def _advise(state: FlockState, told: RoundTold, rules: RoundRules) -> FlockState:
    """Keep the most worried advice of each run: only an observed sighting takes an alarm back."""
    gone = 1.0 - state.still_here()
    unseen = _unseen_before(state, told) if told.casual else state.unseen_days()
    worst = state.worst.copy()
    for row, missed in enumerate(state.missed):
        now = advised(float(gone[row]), int(missed), int(unseen[row]), rules.max_unseen_days, rules.caution)
        begins_anew = unseen[row] <= 0 and missed == 0
        worst[row] = ADVICE.index(now) if begins_anew else max(ADVICE.index(now), int(worst[row]))
    return replace(state, worst=worst)


def _group_learns(state: FlockState, ease: RoundEase) -> FlockState:
    """One step towards the values that make the flock's birds and rounds likeliest.

    A bird counts by its chance of being here, so that the misses of one that has left teach nothing.
    """
    square = state.round_square + ease.mean**2 + ease.sd**2
    count = state.round_count + 1.0
    round_sd = np.sqrt((square + PRIOR_ROUNDS * BEFORE_ANY_ROUND.round_sd**2) / (count + PRIOR_ROUNDS))
    here = np.where(state.entered == 1, state.still_here(), 0.0)
    weight = state.ease_if_here()
    of_eases = (weight.sum(axis=1) * here[:, None]).sum(axis=0)
    birds = float(here.sum())
    rigid = (state.group.bird_sd / MEAN_SD) ** 2
    mean = float((of_eases * EASES).sum() + rigid * BEFORE_ANY_ROUND.mean) / (birds + rigid)
    squares = float((of_eases * (EASES - mean) ** 2).sum()) + PRIOR_BIRDS * BEFORE_ANY_ROUND.bird_sd**2
    bird_sd = np.sqrt(squares / (birds + PRIOR_BIRDS))
    return replace(
        state,
        group=GroupEase(mean, float(bird_sd), float(round_sd)),
        habits=learnt_habits(weight, here),
        round_square=float(square),
        round_count=float(count),
    )
