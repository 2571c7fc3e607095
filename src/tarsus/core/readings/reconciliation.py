"""Weigh the readings of a round together: within a group, every reading is of a different bird.

Alone, a reading of yellow over green fits two sisters; together with a sure reading of one of them it is the
other. `reconciled` gives the chances under that exclusion, exactly where that is feasible.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import ImpossibleReading
from tarsus.core.readings.reconciliation_approximate import approximate_sums
from tarsus.core.readings.reconciliation_exact import PairingSums, pairing_sums
from tarsus.core.readings.reconciliation_plan import Plan, plan_pairing

Floats = NDArray[np.float64]

MOST_CELLS: Final = 100_000_000
"""Products the exact sums of one round may take: some tenths of a second."""

DROPPED: Final = (1e-11, 1e-14, 1e-17, 0.0)
"""Shares of a row's largest weight that may be dropped before the sums, the cheapest first."""

CERTIFIED: Final = 1e-10
"""Largest error of any chance at which sums with dropped weights still count as exact."""


@dataclass(frozen=True)
class GroupOfReadings:
    """Readings of birds that were in view together, as weights.

    `weights[r, b]`: prior weight of bird ``b`` times the chance that it gives reading ``r``. `strangers[r]`:
    prior weight of none of these birds times the chance that such a one gives it.
    """

    weights: Floats
    strangers: Floats


@dataclass(frozen=True)
class GroupChances:
    """`chances[r, b]` that a group's reading ``r`` is of bird ``b``, and `stranger[r]` of none of them.

    `log_sum`: the logarithm of the sum over all pairings, None where that was approximated.
    """

    chances: Floats
    stranger: Floats
    exact: bool
    log_sum: float | None


@dataclass(frozen=True)
class RoundChances:
    """For a round: `seen[b]`, the chance that each bird was seen at least once, and its groups."""

    seen: Floats
    groups: tuple[GroupChances, ...]

    @property
    def method(self) -> str:
        """``exact`` when every group is, else ``approximate``."""
        return "exact" if all(group.exact for group in self.groups) else "approximate"


