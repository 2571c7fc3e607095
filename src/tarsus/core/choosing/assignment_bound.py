"""A floor below which no choice of marks can bring the chance of a wrong name."""

from __future__ import annotations

from typing import Final

import numpy as np

from tarsus.core.choosing.assignment_problem import Codes, Floats, Problem

WORK: Final = 15_000_000
"""Entries that all steps together look at."""

MOST_STEPS: Final = 400


def most_right(problem: Problem, chosen: Codes, second: Floats) -> float:
    """Bound P(right) from above, over all full choices of a problem.

    Args:
        problem: the options; stock and equal marks are not looked at, which only raises the bound.
        chosen: a good choice, whose value guides the steps.
        second: ``(K,)`` the second best value of each reading under that choice; where the prices start.

    Returns:
        A number that no choice exceeds, up to what the rows leave out.

    Source:
        Lagrangian relaxation of *each reading is served once* (Cornuejols, Fisher & Nemhauser 1977,
        Management Science 23:789-810); docs/science/assignment.md, eq. 6.
    """
    options, worn = problem.options, problem.worn
    gain = np.maximum(options.value - worn[options.reading], 0.0)
    owner = np.repeat(np.arange(len(options)), np.diff(options.start))
    some = gain > 0
    gain, owner, reading = gain[some], owner[some], options.reading[some]
    base, target = float(worn.sum()), problem.right(chosen)
    price = np.maximum(second - worn, 0.0)
    best, pace = np.inf, 1.0
    steps = int(np.clip(WORK // max(len(gain), 1), 30, MOST_STEPS))
    wanted = np.bincount(problem.slots, minlength=int(options.kind.max(initial=0)) + 1)
    for step in range(steps):
        over = gain - price[reading]
        profit = np.bincount(owner, np.maximum(over, 0.0), minlength=len(options))
        picked = np.zeros(len(options), dtype=bool)
        for kind, count in enumerate(wanted):
            at = np.flatnonzero(options.kind == kind)
            picked[at[np.argsort(-profit[at], kind="stable")[:count]]] = True
        bound = base + price.sum() + profit[picked].sum()
        if bound < best - 1e-12:
            best = bound
        elif step % 12 == 11:
            pace /= 2
        served = np.bincount(reading, picked[owner] & (over > 0), minlength=len(worn))
        slope = 1.0 - served
        slope[(price <= 0) & (slope > 0)] = 0.0
        square = slope @ slope
        if square == 0 or bound - target <= 1e-12:
            break
        price = np.maximum(price - pace * (bound - target) / square * slope, 0.0)
    return float(best)
