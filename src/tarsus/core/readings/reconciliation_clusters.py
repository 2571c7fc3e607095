"""Which kinds of readings and which birds are bound so strongly that they must be summed together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.readings.reconciliation_plan import A_PAIR, Plan, plan_pairing

Floats = NDArray[np.float64]

LOOSE: Final = 1e-4
"""Pairs whose chance is this close to 0 or to 1 bind nothing."""

MOST_STATES: Final = 4096
"""How many states the exact sum over one cluster may carry at a time."""

MOST_CELLS_A_PASS: Final = 10_000_000
"""What one pass over all clusters of a round may cost, in products."""


@dataclass(frozen=True)
class Cluster:
    """Kinds of readings and birds that are summed together, and how."""

    kinds: NDArray[np.intp]
    birds: NDArray[np.intp]
    plan: Plan


def bound_together(
    chances: Floats, weights: Floats, many: Sequence[int], share: float = 1.0
) -> list[Cluster]:
    """Join kinds and birds, the least decided pairs first, as long as a cluster stays cheap to sum.

    Args:
        chances: ``(T, B)`` first estimate of each pair's chance.
        weights: ``(T, B)`` the pairs' weights; pairs of weight 0 bind nothing.
        many: ``(T,)`` readings of each kind.
        share: the share of `MOST_CELLS_A_PASS` that these clusters may take.

    Returns:
        Clusters that hold every kind and every bird exactly once.

    Source:
        docs/science/reconciliation.md.
    """
    kinds = len(many)
    joined = _Joined(many, weights.shape[1], MOST_CELLS_A_PASS * share)
    undecided = chances * (1 - np.clip(chances, 0, 1))
    at_kind, at_bird = np.nonzero(undecided > LOOSE)
    # Rounded, so that two machines (or a phone) that differ in the last digit join in the same order.
    order = np.lexsort((at_bird, at_kind, -np.round(undecided[at_kind, at_bird], 9)))
    for kind, bird in zip(at_kind[order].tolist(), at_bird[order].tolist(), strict=True):
        joined.join(kind, kinds + bird)
    return [_cluster(members, weights, many) for members in joined.members()]


class _Joined:
    """Union of nodes (kinds first, then birds) that refuses what would be too dear."""

    def __init__(self, many: Sequence[int], birds: int, most_cells: float) -> None:
        self.most_cells = most_cells
        self.kinds = len(many)
        self.root = list(range(self.kinds + birds))
        self.states = [float(count + 1) for count in many] + [1.0] * birds
        self.nodes = [[node] for node in self.root]
        self.size_in_birds = [0] * self.kinds + [1] * birds
        self.cells = 0.0

    def _of(self, node: int) -> int:
        while self.root[node] != node:
            node = self.root[node]
        return node

    def join(self, kind: int, bird: int) -> None:
        one, other = sorted((self._of(kind), self._of(bird)))
        if one == other:
            return
        states = self.states[one] * self.states[other]
        birds = self.size_in_birds[one] + self.size_in_birds[other]
        kinds = len(self.nodes[one]) + len(self.nodes[other]) - birds
        cells = self.cells + (states + A_PAIR) * birds * kinds - self._cells(one) - self._cells(other)
        if states > MOST_STATES or cells > self.most_cells:
            return
        self.cells = cells
        self.root[other] = one
        self.states[one], self.size_in_birds[one] = states, birds
        self.nodes[one] += self.nodes[other]
        self.nodes[other] = []

    def _cells(self, root: int) -> float:
        birds = self.size_in_birds[root]
        return (self.states[root] + A_PAIR) * birds * (len(self.nodes[root]) - birds)

    def members(self) -> list[list[int]]:
        return [sorted(nodes) for nodes in self.nodes if nodes]


def _cluster(nodes: list[int], weights: Floats, many: Sequence[int]) -> Cluster:
    kinds = np.array([node for node in nodes if node < len(many)], dtype=np.intp)
    birds = np.array([node - len(many) for node in nodes if node >= len(many)], dtype=np.intp)
    possible = weights[np.ix_(kinds, birds)] > 0
    plan = plan_pairing(possible, [many[kind] for kind in kinds], MOST_CELLS_A_PASS * MOST_STATES)
    assert plan is not None, "a cluster is joined only while it is cheap"
    return Cluster(kinds, birds, plan)
