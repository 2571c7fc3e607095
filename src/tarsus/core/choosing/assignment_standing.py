"""A full choice as it stands while slots are taken out and put back: what it explains, and what is free."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.assignment_problem import FREE, Codes, Floats, Problem

Flags = NDArray[np.bool_]

MOST_DENSE: Final = 4_000_000
"""Entries of a full table of options and readings; beyond, only the likely readings are kept."""

A_VISIT: Final = 12_000
"""What a visit costs beside its entries, in entries."""

SPARSE: Final = 10
"""How much dearer an entry is where it has to be looked up."""


class Standing:
    """Slots filled with options; one slot may be out.

    `rows` are the values of what is chosen, ``(K, S)``; of each reading the best value, its slot and the
    second best are kept, so that a slot that goes out leaves the second. `total` sums all birds. Where the
    table of options is small it is kept in full, so that nothing is looked up.
    """

    def __init__(self, problem: Problem, chosen: Codes) -> None:
        self.problem, self.options = problem, problem.options
        count = len(problem.worn)
        self.chosen = np.full(len(chosen), FREE)
        self.rows = np.zeros((count, len(chosen)))
        self.best, self.second = np.zeros(count), np.zeros(count)
        self.owner = np.full(count, FREE)
        self.total = problem.worn_total.copy()
        self.taken = np.zeros(int(self.options.marks.max(initial=0)) + 1, dtype=bool)
        self.left = problem.stock.copy()
        self.tables = _tables(problem)
        self.out = FREE
        for slot, option in enumerate(chosen):
            self.put_in(slot, int(option))

    def cost(self, many: int, kind: int) -> int:
        """What it costs to weigh so many options of a class, in entries."""
        if self.tables is not None:
            return many * len(self.problem.worn) + A_VISIT
        of_kind = max(int((self.options.kind == kind).sum()), 1)
        entries = len(self.options.value) * of_kind // max(len(self.options), 1)
        changed = 2 * entries // of_kind * len(self.chosen)
        return SPARSE * (entries * many // of_kind) + changed + 3 * len(self.problem.worn) + A_VISIT

    def take_out(self, slot: int) -> None:
        """Free what a slot takes, until it is put in again."""
        option = int(self.chosen[slot])
        row = self.options.row(option)
        self.total[self.options.reading[row]] -= self.options.total[row]
        self._mark(option, taken=False)
        self.left += self.options.uses[option]
        self.out = slot

    def put_in(self, slot: int, option: int) -> None:
        """Fill a slot that is out."""
        before, row = int(self.chosen[slot]), self.options.row(option)
        at = self.options.reading[row]
        self.total[at] += self.options.total[row]
        self._mark(option, taken=True)
        self.left -= self.options.uses[option]
        self.out = FREE
        if option == before:
            return
        self.chosen[slot] = option
        if before != FREE:
            old = self.options.reading[self.options.row(before)]
            self.rows[old, slot] = 0.0
            self.rows[at, slot] = self.options.value[row]
            at = np.union1d(old, at)
        else:
            self.rows[at, slot] = self.options.value[row]
        some, every = self.rows[at], np.arange(len(at))
        owner = some.argmax(axis=1)
        self.owner[at], self.best[at] = owner, some[every, owner]
        some[every, owner] = 0.0
        self.second[at] = some.max(axis=1)

    def _mark(self, option: int, *, taken: bool) -> None:
        marks = self.options.marks[option]
        self.taken[marks[marks != FREE]] = taken

    def fits(self, some: Codes) -> Flags:
        """Which options take marks that nobody takes, and bands that are in stock."""
        marks = self.options.marks[some]
        free = ~(self.taken[marks] & (marks != FREE)).any(axis=1)
        if len(self.left):
            free &= (self.options.uses[some] <= self.left).all(axis=1)
        return np.asarray(free)

    def worth_of(self, some: Codes, kind: int) -> Floats:
        """What the choice is worth with each option in the slot that is out, up to what is common to all.

        Source:
            docs/science/assignment.md, eq. 5.
        """
        sure = self.problem.sureness
        best = np.maximum(np.where(self.owner == self.out, self.second, self.best), self.problem.worn)
        before = best - sure * self.total
        if self.tables is not None:
            place, named, others = self.tables
            at = place[some] if len(some) < len(named[kind]) else slice(None)
            worth = np.maximum(before - others[kind][at], named[kind][at] - sure * self.total)
            return np.asarray(np.maximum(worth, 0.0, out=worth).sum(axis=1))
        options = self.options
        lengths = options.start[some + 1] - options.start[some]
        entries = np.repeat(options.start[some] - np.cumsum(lengths) + lengths, lengths) + np.arange(
            lengths.sum()
        )
        at, total = options.reading[entries], options.total[entries]
        now = np.maximum(best[at], options.value[entries]) - sure * (self.total[at] + total)
        gain = np.maximum(now, 0.0) - np.maximum(before, 0.0)[at]
        return np.bincount(np.repeat(np.arange(len(some)), lengths), gain, minlength=len(some)).astype(float)


_Tables = tuple[Codes, list[Floats], list[Floats]]


def _tables(problem: Problem) -> _Tables | None:
    """Full tables by class, where they are small: where an option stands, ``v - s t`` and ``s t``."""
    options, sure = problem.options, problem.sureness
    if len(options) * len(problem.worn) > MOST_DENSE:
        return None
    shape = (len(options), len(problem.worn))
    value, total = np.zeros(shape), np.zeros(shape)
    value[options.owner, options.reading] = options.value
    total[options.owner, options.reading] = options.total
    place, named, others = np.zeros(len(options), dtype=np.intp), [], []
    for kind in range(int(options.kind.max(initial=0)) + 1):
        at = np.flatnonzero(options.kind == kind)
        place[at] = np.arange(len(at))
        others.append(sure * total[at])
        named.append(value[at] - others[-1])
    return place, named, others
