"""Choose marks for new birds so that the whole flock is mistaken as seldom as can be."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarsus.core.choosing.assignment_bound import most_right
from tarsus.core.choosing.assignment_layout import MOST_OPTIONS, TooFewMarks, laid_out
from tarsus.core.choosing.assignment_one import marks_for_one, sides_listable
from tarsus.core.choosing.assignment_problem import Codes, Problem
from tarsus.core.choosing.assignment_search import Search
from tarsus.core.choosing.assignment_slots import Slot, Wanted, slots_of, used_bands
from tarsus.core.choosing.assignment_stock import most_marked
from tarsus.core.choosing.clarity import Clarity, flock_clarity
from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.candidates import number_possible
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading

Stock = Mapping[str, int]

SEED: Final = 1


@dataclass(frozen=True)
class Assignment:
    """Marks for every wanted bird, and how clear the flock is with them.

    `birds` are the worn ones and then the wanted ones, as `clarity` numbers them. `lower_bound` is a floor
    that no choice of marks can go below (0 where none was found), `proven` that this choice reaches it.
    `settled`: the search came to its own end rather than the clock's.
    """

    marks: Mapping[str, Marks]
    birds: tuple[Bird, ...]
    clarity: Clarity
    lower_bound: float
    proven: bool
    settled: bool
    left_in_stock: Stock


def always() -> bool:
    """Time never runs out."""
    return True


def assigned(
    worn: Sequence[Bird],
    wanted: Sequence[Wanted],
    rule: MarkRule,
    colours: Sequence[str],
    misreading: Misreading,
    *,
    stock: Stock | None = None,
    seed: int = SEED,
    beyond_doubt: float = 0.0,
    time_left: Callable[[], bool] = always,
) -> Assignment:
    """Choose marks for birds, the worn marks of the others fixed.

    Args:
        worn: birds whose marks stay as they are.
        wanted: birds to be marked.
        rule: where metal and colours go, and which colours never.
        colours: names of the palette.
        misreading: the observer by whom the flock is judged.
        stock: bands to be had; a colour that is not listed is not held, metal is counted where it is listed.
            `None`: no limit.
        seed: the same seed gives the same answer, as long as the search is `settled`.
        beyond_doubt: how many times more a wrong name costs that nobody doubts, since the bird is read
            exactly as another one; 0 counts every wrong name alike.
        time_left: asked now and then; `False` ends the search with the best so far.

    Returns:
        The marks, and how often the flock is then misnamed.

    Raises:
        NotEnoughMarks: fewer marks, or bands, than birds; `available` is how many birds can be marked.
        WrongValue: a mate that nobody is, or a flock without any prior weight.

    Assumes:
        Every bird of the flock is read as often as its prior says, whole, by one such observer.

    Source:
        docs/science/assignment.md.
    """
    held = [colour for colour in colours if stock is None or stock.get(colour, 0) > 0]
    left = None if stock is None else dict(stock)
    whole = sum(bird.prior for bird in worn) + sum(bird.prior for bird in wanted)
    if not whole > 0:
        raise WrongValue("wanted", "no bird has any weight; give at least one a prior over 0")
    chosen: dict[str, Marks] = {}
    floors: dict[str, float] = {}
    settled = True
    rng = np.random.default_rng(seed)
    for group in dict.fromkeys(bird.lookalike for bird in wanted):
        fixed = [bird for bird in worn if bird.lookalike == group]
        new = [bird for bird in wanted if bird.lookalike == group]
        found = _marked(new, fixed, rule, held, misreading, left, whole, rng, beyond_doubt, time_left)
        chosen.update(found.marks)
        share = (sum(bird.prior for bird in fixed) + sum(bird.prior for bird in new)) / whole
        floors[group] = share - found.most_right
        settled = settled and found.settled
        for band, count in used_bands(list(found.marks.values())).items():
            if left is not None and band in left:
                left[band] -= count
    marked = [Bird(b.id, chosen[b.id], b.sex, b.prior, b.lookalike) for b in wanted]
    birds = (*worn, *marked)
    clarity = flock_clarity(birds, misreading)
    floor = _floor(birds, clarity, floors)
    proven = clarity.misnamed - floor <= max(1e-9, 1e-6 * clarity.misnamed)
    return Assignment(chosen, birds, clarity, floor, proven, settled, left or {})


@dataclass(frozen=True)
class _Marked:
    """Marks for one look-alike group; `most_right` bounds its part of P(right) from above."""

    marks: Mapping[str, Marks]
    most_right: float
    settled: bool


def _marked(
    new: Sequence[Wanted],
    fixed: Sequence[Bird],
    rule: MarkRule,
    held: Sequence[str],
    misreading: Misreading,
    stock: Stock | None,
    whole: float,
    rng: np.random.Generator,
    beyond_doubt: float,
    time_left: Callable[[], bool],
) -> _Marked:
    if len(new) == 1 and new[0].mate is None:
        row = rule.row_of(new[0].sex, new[0].juvenile)
        if number_possible(rule, row, held) > MOST_OPTIONS and sides_listable(rule, row, held):
            marks = marks_for_one(fixed, rule, row, held, misreading, stock)
            return _Marked({new[0].id: marks}, np.inf, True)
    slots = slots_of(new, fixed, rule, held, rng)
    layout = laid_out(slots, fixed, misreading, stock, whole, rng, beyond_doubt)
    search = Search(layout.problem, rng, time_left)
    best = search.best(_start(layout.problem, slots, search))
    most = np.inf
    if layout.complete:
        second = search.swaps.standing(best).second
        most = most_right(layout.problem, best, second) + layout.left_out
    chosen = {
        bird.id: worn
        for slot, option in zip(slots, best, strict=True)
        for bird, worn in zip(slot.birds, layout.taken[option], strict=True)
    }
    return _Marked(chosen, most, search.settled)


def _start(problem: Problem, slots: Sequence[Slot], search: Search) -> Codes:
    """A full choice: the greedy one, or where the stock leads greed nowhere one by an integer programme."""
    greedy = search.greedy()
    if greedy is not None:
        return greedy
    options = problem.options
    wanted = np.bincount(problem.slots, minlength=int(options.kind.max()) + 1)
    found = most_marked(options.kind, options.marks, options.uses, wanted, problem.stock)
    if len(found) < len(slots):
        raise TooFewMarks(_birds_marked(found, problem, slots), sum(len(slot.birds) for slot in slots))
    start = np.empty(len(slots), dtype=np.intp)
    for kind in range(len(wanted)):
        start[problem.slots == kind] = found[options.kind[found] == kind]
    return start


def _birds_marked(found: Codes, problem: Problem, slots: Sequence[Slot]) -> int:
    sizes = {int(kind): len(slot.birds) for kind, slot in zip(problem.slots, slots, strict=True)}
    return sum(sizes[int(kind)] for kind in problem.options.kind[found])


def _floor(birds: Sequence[Bird], clarity: Clarity, floors: Mapping[str, float]) -> float:
    """The floor of the whole flock: of the groups that were marked, and how often the others are misnamed."""
    whole = sum(bird.prior for bird in birds)
    rest = sum(
        bird.prior / whole * wrong
        for bird, wrong in zip(birds, clarity.per_bird, strict=True)
        if bird.lookalike not in floors
    )
    floor = sum(max(0.0, part) for part in floors.values()) + float(rest)
    return min(max(0.0, floor), clarity.misnamed)
