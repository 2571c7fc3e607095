"""How much P(right) rises by every swap of a choice, all of them in one pass.

A swap that takes slot i away changes only the readings that i owns, where the second best steps in;
everywhere else the new option is weighed against the best that stands.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np

from tarsus.core.choosing.assignment_problem import FREE, Codes, Floats, Problem

MOST_DENSE: Final = 4_000_000
"""Entries of a full table of options and readings; beyond, only the likely readings are kept."""


@dataclass
class Standing:
    """What a choice explains: per reading the best value, its slot, and the best without that slot."""

    best: Floats
    owner: Codes
    second: Floats

    def losses(self, slots: int) -> Floats:
        """``(S,)`` what would go with each slot."""
        held = self.owner != FREE
        return np.bincount(self.owner[held], self.best[held] - self.second[held], minlength=slots).astype(
            float
        )


class Swaps(Protocol):
    """The two things a search asks of a choice; `cost` is about how many entries one pass looks at."""

    cost: int

    def standing(self, chosen: Codes) -> Standing:
        """What a choice explains."""

    def gains(self, chosen: Codes) -> Floats:
        """``(S, O)`` how much P(right) rises when a slot takes another option instead of its own."""


def swaps_of(problem: Problem) -> Swaps:
    """A full table where it is small, rows of likely readings where it is not."""
    small = len(problem.options) * len(problem.worn) <= MOST_DENSE
    return TableSwaps(problem) if small else RowSwaps(problem)


class TableSwaps:
    """Swaps on a full table: no look-ups in the gains."""

    def __init__(self, problem: Problem) -> None:
        options = problem.options
        self.worn = problem.worn
        self.table = np.zeros((len(options), len(problem.worn)))
        owner = np.repeat(np.arange(len(options)), np.diff(options.start))
        self.table[owner, options.reading] = options.value
        self.cost = self.table.size + 30_000

    def standing(self, chosen: Codes) -> Standing:
        """What a choice explains."""
        rows = self.table[chosen]
        owner = rows.argmax(axis=0)
        every = np.arange(rows.shape[1])
        top = rows[owner, every]
        rows[owner, every] = 0.0
        owned = top > self.worn
        second = np.where(owned, np.maximum(rows.max(axis=0), self.worn), self.worn)
        return Standing(np.where(owned, top, self.worn), np.where(owned, owner, FREE), second)

    def gains(self, chosen: Codes) -> Floats:
        """``(S, O)`` how much P(right) rises by each swap; `Swaps.gains`."""
        now = self.standing(chosen)
        gain = np.maximum(self.table - now.best, 0.0)
        # Readings by their owner, so that each slot's are neighbours and one sum a slot does.
        by_owner = np.argsort(now.owner, kind="stable")
        held = by_owner[np.searchsorted(now.owner[by_owner], 0) :]
        freed = np.maximum(self.table[:, held] - now.second[held], 0.0) - gain[:, held]
        extra = np.zeros((len(chosen), len(self.table)))
        owners, first = np.unique(now.owner[held], return_index=True)
        if len(held):
            extra[owners] = np.add.reduceat(freed, first, axis=1).T
        return np.asarray(gain.sum(axis=1) + extra - now.losses(len(chosen))[:, None])


class RowSwaps:
    """Swaps on rows of likely readings."""

    def __init__(self, problem: Problem) -> None:
        self.options, self.worn = problem.options, problem.worn
        self.owner_row = np.repeat(np.arange(len(self.options)), np.diff(self.options.start))
        self.cost = 3 * len(self.options.value) + 60_000

    def standing(self, chosen: Codes) -> Standing:
        """What a choice explains."""
        options, worn = self.options, self.worn
        rows = [options.row(option) for option in chosen]
        reading = np.concatenate([options.reading[row] for row in rows])
        value = np.concatenate([options.value[row] for row in rows])
        slot = np.repeat(np.arange(len(chosen)), [row.stop - row.start for row in rows])
        order = np.argsort(value, kind="stable")
        reading, value, slot = reading[order], value[order], slot[order]
        best, owner, second = worn.copy(), np.full(len(worn), FREE), worn.copy()
        # Of entries that name a reading twice numpy keeps the last: in rising order, the largest.
        top, top_owner = np.zeros(len(worn)), np.full(len(worn), FREE)
        top[reading], top_owner[reading] = value, slot
        others = top_owner[reading] != slot
        runner_up = np.zeros(len(worn))
        runner_up[reading[others]] = value[others]
        owned = top > worn
        best[owned], owner[owned] = top[owned], top_owner[owned]
        second[owned] = np.maximum(runner_up[owned], worn[owned])
        return Standing(best, owner, second)

    def gains(self, chosen: Codes) -> Floats:
        """``(S, O)`` how much P(right) rises by each swap; `Swaps.gains`."""
        options, slots, count = self.options, len(chosen), len(self.options)
        now = self.standing(chosen)
        owner = now.owner[options.reading]
        gain = np.maximum(options.value - now.best[options.reading], 0.0)
        base = np.bincount(self.owner_row, gain, minlength=count)
        held = np.flatnonzero(owner != FREE)
        freed = np.maximum(options.value[held] - now.second[options.reading[held]], 0.0) - gain[held]
        keys = owner[held] * count + self.owner_row[held]
        extra = np.bincount(keys, freed, minlength=slots * count).reshape(slots, count)
        return np.asarray(base + extra - now.losses(slots)[:, None])
