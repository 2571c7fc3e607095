"""Fill the slots so that the flock is named rightly as often as can be: greedy, swaps, kicks.

P(right) is monotone and submodular in the chosen set, so the greedy start is within 1 - 1/e of the best; the
best of all swaps, again and again, then mends what greed spoiled, and kicks lead out of what swaps cannot
mend.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.assignment_problem import FREE, Codes, Floats, Problem
from tarsus.core.choosing.assignment_swaps import swaps_of

Flags = NDArray[np.bool_]

SMALLEST_GAIN: Final = 1e-12

BATCH: Final = 48
"""Options whose gains are brought up to date at a time in the lazy greedy start."""

WORK: Final = 400_000_000
"""Entries that all passes together look at, so that the answer does not hang on the clock."""

STARTS: Final = 4

PATIENCE: Final = 40
"""Kicks without a better choice, and one more for each slot, after which a start is given up."""


class Search:
    """One problem, and the state of one search for it."""

    def __init__(self, problem: Problem, rng: np.random.Generator, time_left: Callable[[], bool]) -> None:
        self.problem, self.options = problem, problem.options
        self.rng, self.time_left = rng, time_left
        self.swaps = swaps_of(problem)
        self.work = WORK
        self.settled = True

    def best(self, start: Codes) -> Codes:
        """The best choice found from one start, and from starts at random.

        Args:
            start: a full choice that keeps the stock; `greedy` gives one.

        Returns:
            ``(S,)`` the option of each slot.
        """
        best = self._kicked_on(start)
        for _ in range(STARTS - 1):
            fresh = self._kicked(best, len(best)) if self._may_go_on() else None
            if fresh is None:
                break
            other = self._kicked_on(fresh)
            if self.problem.value(other) > self.problem.value(best) + SMALLEST_GAIN:
                best = other
        return best

    def _kicked_on(self, start: Codes) -> Codes:
        """The best choice of one start: swaps, then kicks and swaps as long as they lead on."""
        best = self.improved(start)
        value = self.problem.value(best)
        kicks = idle = 0
        while idle < PATIENCE + len(best) and self._may_go_on():
            kicks, idle = kicks + 1, idle + 1
            kicked = self._kicked(best, 2 + kicks % 3)
            if kicked is None:
                break
            trial = self.improved(kicked)
            found = self.problem.value(trial)
            if found > value + SMALLEST_GAIN:
                idle = 0
            if found >= value - SMALLEST_GAIN:
                best, value = trial, max(value, found)
        return best

    def greedy(self) -> Codes | None:
        """A full choice, each time what explains most more; `None` where the stock leads nowhere."""
        options, problem = self.options, self.problem
        best = problem.worn.copy()
        chosen = np.full(len(problem.slots), FREE)
        room = np.bincount(problem.slots, minlength=int(options.kind.max(initial=0)) + 1)
        stock = problem.stock.copy()
        bound = self.gains(np.arange(len(options)), best)
        while room.any():
            open_ = (room[options.kind] > 0) & ~self._clashing(chosen) & (options.uses <= stock).all(axis=1)
            at = self._lazily(np.flatnonzero(open_), bound, best)
            if at is None:
                return None
            kind = options.kind[at]
            chosen[np.flatnonzero((problem.slots == kind) & (chosen == FREE))[0]] = at
            room[kind] -= 1
            stock = stock - options.uses[at]
            row = options.row(at)
            best[options.reading[row]] = np.maximum(best[options.reading[row]], options.value[row])
        return chosen

    def _lazily(self, open_: Codes, bound: Floats, best: Floats) -> int | None:
        """The open option of the largest gain; gains only fall, so an old gain is a bound."""
        if not len(open_):
            return None
        order = open_[np.argsort(-bound[open_], kind="stable")]
        leading, most = -1, -1.0
        for first in range(0, len(order), BATCH):
            some = order[first : first + BATCH]
            bound[some] = self.gains(some, best)
            at = some[np.argmax(bound[some])]
            if bound[at] > most:
                leading, most = int(at), float(bound[at])
            if first + BATCH >= len(order) or bound[order[first + BATCH]] <= most:
                break
        return leading

    def gains(self, some: Codes, best: Floats) -> Floats:
        """How much more each option explains than what stands."""
        options = self.options
        lengths = options.start[some + 1] - options.start[some]
        entries = np.repeat(options.start[some] - np.cumsum(lengths) + lengths, lengths) + np.arange(
            lengths.sum()
        )
        gain = np.maximum(options.value[entries] - best[options.reading[entries]], 0.0)
        owner = np.repeat(np.arange(len(some)), lengths)
        return np.bincount(owner, gain, minlength=len(some)).astype(float)

    def improved(self, chosen: Codes) -> Codes:
        """The choice after the best swap, again and again, until none helps."""
        chosen = chosen.copy()
        while self.time_left():
            swap = self._best_swap(chosen)
            if swap is None:
                return chosen
            slot, option = swap
            chosen[slot] = option
        self.settled = False
        return chosen

    def _best_swap(self, chosen: Codes) -> tuple[int, int] | None:
        gains = self._swap_gains(chosen)
        gains[~self._allowed(chosen)] = -1.0
        at = int(np.argmax(gains))
        slot, option = divmod(at, len(self.options))
        return (slot, option) if gains[slot, option] > SMALLEST_GAIN else None

    def _swap_gains(self, chosen: Codes) -> Floats:
        """``(S, O)`` how much what is sought rises when a slot takes another option instead of its own."""
        self.work -= self.swaps.cost
        return self.swaps.gains(chosen) - self._mistaken_more(chosen)

    def _mistaken_more(self, chosen: Codes) -> Floats:
        """``(S, O)`` how much more the names wrong beyond doubt cost after each swap."""
        mistaken, worn = self.problem.mistaken, self.problem.mistaken_worn
        if mistaken is None or worn is None:
            return np.zeros((len(chosen), len(self.options)))
        by_slot = mistaken[chosen]
        every = by_slot.sum(axis=0)
        own = every[chosen] - mistaken[chosen, chosen] + worn[chosen]
        return np.asarray((every + worn)[None, :] - by_slot - own[:, None])

    def _allowed(self, chosen: Codes) -> Flags:
        """``(S, O)``: right class, marks nobody else takes, bands in stock."""
        options, problem = self.options, self.problem
        allowed = problem.slots[:, None] == options.kind[None, :]
        allowed &= self._distinct(chosen)
        slack = problem.stock - options.uses[chosen].sum(axis=0)
        for limited in range(len(slack)):
            more = options.uses[:, limited][None, :] - options.uses[chosen, limited][:, None]
            allowed &= more <= slack[limited]
        allowed[np.arange(len(chosen)), chosen] = False
        return np.asarray(allowed)

    def _clashing(self, chosen: Codes) -> Flags:
        """``(O,)``: options whose marks a chosen one takes."""
        taken = self.options.marks[chosen[chosen != FREE]]
        return np.asarray(np.isin(self.options.marks, taken[taken != FREE]).any(axis=1))

    def _distinct(self, chosen: Codes) -> Flags:
        """``(S, O)``: options whose marks no other slot takes; those of the slot itself go away."""
        marks = self.options.marks
        count = np.zeros(int(marks.max(initial=0)) + 1, dtype=np.intp)
        taken = marks[chosen]
        np.add.at(count, taken[taken != FREE], 1)
        clashes = np.where(marks != FREE, count[marks], 0).sum(axis=1)
        own = (marks[None, :, :, None] == taken[:, None, None, :]) & (marks != FREE)[None, :, :, None]
        return np.asarray(clashes[None, :] == own.sum(axis=(2, 3)))

    def _kicked(self, chosen: Codes, many: int) -> Codes | None:
        """The choice with some slots, drawn at random, filled at random; `None` where nothing can move."""
        kicked, moved = chosen.copy(), False
        for slot in self.rng.permutation(len(chosen))[:many]:
            free = np.flatnonzero(self._allowed(kicked)[slot])
            if len(free):
                kicked[slot] = self.rng.choice(free)
                moved = True
        return kicked if moved else None

    def _may_go_on(self) -> bool:
        if not self.time_left():
            self.settled = False
            return False
        return self.work > 0
