"""Sums over all ways to pair readings with birds, exactly, by dynamic programming over a frontier.

One side of the pairing are the *axes* (kinds of readings: equal readings are exchangeable, so only how many
of a kind are taken matters), the other the *steps* (birds, one after the other). The state after some steps
is how many of each open kind are taken; a kind is open from its first possible bird to its last, so a sparse
component never carries more than its frontier.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import ImpossibleReading
from tarsus.core.readings.reconciliation_blocks import Blocks
from tarsus.core.readings.reconciliation_plan import Plan, axis_sizes

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class PairingSums:
    """Chances under the pairing measure, and how much room each side has left.

    `pair[t, b]`: expected number of axis ``t``'s readings that are of step ``b``. `axis_room[t]`: the sum
    over all pairings without one reading of ``t``, divided by the sum over all; `step_room[b]` likewise
    without step ``b``. The chance that a reading stays unpaired is its free weight times its room. `log_sum`:
    the logarithm of the sum over all pairings; None where the sums are not exact.
    """

    pair: Floats
    axis_room: Floats
    step_room: Floats
    log_sum: float | None = None


@dataclass(frozen=True)
class _Closing:
    """One axis leaving the state: the state before, where the axis stood, what its leftovers weigh."""

    axis: int
    at: int
    state: Floats


def pairing_sums(
    weights: Floats, axis_free: Floats, step_free: Floats, many: Sequence[int], plan: Plan
) -> PairingSums:
    """Sum over every pairing in which each reading and each step is used at most once.

    A pairing weighs the product of its pairs' weights, of the free weight of every unpaired reading, and of
    the free weight of every unpaired step.

    Args:
        weights: ``(T, B)`` weight of pairing a reading of axis ``t`` with step ``b``; rows near 1 in scale.
        axis_free: ``(T,)`` weight of one reading that stays unpaired.
        step_free: ``(B,)`` weight of a step that stays unpaired.
        many: ``(T,)`` readings of each axis.
        plan: from `plan_pairing` for the nonzero weights.

    Raises:
        ImpossibleReading: no pairing has any weight.

    Source:
        docs/science/reconciliation.md, eq. 2 to 4.
    """
    return _Contraction(weights, axis_free, step_free, many, plan).sums()


def _along(values: Floats, dimensions: int, at: int) -> Floats:
    """A vector laid along one axis of a state."""
    return values.reshape([-1 if k == at else 1 for k in range(dimensions)])


class _Contraction:
    """One forward pass that keeps its states, and one backward pass that reads the chances off."""

    def __init__(
        self, weights: Floats, axis_free: Floats, step_free: Floats, many: Sequence[int], plan: Plan
    ) -> None:
        self.weights, self.step_free, self.plan = weights, step_free, plan
        sizes = axis_sizes(weights > 0, many)
        axes = list(zip(many, sizes, axis_free.tolist(), strict=True))
        if any(size < count and free == 0 for count, size, free in axes):
            raise ImpossibleReading(
                "more readings than birds that could have given them; allow for strangers"
            )
        self.remaining = [count - np.arange(size + 1.0) for count, size, _ in axes]
        self.leftover = [np.power(free, size - np.arange(size + 1.0)) for _, size, free in axes]
        self.leftover_lost = [_lost_one(*axis) for axis in axes]
        # Readings beyond the birds that could be theirs stay unpaired; a step nothing goes with has no turn.
        beyond = [(count - size) * np.log(free) for count, size, free in axes if size < count]
        alone = np.delete(step_free, plan.order)
        with np.errstate(divide="ignore"):
            self.log_sum = float(sum(beyond) + np.log(alone).sum())
        self.states: list[Floats] = []
        self.closings: list[list[_Closing]] = []
        self.blocks: dict[tuple[int, ...], Blocks] = {}

    def sums(self) -> PairingSums:
        self._forward()
        return self._backward()

    def _forward(self) -> None:
        state: Floats = np.ones(())
        layout: list[int] = []
        for step, fresh, done in zip(self.plan.order, self.plan.opens, self.plan.closes, strict=True):
            for axis in fresh:
                opened = np.zeros((*state.shape, len(self.remaining[axis])))
                opened[..., 0] = state
                state = opened
                layout.append(axis)
            self.states.append(state)
            state = self._stepped(state, step, layout)
            closed = []
            for axis in done:
                at = layout.index(axis)
                closed.append(_Closing(axis, at, state))
                state = np.tensordot(state, self.leftover[axis], axes=(at, 0))
                del layout[at]
            self.closings.append(closed)
        if self.plan.order and not state > 0:
            raise ImpossibleReading("these readings cannot be of different birds; allow for strangers")
        self.log_sum += float(np.log(state))

    def _stepped(self, state: Floats, step: int, layout: list[int]) -> Floats:
        after = self._blocks(layout).forward(state, self.step_free[step], self.weights[layout, step])
        largest = after.max()
        if not largest > 0:
            return after
        self.log_sum += float(np.log(largest))
        return np.asarray(after / largest)

    def _blocks(self, layout: list[int]) -> Blocks:
        key = tuple(layout)
        if key not in self.blocks:
            self.blocks[key] = Blocks([self.remaining[axis] for axis in layout])
        return self.blocks[key]

    def _backward(self) -> PairingSums:
        pair = np.zeros_like(self.weights)
        # An axis that nothing can be paired with never opens; it only has its leftover weight.
        axis_room = np.array([lost[0] for lost in self.leftover_lost])
        step_room = np.zeros_like(self.step_free)
        np.divide(1.0, self.step_free, out=step_room, where=self.step_free > 0)
        after: Floats = np.ones(())
        layout: list[int] = []
        for k in range(len(self.plan.order) - 1, -1, -1):
            for closing in reversed(self.closings[k]):
                dimensions, at = closing.state.ndim, closing.at
                outer = np.expand_dims(after, at)
                after = outer * _along(self.leftover[closing.axis], dimensions, at)
                lost = outer * _along(self.leftover_lost[closing.axis], dimensions, at)
                axis_room[closing.axis] = np.vdot(closing.state, lost) / np.vdot(closing.state, after)
                layout.insert(at, closing.axis)
            step = self.plan.order[k]
            after, step_room[step] = self._step_back(self.states[k], after, step, layout, pair)
            for axis in reversed(self.plan.opens[k]):
                at = layout.index(axis)
                after = np.asarray(after.take(0, at))
                del layout[at]
            after = np.asarray(after / after.max())
        return PairingSums(pair, axis_room, step_room, self.log_sum)

    def _step_back(
        self, state: Floats, after: Floats, step: int, layout: list[int], pair: Floats
    ) -> tuple[Floats, float]:
        free, weights = self.step_free[step], self.weights[layout, step]
        before, paired = self._blocks(layout).backward(state, after, free, weights)
        whole = np.vdot(state, before)
        pair[layout, step] = paired / whole
        return before, float(np.vdot(state, after) / whole)


def _lost_one(count: int, size: int, free: float) -> Floats:
    """What the leftovers of an axis weigh when one of its unpaired readings is taken away."""
    taken = np.arange(size + 1.0)
    share = (count - taken) / count
    if size < count:
        return np.asarray(share * np.power(free, size - taken) / free)
    lost = np.zeros_like(share)
    lost[:-1] = share[:-1] * np.power(free, (size - 1 - taken)[:-1])
    return lost
