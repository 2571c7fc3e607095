"""In which order to pair, so that few kinds of readings are open at a time; and what that would cost."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

A_PAIR: Final = 3000
"""What one pair of a step and an axis costs besides its states, in products."""


@dataclass(frozen=True)
class Plan:
    """The order of the steps, the axes each opens and closes, and what it all costs, in products."""

    order: tuple[int, ...]
    opens: tuple[tuple[int, ...], ...]
    closes: tuple[tuple[int, ...], ...]
    cells: int


def axis_sizes(possible: NDArray[np.bool_], many: Sequence[int]) -> list[int]:
    """How many readings of each axis can be paired at once: all of them, or as many as there are steps."""
    return [min(count, int(row.sum())) for row, count in zip(possible, many, strict=True)]


def plan_pairing(possible: NDArray[np.bool_], many: Sequence[int], most_cells: int) -> Plan | None:
    """Order the steps so that few axes are open at a time.

    Args:
        possible: ``(T, B)`` whether a reading of axis ``t`` can be of step ``b``.
        many: ``(T,)`` how many readings each axis holds.
        most_cells: the cost at which to give up.

    Returns:
        The plan, or `None` when it would cost more than `most_cells`.

    Source:
        docs/science/reconciliation.md, eqs. 2 to 4.
    """
    return _Planner(possible, axis_sizes(possible, many)).plan(most_cells)


class _Planner:
    """Greedy: the next step is the one after which the state is smallest.

    Steps that touch the same axes are alike to the plan, so it chooses among such patterns.
    """

    def __init__(self, possible: NDArray[np.bool_], sizes: Sequence[int]) -> None:
        self.log_size = [math.log(size + 1) for size in sizes]
        self.size = [size + 1 for size in sizes]
        self.waiting = [set(np.flatnonzero(row).tolist()) for row in possible]
        self.left: dict[tuple[int, ...], list[int]] = {}
        for step, column in enumerate(possible.T):
            axes = tuple(np.flatnonzero(column).tolist())
            if axes:
                self.left.setdefault(axes, []).append(step)
        self.open: dict[int, None] = {}

    def plan(self, most_cells: int) -> Plan | None:
        order, opens, closes = [], [], []
        cells = 0
        while self.left:
            axes = self._next()
            step = self.left[axes].pop(0)
            if not self.left[axes]:
                del self.left[axes]
            opens.append(self._opened_by(axes))
            cells += (self._state_size() + A_PAIR) * (len(axes) + 1)
            if cells > most_cells:
                return None
            order.append(step)
            closes.append(self._closed_by(axes, step))
        return Plan(tuple(order), tuple(opens), tuple(closes), cells)

    def _next(self) -> tuple[int, ...]:
        near = [axes for axes in self.left if not self.open.keys().isdisjoint(axes)]
        return min(near or self.left, key=lambda axes: (self._growth(axes), self.left[axes][0]))

    def _growth(self, axes: tuple[int, ...]) -> float:
        grown = 0.0
        for axis in axes:
            if axis not in self.open:
                grown += self.log_size[axis]
            if len(self.waiting[axis]) == 1:
                grown -= self.log_size[axis]
        return round(grown, 9)

    def _opened_by(self, axes: tuple[int, ...]) -> tuple[int, ...]:
        fresh = tuple(axis for axis in axes if axis not in self.open)
        self.open.update(dict.fromkeys(fresh))
        return fresh

    def _closed_by(self, axes: tuple[int, ...], step: int) -> tuple[int, ...]:
        done = []
        for axis in axes:
            self.waiting[axis].discard(step)
            if not self.waiting[axis]:
                done.append(axis)
                del self.open[axis]
        return tuple(done)

    def _state_size(self) -> int:
        return math.prod(self.size[axis] for axis in self.open)
