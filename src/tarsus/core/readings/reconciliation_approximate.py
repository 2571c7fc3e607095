"""Sums over all ways to pair readings with birds, where an exact sum would take too long.

Message passing on the graph of readings and birds is exact where the graph is a tree and good where loops
are weak. The strong loops (two readings that both fit the same two sisters) are where it errs; so kinds of
readings and birds that are strongly bound are taken together into clusters, each cluster is summed exactly,
and messages pass between clusters only. With one cluster for all, the answer is exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.readings.reconciliation_clusters import Cluster, bound_together
from tarsus.core.readings.reconciliation_exact import PairingSums, pairing_sums

Floats = NDArray[np.float64]

SETTLED: Final = 1e-7
"""Largest move of any chance at which messages have settled."""

MOST_ROUNDS: Final = 200
MOST_CLUSTER_ROUNDS: Final = 12

KEPT: Final = 0.5
"""How much of an old message stays: without it, messages on strong loops swing to and fro."""

LEAST_SHARE: Final = 1e-12
"""A message is never taken from less than this share of its node's room: subtraction leaves noise there."""


def approximate_sums(
    weights: Floats, strangers: Floats, many: Sequence[int], share: float = 1.0
) -> PairingSums:
    """Approximate `pairing_sums` over all birds with free weight 1.

    Args:
        weights: ``(T, B)`` weight of a reading of kind ``t`` with bird ``b``; rows near 1 in scale.
        strangers: ``(T,)`` weight of one reading of kind ``t`` that is of no bird.
        many: ``(T,)`` readings of each kind.
        share: the share of the round's work that this group may take.

    Assumes:
        Nothing about the flock; how far it errs was measured and stands in docs/science/reconciliation.md.

    Source:
        docs/science/reconciliation.md, eq. 7.
    """
    counts = np.array(many, dtype=float)[:, None]
    from_bird = _settled_messages(weights, strangers, counts)
    room = strangers + (weights * from_bird).sum(axis=1)
    clusters = bound_together(weights * from_bird / room[:, None], weights, many, share)
    return _Clustered(weights, strangers, many, clusters, from_bird).sums()


def _others(values: Floats, axis: int) -> Floats:
    """For each entry the sum of the others along an axis; by adding only: subtracting loses small ones."""
    nothing = np.zeros_like(values.take([0], axis))
    before = np.concatenate([nothing, np.cumsum(values, axis)], axis).take(range(values.shape[axis]), axis)
    turned = np.flip(values, axis)
    behind = np.concatenate([nothing, np.cumsum(turned, axis)], axis).take(range(values.shape[axis]), axis)
    return np.asarray(before + np.flip(behind, axis))


def _settled_messages(weights: Floats, strangers: Floats, counts: Floats) -> Floats:
    """What each bird says to each kind of reading: how free it is when that reading is left out."""
    from_bird = np.ones_like(weights)
    before = np.zeros_like(weights)
    for _ in range(MOST_ROUNDS):
        pulls = weights * from_bird
        room = strangers[:, None] + _others(pulls, 1)
        from_reading = weights / np.maximum(room, LEAST_SHARE)
        asked = 1 + _others(from_reading * counts, 0) + from_reading * (counts - 1)
        from_bird = KEPT * from_bird + (1 - KEPT) / asked
        chances = pulls / (room + pulls)
        if np.abs(chances - before).max() <= SETTLED:
            break
        before = chances
    return from_bird


class _Clustered:
    """Messages between clusters; each is summed exactly with the others' messages as free weights."""

    def __init__(
        self, weights: Floats, strangers: Floats, many: Sequence[int], clusters: list[Cluster], start: Floats
    ) -> None:
        self.strangers, self.many, self.clusters = strangers, many, clusters
        self.counts = np.array(many, dtype=float)[:, None]
        self.outer = weights.copy()
        for cluster in clusters:
            self.outer[np.ix_(cluster.kinds, cluster.birds)] = 0
        self.weights = weights
        self.from_bird = start
        room = strangers[:, None] + _others(weights * start, 1)
        self.from_reading = self.outer / np.maximum(room, LEAST_SHARE)

    def sums(self) -> PairingSums:
        answer = self._pass()
        for _ in range(MOST_CLUSTER_ROUNDS):
            self._tell(answer)
            before, answer = answer, self._pass()
            if np.abs(answer.pair - before.pair).max() <= SETTLED:
                break
        return answer

    def _pass(self) -> PairingSums:
        """Sum every cluster once, given what the others say."""
        outside_reading = self.strangers + (self.outer * self.from_bird).sum(axis=1)
        outside_bird = 1 + (self.counts * self.from_reading).sum(axis=0)
        reading_room, bird_room = 1 / outside_reading, 1 / outside_bird
        inside = np.zeros_like(self.outer)
        for cluster in self.clusters:
            if not (len(cluster.kinds) and len(cluster.birds)):
                continue
            block = np.ix_(cluster.kinds, cluster.birds)
            sums = pairing_sums(
                self.weights[block],
                outside_reading[cluster.kinds],
                outside_bird[cluster.birds],
                [self.many[kind] for kind in cluster.kinds],
                cluster.plan,
            )
            inside[block] = sums.pair
            reading_room[cluster.kinds], bird_room[cluster.birds] = sums.axis_room, sums.step_room
        between = self.counts * self.outer * self.from_bird * reading_room[:, None]
        return PairingSums(inside + between, reading_room, bird_room)

    def _tell(self, answer: PairingSums) -> None:
        """New messages between clusters: each leaves out what its receiver itself had said."""
        whole = 1 / answer.axis_room[:, None]
        without = np.maximum(whole - self.outer * self.from_bird, LEAST_SHARE * whole)
        told = self.outer / without
        whole = 1 / answer.step_room[None, :]
        free = 1 / np.maximum(whole - self.from_reading, LEAST_SHARE * whole)
        self.from_reading = KEPT * self.from_reading + (1 - KEPT) * told
        self.from_bird = np.where(self.outer > 0, KEPT * self.from_bird + (1 - KEPT) * free, self.from_bird)
