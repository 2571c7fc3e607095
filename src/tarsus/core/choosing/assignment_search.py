"""Fill the slots so that readings cost as little as can be: a greedy start, then slow cooling.

A bird at a time is taken out, every option for it is weighed against the others, and one is drawn, the
likelier the more it is worth against the temperature (a heat bath); as the temperature falls, the choice
settles. Work is counted in entries looked at, not in seconds: the same question has the same answer on a
busy machine as on a fast one.

Decision 0028.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.assignment_problem import FREE, Codes, Floats, Problem
from tarsus.core.choosing.assignment_standing import Standing

Flags = NDArray[np.bool_]

ENTRIES_A_SECOND: Final = 300_000_000
"""Entries that one core looks at in a second; what turns `seconds` into work."""

STARTS: Final = 8
"""Coolings at most, each from the greedy start."""

LEAST_SWEEPS: Final = 150
"""Visits of every slot that a cooling needs to be worth more than none."""

WARMEST: Final = 0.5
"""First temperature, in costs of a bird under the greedy start."""

COOLING: Final = 30.0
"""How many times the first temperature is the last."""

LOOKED_AT: Final = 256
"""Options that one visit weighs; of more, so many are drawn."""

LAST_VISITS: Final = 4
"""Visits of every slot at most that take only what is better."""

BATCH: Final = 48
"""Options whose gains are brought up to date at a time in the lazy greedy start."""

SMALLEST_GAIN: Final = 1e-13


class Search:
    """One problem, and the state of one search for it.

    `settled`: the second half of the coolings found nothing better than the first.
    """

    def __init__(self, problem: Problem, rng: np.random.Generator, seconds: float) -> None:
        self.problem, self.options, self.rng = problem, problem.options, rng
        self.work = seconds * ENTRIES_A_SECOND
        self.of_kind = [
            np.flatnonzero(self.options.kind == kind)
            for kind in range(int(self.options.kind.max(initial=0)) + 1)
        ]
        self.settled = True

    def best(self, start: Codes) -> Codes:
        """The best choice found by cooling several times.

        Args:
            start: a full choice that keeps the stock; `greedy` gives one.

        Returns:
            ``(S,)`` the option of each slot.

        Source:
            Heat-bath annealing (Geman & Geman 1984, IEEE Trans. PAMI 6:721-741; from memory).
        """
        standing = Standing(self.problem, start)
        many = len(start)
        visit = sum(standing.cost(min(len(self.of_kind[k]), LOOKED_AT), k) for k in self.problem.slots)
        whole_visit = sum(standing.cost(len(self.of_kind[k]), k) for k in self.problem.slots)
        sweeps = int(self.work / max(visit, 1))
        coolings = int(np.clip(sweeps // LEAST_SWEEPS, 1, min(STARTS, many)))
        # A bird alone takes the best there is; of few birds little is left to settle.
        each = min(sweeps // coolings, 30 * many if many > 1 else 0)
        warmest = WARMEST * self.problem.loss(start) / max(many, 1)
        best, most, found_at = start, self.problem.worth(start), 0
        for cooling in range(coolings):
            standing = Standing(self.problem, start)
            for temperature in np.geomspace(1.0, 1.0 / COOLING, each) * warmest:
                self._visited(standing, float(temperature))
            self._settle(
                standing, all_of_them=many == 1 or LAST_VISITS * whole_visit * coolings < self.work / 2
            )
            worth = self.problem.worth(standing.chosen)
            if worth > most + SMALLEST_GAIN:
                best, most, found_at = standing.chosen, worth, cooling
        self.settled = found_at < max(1, (coolings + 1) // 2)
        return best

    def _visited(self, standing: Standing, temperature: float, *, all_of_them: bool = False) -> bool:
        """Visit every slot once, in any order; whether something changed."""
        changed = False
        for slot in self.rng.permutation(len(standing.chosen)):
            kind = int(self.problem.slots[slot])
            own, some = int(standing.chosen[slot]), self.of_kind[kind]
            standing.take_out(slot)
            if len(some) > LOOKED_AT and not all_of_them:
                drawn = self.rng.integers(len(some), size=LOOKED_AT)
                some = np.append(some[drawn], own)
            some = some[standing.fits(some)]
            worth = standing.worth_of(some, kind)
            if temperature > 0:
                worth = worth / temperature + self.rng.gumbel(size=len(some))
                picked = int(some[np.argmax(worth)])
            else:
                mine = worth[np.flatnonzero(some == own)[0]]
                at = int(np.argmax(worth))
                picked = int(some[at]) if worth[at] > mine + SMALLEST_GAIN else own
            standing.put_in(slot, picked)
            changed = changed or picked != own
        return changed

    def _settle(self, standing: Standing, *, all_of_them: bool) -> None:
        """Only what is better, until nothing is."""
        for _ in range(LAST_VISITS):
            if not self._visited(standing, 0.0, all_of_them=all_of_them):
                return

    def greedy(self) -> Codes | None:
        """A full choice, each time what explains most more; `None` where the stock leads nowhere."""
        options, problem = self.options, self.problem
        best = problem.worn.copy()
        chosen = np.full(len(problem.slots), FREE)
        room = np.bincount(problem.slots, minlength=len(self.of_kind))
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
        """How much more of P(right) each option explains than what stands."""
        options = self.options
        lengths = options.start[some + 1] - options.start[some]
        entries = np.repeat(options.start[some] - np.cumsum(lengths) + lengths, lengths) + np.arange(
            lengths.sum()
        )
        gain = np.maximum(options.value[entries] - best[options.reading[entries]], 0.0)
        owner = np.repeat(np.arange(len(some)), lengths)
        return np.bincount(owner, gain, minlength=len(some)).astype(float)

    def _clashing(self, chosen: Codes) -> Flags:
        """``(O,)``: options whose marks a chosen one takes."""
        taken = self.options.marks[chosen[chosen != FREE]]
        return np.asarray(np.isin(self.options.marks, taken[taken != FREE]).any(axis=1))
