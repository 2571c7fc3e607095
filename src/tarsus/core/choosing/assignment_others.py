"""The next best marks for one bird, to choose among at the desk."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

import numpy as np

from tarsus.core.choosing.assignment import SEED
from tarsus.core.choosing.assignment_layout import laid_out
from tarsus.core.choosing.assignment_slots import Wanted, slots_of
from tarsus.core.choosing.assignment_standing import Standing
from tarsus.core.choosing.clarity import SURENESS
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
    sureness: float = SURENESS,
    resting: Collection[Marks] = (),
) -> list[tuple[Marks, float, float]]:
    """List the clearest marks for one bird next to a look-alike group whose marks stay.

    Args:
        fixed: the others of its look-alike group.
        bird: who is to be marked.
        rule: where metal and colours go.
        colours: colours to be had.
        misreading: the observer.
        stock: bands to be had, or `None` for no limit.
        most: how many to list.
        sureness: the chance from which a reading is named.
        resting: marks that nobody wears and that are given to nobody yet.

    Returns:
        Marks, and the chances that a reading of the group is then named wrongly and left in doubt, those that
        cost least first; empty where the rule and the stock leave none.

    Source:
        docs/science/assignment.md, eq. 4, for each of them.
    """
    whole = bird.prior + sum(one.prior for one in fixed)
    rng = np.random.default_rng(SEED)
    try:
        slots = slots_of([bird], fixed, rule, colours, rng, stock)
        layout = laid_out(slots, fixed, misreading, stock, whole, rng, sureness, resting)
    except NotEnoughMarks:
        return []
    problem, every = layout.problem, np.arange(len(layout.problem.options))
    standing = Standing(problem, every[:1])
    standing.take_out(0)
    some = every[standing.fits(every)]
    worth = standing.worth_of(some, 0)
    order = some[np.argsort(-worth, kind="stable")[:most]]
    return [(layout.taken[at][0], *problem.outcome(np.array([at]))) for at in order.tolist()]
