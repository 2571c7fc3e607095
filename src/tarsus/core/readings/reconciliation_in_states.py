"""Weigh the readings of a round together where nobody knows for certain how they were read.

What mud or poor light does to one reading of a group it does to its neighbours too. Weighed as if they erred
apart, two birds in the same mud seem to confirm each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import ImpossibleReading
from tarsus.core.readings.reconciliation import (
    MOST_CELLS,
    GroupChances,
    GroupOfReadings,
    RoundChances,
    reconciled,
)

Real = NDArray[np.float64]

OF_ITS_OWN: Final = 0.2
"""Share of groups that are in a state of their own: in the shade, or fresh from the mud. Ours."""


@dataclass(frozen=True)
class StatesChances:
    """A round whatever its state, and `states`: ``(S,)`` how likely each is to have been the round's."""

    round: RoundChances
    states: Real


@dataclass(frozen=True)
class _InState:
    """One group in one state: how probable its readings are together (log), and whose they would be then."""

    log_sum: float
    chances: Real
    stranger: Real
    exact: bool


def reconciled_in_states(
    states: Sequence[Sequence[GroupOfReadings]], prior: Real, birds: int, most_cells: int = MOST_CELLS
) -> StatesChances:
    """Weigh all readings of a round under one bird, one reading within each group, and one state of a round.

    Args:
        states: for each of S states the round's groups; the weights of a reading in one state stand to those
            in another as the chances of that reading do.
        prior: ``(S,)`` how likely each state was before anything was read; sums to 1.
        birds: how many birds the flock has, B.
        most_cells: products that the exact sums may take in all.

    Returns:
        The chances of every reading and bird, each state weighed by how probable it makes the readings.

    Raises:
        ImpossibleReading: in no state has some pairing of a group any weight.

    Assumes:
        A round is in one state, but for `OF_ITS_OWN` of its groups, whose own is drawn as the round's was.
        Given the states, everything that `reconciled` assumes. Where a group is too large for exact sums in
        some state, its readings tell the state as if they were of any birds.

    Source:
        docs/science/reconciliation.md, eqs. 8 to 10.
    """
    with np.errstate(divide="ignore"):
        log_prior = np.log(np.asarray(prior, dtype=np.float64))
    by_group = list(zip(*states, strict=True))
    cells = most_cells // max(len(by_group) * len(states), 1)
    groups = [_in_each(one, number, birds, cells) for number, one in enumerate(by_group)]
    kept = [_kept_and_own(np.array([one.log_sum for one in told]), log_prior) for told in groups]
    log = log_prior + sum((np.logaddexp.reduce(both, axis=1) for both in kept), np.zeros(len(log_prior)))
    shares = np.exp(log - np.logaddexp.reduce(log))
    unseen = np.ones((len(shares), birds))
    answers = []
    for told, both in zip(groups, kept, strict=True):
        # of[s, t]: the group was in state t, given that the round was in s.
        of = np.exp(both - np.logaddexp.reduce(both, axis=1, keepdims=True))
        each = np.array([one.chances for one in told])
        unseen *= 1 - np.clip(of @ each.sum(axis=1), 0, 1)
        own = shares @ of
        stranger = own @ np.array([one.stranger for one in told])
        exact = all(one.exact for one in told)
        answers.append(GroupChances(np.tensordot(own, each, axes=1), stranger, exact, None))
    return StatesChances(RoundChances(1 - shares @ unseen, tuple(answers)), shares)


def _in_each(
    in_states: Sequence[GroupOfReadings], number: int, birds: int, most_cells: int
) -> list[_InState]:
    """One group in each state; a state in which no pairing has any weight is ruled out."""
    found: list[_InState | None] = []
    refused = ImpossibleReading(f"groups[{number}]: these readings cannot be of different birds")
    for group in in_states:
        try:
            told = reconciled([group], birds, most_cells).groups[0]
        except ImpossibleReading as reason:
            refused = ImpossibleReading(str(reason).replace("groups[0]", f"groups[{number}]", 1))
            found.append(None)
            continue
        log_sum = -np.inf if told.log_sum is None else told.log_sum
        found.append(_InState(log_sum, told.chances, told.stranger, told.log_sum is not None))
    if not any(found):
        raise refused
    if not all(one is None or one.exact for one in found):
        found = [one and replace(one, log_sum=_apart(g)) for one, g in zip(found, in_states, strict=True)]
    readings = len(in_states[0].strangers)
    nothing = _InState(-np.inf, np.zeros((readings, birds)), np.zeros(readings), True)
    return [one or nothing for one in found]


def _apart(group: GroupOfReadings) -> float:
    """How probable readings are (log) that may all be of any bird."""
    return float(np.log(group.weights.sum(axis=1) + group.strangers).sum())


def _kept_and_own(log_sums: Real, log_prior: Real) -> Real:
    """``(S, S)`` log weight of a group's readings with the group in state t, where the round was in s."""
    own = np.log(OF_ITS_OWN) + log_prior + log_sums
    both = np.broadcast_to(own, (len(own), len(own))).copy()
    at = np.arange(len(own))
    both[at, at] = np.logaddexp(both[at, at], np.log(1 - OF_ITS_OWN) + log_sums)
    return both
