"""In which order to pair, so that few kinds of readings are open at a time; and what that would cost."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Plan:
    """The order of the steps, the axes each opens and closes, and the number of products it all takes."""

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
    """
    return _Planner(possible, axis_sizes(possible, many)).plan(most_cells)


class _Planner:
    """Greedy: the next step is the one after which the state is smallest."""

    def __init__(self, possible: NDArray[np.bool_], sizes: Sequence[int]) -> None:
        self.log_size = [math.log(size + 1) for size in sizes]
        self.size = [size + 1 for size in sizes]
        self.waiting = [set(np.flatnonzero(row).tolist()) for row in possible]
        self.touching = [tuple(np.flatnonzero(column).tolist()) for column in possible.T]
        self.open: dict[int, None] = {}

    def plan(self, most_cells: int) -> Plan | None:
        left = {step for step, axes in enumerate(self.touching) if axes}
        order, opens, closes = [], [], []
        cells = 0
        while left:
            step = self._next(left)
            left.discard(step)
            opens.append(self._opened_by(step))
            cells += self._state_size() * (len(self.touching[step]) + 1)
            if cells > most_cells:
                return None
            order.append(step)
            closes.append(self._closed_by(step))
        return Plan(tuple(order), tuple(opens), tuple(closes), cells)

    def _next(self, left: set[int]) -> int:
        near: set[int] = set()
        for axis in self.open:
            near |= self.waiting[axis]
        return min(near or left, key=lambda step: (self._growth(step), step))

    def _growth(self, step: int) -> float:
        grown = 0.0
        for axis in self.touching[step]:
            if axis not in self.open:
                grown += self.log_size[axis]
            if len(self.waiting[axis]) == 1:
                grown -= self.log_size[axis]
        return round(grown, 9)

    def _opened_by(self, step: int) -> tuple[int, ...]:
        fresh = tuple(axis for axis in self.touching[step] if axis not in self.open)
        self.open.update(dict.fromkeys(fresh))
        return fresh

    def _closed_by(self, step: int) -> tuple[int, ...]:
        done = []
        for axis in self.touching[step]:
            self.waiting[axis].discard(step)
            if not self.waiting[axis]:
                done.append(axis)
                del self.open[axis]
        return tuple(done)

    def _state_size(self) -> int:
        return math.prod(self.size[axis] for axis in self.open)
