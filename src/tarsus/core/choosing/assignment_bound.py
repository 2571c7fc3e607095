"""Floors below which no choice of marks can bring the wrong names, or the cost of a reading."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from tarsus.core.choosing.assignment_problem import FREE, Codes, Floats, Problem

WORK: Final = 15_000_000
"""Entries that all steps together look at."""

MOST_STEPS: Final = 400

MOST_PAIRED: Final = 1_000
"""Options up to which the pairs that are read as one another are weighed in the floor of the cost."""


@dataclass(frozen=True, slots=True)
class Floors:
    """`most_right` bounds P(right) from above, `least_loss` the cost of a reading from below."""

    most_right: float
    least_loss: float


def floors_of(problem: Problem, chosen: Codes) -> Floors:
    """Bound what any full choice of a problem can reach.

    Args:
        problem: the options; stock and equal marks are not looked at, which only widens the bounds.
        chosen: a good choice, whose value guides the steps.

    Returns:
        Numbers that no choice passes, up to what the rows leave out.

    Source:
        Lagrangian relaxation of *each reading is served once* (Cornuejols, Fisher & Nemhauser 1977,
        Management Science 23:789-810; from memory); docs/science/assignment.md, eq. 6 and 7.
    """
    plain = _Relaxed(problem, chosen, None)
    pairs = _pairs(problem) if len(problem.options) <= MOST_PAIRED else None
    both = _Relaxed(problem, chosen, pairs)
    doubt = 1.0 - problem.sureness
    whole = float(problem.served(chosen)[1].sum())
    most_right = plain.most()
    # Whatever is done, a reading costs at least the doubt's share of what the likeliest bird leaves over.
    least = max(doubt * (whole - most_right), doubt * (whole - both.most()))
    return Floors(most_right, max(0.0, least))


@dataclass(frozen=True, eq=False)
class _Pairs:
    """What options cost as they are read as one another, in doubts: ``x Q x + linear x``."""

    together: Floats
    linear: Floats
    shift: float


def _pairs(problem: Problem) -> _Pairs:
    """The least that two options, or one and a worn bird, cost each other beyond the likeliest bird's rest.

    Every reading has one owner, the option that explains it best. If that is chosen, what the others add to
    the reading is named wrongly, up to the point from which the reading is in doubt.
    """
    options, sure = problem.options, problem.sureness
    value = np.zeros((len(options), len(problem.worn)))
    total = np.zeros_like(value)
    value[options.owner, options.reading] = options.value
    total[options.owner, options.reading] = options.total
    owner, every = value.argmax(axis=0), np.arange(value.shape[1])
    own = value[owner, every]
    others = total.copy()
    others[owner, every] = 0.0
    most = problem.worn_total.copy()
    for kind, count in enumerate(np.bincount(problem.slots)):
        of_kind = np.sort(others[options.kind == kind], axis=0)
        most += of_kind[max(0, len(of_kind) - int(count)) :].sum(axis=0)
    doubt = max(1.0 - sure, 1e-12)
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = np.minimum(sure, np.where(most > 0, doubt * own / most, sure))
    # A worn bird that explains the reading better would be the owner: such readings are left out.
    slope[(own <= problem.worn) | (sure < doubt)] = 0.0
    slope /= doubt
    together, linear = np.zeros((len(options),) * 2), np.zeros(len(options))
    for option in np.unique(owner):
        at = owner == option
        together[option] = others[:, at] @ slope[at]
        linear[option] = problem.worn_total[at] @ slope[at]
    together = (together + together.T) / 2
    return _Pairs(together, linear, max(0.0, -float(np.linalg.eigvalsh(together)[0])))


class _Relaxed:
    """The dual problem: prices of readings, and a point at which the pairs are taken as straight."""

    def __init__(self, problem: Problem, chosen: Codes, pairs: _Pairs | None) -> None:
        self.problem, self.pairs, self.chosen = problem, pairs, chosen
        options = problem.options
        gain, owner = np.maximum(options.value - problem.worn[options.reading], 0.0), options.owner
        some = gain > 0
        self.gain, self.owner, self.reading = gain[some], owner[some], options.reading[some]
        self.wanted = np.bincount(problem.slots, minlength=int(options.kind.max(initial=0)) + 1)

    def most(self) -> float:
        """The least bound found on P(right), what pairs cost taken off in doubts."""
        problem, options, pairs = self.problem, self.problem.options, self.pairs
        price = self._first_prices()
        base, target = float(problem.worn.sum()), problem.right(self.chosen)
        point = np.bincount(self.chosen, minlength=len(options)).astype(float)
        if pairs is not None:
            target -= float(point @ pairs.together @ point + pairs.linear @ point)
        best, pace = np.inf, 1.0
        steps = int(np.clip(WORK // max(len(self.gain), 1), 30, MOST_STEPS))
        for step in range(steps):
            over = self.gain - price[self.reading]
            profit = np.bincount(self.owner, np.maximum(over, 0.0), minlength=len(options))
            constant = base + float(price.sum())
            if pairs is not None:
                bent = pairs.together @ point + pairs.shift * point
                profit = profit - 2 * bent + pairs.shift - pairs.linear
                constant += float(point @ bent)
            picked = self._picked(np.asarray(profit, dtype=float))
            bound = constant + float(profit[picked].sum())
            if bound < best - 1e-12:
                best = bound
            elif step % 12 == 11:
                pace /= 2
            served = np.bincount(self.reading, picked[self.owner] & (over > 0), minlength=len(price))
            slope = 1.0 - served
            slope[(price <= 0) & (slope > 0)] = 0.0
            square = slope @ slope
            if pairs is None and (square == 0 or bound - target <= 1e-12):
                break
            if square > 0:
                price = np.maximum(price - pace * max(bound - target, 0.0) / square * slope, 0.0)
            point += 2.0 / (step + 10.0) * (picked - point)
        return float(best)

    def _picked(self, profit: Floats) -> Codes:
        """Which options pay best, as many of each class as there are slots."""
        picked = np.zeros(len(profit), dtype=bool)
        for kind, count in enumerate(self.wanted):
            at = np.flatnonzero(self.problem.options.kind == kind)
            picked[at[np.argsort(-profit[at], kind="stable")[:count]]] = True
        return picked

    def _first_prices(self) -> Floats:
        """The second best value of each reading under the choice."""
        options, worn = self.problem.options, self.problem.worn
        best, second = worn.copy(), worn.copy()
        for option in self.chosen[self.chosen != FREE]:
            row = options.row(int(option))
            at, value = options.reading[row], options.value[row]
            second[at] = np.maximum(second[at], np.minimum(best[at], value))
            best[at] = np.maximum(best[at], value)
        return second - worn
