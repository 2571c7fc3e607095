"""One step of the frontier's dynamic programme as a few small matrix products.

The state has an axis for each open kind of reading. Going axis by axis touches memory in short runs, which
is slow; so neighbouring axes are taken together as blocks of some 64 states, and what one bird may take of a
block is one matrix.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

MOST_IN_A_BLOCK: Final = 64


@dataclass(frozen=True, eq=False)
class _Block:
    """Axes ``first`` to ``end``; `takes[t, c', c]`: ways to come from state ``c`` to ``c'`` by axis ``t``."""

    first: int
    end: int
    before: int
    size: int
    behind: int
    takes: Floats


class Blocks:
    """The blocks of one layout of axes."""

    def __init__(self, remaining: Sequence[Floats]) -> None:
        """Lay out the axes.

        Args:
            remaining: for each axis, how many readings are left to take in each of its states.
        """
        sizes = [len(left) for left in remaining]
        self.blocks: list[_Block] = []
        first = 0
        while first < len(sizes):
            end = first + 1
            while end < len(sizes) and prod(sizes[first : end + 1]) <= MOST_IN_A_BLOCK:
                end += 1
            takes = _takes(remaining[first:end])
            before, behind = prod(sizes[:first]), prod(sizes[end:])
            self.blocks.append(_Block(first, end, before, takes.shape[1], behind, takes))
            first = end

    def forward(self, state: Floats, free: float, weights: Floats) -> Floats:
        """The state after a bird that stays free, or is one reading of an axis by its weight.

        Source:
            docs/science/reconciliation.md, eq. 2.
        """
        after = state * free
        for block in self.blocks:
            own = weights[block.first : block.end]
            if own.any():
                matrix = np.tensordot(own, block.takes, 1)
                after += _applied(matrix, state, block).reshape(state.shape)
        return np.asarray(after)

    def backward(self, state: Floats, after: Floats, free: float, weights: Floats) -> tuple[Floats, Floats]:
        """The adjoint of `forward`, and for each axis the sum over all pairings in which this bird is its.

        Source:
            docs/science/reconciliation.md, eq. 4.
        """
        before, paired = after * free, np.zeros(len(weights))
        for block in self.blocks:
            own = weights[block.first : block.end]
            if own.any():
                matrix = np.tensordot(own, block.takes, 1)
                before += _applied(matrix.T, after, block).reshape(state.shape)
                met = _met(after, state, block)
                paired[block.first : block.end] = own * np.tensordot(block.takes, met, 2)
        return np.asarray(before), paired


def _takes(remaining: Sequence[Floats]) -> Floats:
    """``(axes, L, L)`` for the axes of one block."""
    sizes = [len(left) for left in remaining]
    takes = np.zeros((len(sizes), prod(sizes), prod(sizes)))
    for at, left in enumerate(remaining):
        one = np.diag(left[:-1], -1)
        takes[at] = np.kron(np.kron(np.eye(prod(sizes[:at])), one), np.eye(prod(sizes[at + 1 :])))
    return takes


def _applied(matrix: Floats, state: Floats, block: _Block) -> Floats:
    if block.behind == 1:
        return np.asarray(state.reshape(block.before, block.size) @ matrix.T)
    return np.asarray(matrix @ state.reshape(block.before, block.size, block.behind))


def _met(after: Floats, state: Floats, block: _Block) -> Floats:
    """``(L, L)`` the states after and before, multiplied and summed over all other axes."""
    shape = (block.before, block.size, block.behind)
    if block.before == 1:
        return np.asarray(after.reshape(shape[1:]) @ state.reshape(shape[1:]).T)
    if block.behind == 1:
        return np.asarray(after.reshape(shape[:2]).T @ state.reshape(shape[:2]))
    return np.asarray((after.reshape(shape) @ state.reshape(shape).transpose(0, 2, 1)).sum(axis=0))
