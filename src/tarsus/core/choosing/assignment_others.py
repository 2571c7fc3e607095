"""The next best marks for one bird, to choose among at the desk."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from tarsus.core.choosing.assignment import SEED
from tarsus.core.choosing.assignment_layout import laid_out
from tarsus.core.choosing.assignment_search import Search
from tarsus.core.choosing.assignment_slots import Wanted, slots_of
from tarsus.core.errors import NotEnoughMarks
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading


def best_marks(
    fixed: Sequence[Bird],
    bird: Wanted,
    rule: MarkRule,
    colours: Sequence[str],
    misreading: Misreading,
    *,
    stock: Mapping[str, int] | None = None,
    most: int = 6,
) -> list[tuple[Marks, float]]:
    """List the clearest marks for one bird next to a look-alike group whose marks stay.

    Args:
        fixed: the others of its look-alike group.
        bird: who is to be marked.
        rule: where metal and colours go.
        colours: colours to be had.
        misreading: the observer.
        stock: bands to be had, or `None` for no limit.
        most: how many to list.

    Returns:
        Marks and the group's chance of a wrong name with them, the clearest first; empty where the rule and
        the stock leave none.

    Source:
        docs/science/assignment.md, eq. 2, for each of them.
    """
    whole = bird.prior + sum(one.prior for one in fixed)
    rng = np.random.default_rng(SEED)
    slots = slots_of([bird], fixed, rule, colours, rng)
    try:
        layout = laid_out(slots, fixed, misreading, stock, whole, rng)
    except NotEnoughMarks:
        return []
    problem = layout.problem
    search = Search(problem, rng, lambda: True)
    gains = search.gains(np.arange(len(problem.options)), problem.worn)
    gains[(problem.options.uses > problem.stock).any(axis=1)] = -1.0
    order = [int(at) for at in np.argsort(-gains, kind="stable")[:most] if gains[at] >= 0]
    base = float(problem.worn.sum())
    return [(layout.taken[at][0], 1.0 - base - float(gains[at])) for at in order]