def reconciled(groups: Sequence[GroupOfReadings], birds: int, most_cells: int = MOST_CELLS) -> RoundChances:
    """Weigh all readings of a round under one bird, one reading within each group.

    Args:
        groups: the round's groups; between groups the same bird may come again.
        birds: how many birds the flock has, B.
        most_cells: products that the exact sums may take in all; beyond, a group is approximated.

    Returns:
        Chances that sum to 1 for each reading over the birds and *none of these*.

    Raises:
        ImpossibleReading: no pairing of some group has any weight.

    Assumes:
        Given the birds, readings are made independently of each other and groups of each other; strangers may
        be several. A keeper who reads a bird twice within one group, thinking it two, breaks this.

    Source:
        docs/science/reconciliation.md.
    """
    left, answers, unseen = most_cells, [], np.ones(birds)
    for number, group in enumerate(groups):
        chances, cells = _group_chances(group, left // (len(groups) - number), number, len(groups))
        left -= cells
        answers.append(chances)
        unseen *= 1 - np.clip(chances.chances.sum(axis=0), 0, 1)
    return RoundChances(1 - unseen, tuple(answers))


@dataclass(frozen=True)
class _Kinds:
    """The distinct rows of a group, scaled to a largest weight of 1, and which reading is of which kind."""

    weights: Floats
    strangers: Floats
    many: list[int]
    kind_of: NDArray[np.intp]
    log_scale: float


def _kinds(group: GroupOfReadings, number: int) -> _Kinds:
    rows = np.column_stack([group.weights, group.strangers])
    largest = rows.max(axis=1, initial=0.0)
    if not (largest > 0).all():
        at = int(np.flatnonzero(~(largest > 0))[0])
        raise ImpossibleReading(
            f"groups[{number}][{at}]: no bird could have given this reading; allow for strangers"
        )
    rows, log_scale = rows / largest[:, None], float(np.log(largest).sum())
    distinct, kind_of, many = np.unique(rows, axis=0, return_inverse=True, return_counts=True)
    return _Kinds(distinct[:, :-1].copy(), distinct[:, -1].copy(), many.tolist(), kind_of.ravel(), log_scale)


def _group_chances(
    group: GroupOfReadings, most_cells: int, number: int, groups: int
) -> tuple[GroupChances, int]:
    if not len(group.strangers):
        return GroupChances(np.zeros_like(group.weights), np.zeros(0), True, 0.0), 0
    kinds = _kinds(group, number)
    try:
        sums, cells = _exact_sums(kinds, most_cells)
        exact = sums is not None
        if sums is None:
            sums = approximate_sums(kinds.weights, kinds.strangers, kinds.many, share=1 / groups)
    except ImpossibleReading as reason:
        raise ImpossibleReading(f"groups[{number}]: {reason}") from None
    each = sums.pair / np.array(kinds.many)[:, None]
    stranger = kinds.strangers * sums.axis_room
    log_sum = None if sums.log_sum is None else sums.log_sum + kinds.log_scale
    return GroupChances(each[kinds.kind_of], stranger[kinds.kind_of], exact, log_sum), cells


def _exact_sums(kinds: _Kinds, most_cells: int) -> tuple[PairingSums | None, int]:
    """Sums with as little dropped as the certificate asks, and what they cost; None where too costly."""
    spent = 0
    for share in DROPPED:
        kept, dropped = _without_least(kinds.weights, share / len(kinds.weights))
        planned = _cheaper_plan(kept, kinds.many, most_cells - spent)
        if planned is None:
            return None, spent
        plan, by_birds = planned
        spent += plan.cells
        sums = _sums_of(kept, kinds, plan, by_birds)
        # docs/science/reconciliation.md, eq. 5: what was dropped moves no chance by more than this.
        if np.expm1(np.log1p(dropped * sums.axis_room) @ np.array(kinds.many)) <= CERTIFIED:
            return sums, spent
    return None, spent


def _without_least(weights: Floats, share: float) -> tuple[Floats, Floats]:
    """Each row without its least weights, together at most a share of its largest; and their sum."""
    order = np.argsort(weights, axis=1, kind="stable")
    ascending = np.take_along_axis(weights, order, axis=1)
    drop = np.cumsum(ascending, axis=1) <= share * ascending[:, -1:]
    mask = np.zeros_like(drop)
    np.put_along_axis(mask, order, drop, axis=1)
    return np.where(mask, 0.0, weights), np.where(mask, weights, 0.0).sum(axis=1)


def _cheaper_plan(weights: Floats, many: list[int], most_cells: int) -> tuple[Plan, bool] | None:
    """The cheaper of going bird by bird with readings as the state, or the other way round."""
    possible = weights > 0
    by_birds = plan_pairing(possible, many, most_cells)
    expanded = np.repeat(possible, many, axis=0)
    within = by_birds.cells if by_birds else most_cells
    by_readings = plan_pairing(expanded.T, [1] * weights.shape[1], within)
    if by_readings and (by_birds is None or by_readings.cells < by_birds.cells):
        return by_readings, False
    return (by_birds, True) if by_birds else None


def _sums_of(kept: Floats, kinds: _Kinds, plan: Plan, by_birds: bool) -> PairingSums:
    ones = np.ones(kept.shape[1])
    if by_birds:
        return pairing_sums(kept, kinds.strangers, ones, kinds.many, plan)
    expanded = np.repeat(kept, kinds.many, axis=0)
    strangers = np.repeat(kinds.strangers, kinds.many)
    turned = pairing_sums(expanded.T, ones, strangers, [1] * len(ones), plan)
    first = np.cumsum([0, *kinds.many[:-1]])
    many = np.array(kinds.many)[:, None]
    return PairingSums(turned.pair.T[first] * many, turned.step_room[first], turned.axis_room, turned.log_sum)
