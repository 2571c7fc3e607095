"""Choose marks for new birds so that the whole flock's readings cost as little as can be.

Decision 0012.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarsus.core.choosing.assignment_bound import Floors, floors_of
from tarsus.core.choosing.assignment_layout import MOST_OPTIONS, TooFewMarks, laid_out
from tarsus.core.choosing.assignment_mates import used_bands
from tarsus.core.choosing.assignment_one import marks_for_one, sides_listable
from tarsus.core.choosing.assignment_problem import Codes, Problem
from tarsus.core.choosing.assignment_search import Search
from tarsus.core.choosing.assignment_slots import Slot, Wanted, slots_of
from tarsus.core.choosing.assignment_stock import most_marked
from tarsus.core.choosing.clarity import SURENESS, Clarity, flock_clarity
from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.candidates import number_possible
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading

Stock = Mapping[str, int]

SEED: Final = 1

SECONDS: Final = 10.0
"""Work that a choice of marks is worth, in seconds of one core."""


@dataclass(frozen=True)
class Assignment:
    """Marks for every wanted bird, and how clear the flock is with them.

    `birds` are the worn ones and then the wanted ones, as `clarity` numbers them. `lower_bound` is a floor
    below which no choice of marks brings the wrong best guesses, `loss_bound` one for the cost of a reading
    (0 where none was found); `proven`: this choice costs no more than that. `settled`: the second half of
    the search brought nothing better.
    """

    marks: Mapping[str, Marks]
    birds: tuple[Bird, ...]
    clarity: Clarity
    lower_bound: float
    loss_bound: float
    proven: bool
    settled: bool
    left_in_stock: Stock


def assigned(
    worn: Sequence[Bird],
    wanted: Sequence[Wanted],
    rule: MarkRule,
    colours: Sequence[str],
    misreading: Misreading,
    *,
    stock: Stock | None = None,
    seed: int = SEED,
    sureness: float = SURENESS,
    seconds: float = SECONDS,
    resting: Collection[Marks] = (),
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
        seed: another seed begins elsewhere.
        sureness: the chance from which a reading is named; one that is left in doubt costs 1 - `sureness` of
            a wrong name. 0 names every reading, and counts every wrong name alike.
        seconds: work to spend, in seconds of one core; it is counted, not timed, so that the same question
            has the same answer on any machine and however busy.
        resting: marks that nobody wears and that are given to nobody yet, as a dead bird's.

    Returns:
        The marks, and how often the flock's readings are then named wrongly or left in doubt.

    Raises:
        NotEnoughMarks: fewer marks, or bands, than birds; `available` is how many birds can be marked.
            MateWithoutMarks: a mate cannot have the marks of its mate.
        WrongValue: a mate that nobody is, or a flock without any prior weight.

    Assumes:
        Every bird of the flock is read as often as its prior says, whole, by one such observer.

    Source:
        The reject rule: Chow 1970, IEEE Trans. Inf. Theory 16:41-46 (from memory);
        docs/science/assignment.md, eq. 4.
    """
    held = [colour for colour in colours if stock is None or stock.get(colour, 0) > 0]
    left = None if stock is None else dict(stock)
    whole = sum(bird.prior for bird in worn) + sum(bird.prior for bird in wanted)
    if not whole > 0:
        raise WrongValue("wanted", "no bird has any weight; give at least one a prior over 0")
    chosen: dict[str, Marks] = {}
    floors: dict[str, Floors] = {}
    settled = True
    rng = np.random.default_rng(seed)
    for group in dict.fromkeys(bird.lookalike for bird in wanted):
        fixed = [bird for bird in worn if bird.lookalike == group]
        new = [bird for bird in wanted if bird.lookalike == group]
        part = seconds * len(new) / len(wanted)
        found = _marked(new, fixed, rule, held, misreading, left, whole, rng, sureness, part, resting)
        chosen.update(found.marks)
        floors[group] = found.floors
        settled = settled and found.settled
        for band, count in used_bands(list(found.marks.values())).items():
            if left is not None and band in left:
                left[band] -= count
    marked = [Bird(b.id, chosen[b.id], b.sex, b.prior, b.lookalike) for b in wanted]
    birds = (*worn, *marked)
    clarity = flock_clarity(birds, misreading, sureness=sureness)
    floor, least = _floors(birds, clarity, floors, misreading, sureness)
    proven = clarity.loss - least <= max(1e-9, 1e-6 * clarity.loss)
    return Assignment(chosen, birds, clarity, floor, least, proven, settled, left or {})


@dataclass(frozen=True)
class _Marked:
    """Marks for one look-alike group, and the floors of its part."""

    marks: Mapping[str, Marks]
    floors: Floors
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
    sureness: float,
    seconds: float,
    resting: Collection[Marks],
) -> _Marked:
    if len(new) == 1 and new[0].mate is None:
        row = rule.row_of(new[0].sex, new[0].juvenile)
        if number_possible(rule, row, held) > MOST_OPTIONS and sides_listable(rule, row, held):
            marks = marks_for_one(fixed, rule, row, held, misreading, stock, sureness, resting)
            return _Marked({new[0].id: marks}, Floors(np.inf, 0.0), True)
    slots = slots_of(new, fixed, rule, held, rng, stock)
    layout = laid_out(slots, fixed, misreading, stock, whole, rng, sureness, resting)
    search = Search(layout.problem, rng, seconds)
    best = search.best(_start(layout.problem, slots, search))
    floors = Floors(np.inf, 0.0)
    if layout.complete:
        found = floors_of(layout.problem, best)
        floors = Floors(found.most_right + layout.left_out, found.least_loss - layout.left_out)
    chosen = {
        bird.id: worn
        for slot, option in zip(slots, best, strict=True)
        for bird, worn in zip(slot.birds, layout.taken[option], strict=True)
    }
    return _Marked(chosen, floors, search.settled)


def _start(problem: Problem, slots: Sequence[Slot], search: Search) -> Codes:
    """A full choice: the greedy one, or where the stock leads greed nowhere one by an integer programme."""
    greedy = search.greedy()
    if greedy is not None:
        return greedy
    options = problem.options
    wanted = np.bincount(problem.slots, minlength=int(options.kind.max()) + 1)
    found = most_marked(options.kind, options.marks, options.uses, wanted, problem.stock)
    if len(found) < len(slots):
        raise TooFewMarks(
            _birds_marked(found, problem, slots),
            sum(len(slot.birds) for slot in slots),
            _mates_without(found, problem, slots),
        )
    start = np.empty(len(slots), dtype=np.intp)
    for kind in range(len(wanted)):
        start[problem.slots == kind] = found[options.kind[found] == kind]
    return start


def _birds_marked(found: Codes, problem: Problem, slots: Sequence[Slot]) -> int:
    sizes = {int(kind): len(slot.birds) for kind, slot in zip(problem.slots, slots, strict=True)}
    return sum(sizes[int(kind)] for kind in problem.options.kind[found])


def _mates_without(found: Codes, problem: Problem, slots: Sequence[Slot]) -> list[str]:
    """Birds that take the marks of a worn mate, and for which the stock does not reach."""
    marked = set(problem.options.kind[found].tolist())
    return [
        f"{bird.id}, who wears what its mate {bird.mate} wears"
        for kind, slot in zip(problem.slots, slots, strict=True)
        for bird in slot.birds
        if slot.kind[0] == "mate" and int(kind) not in marked
    ]


def _floors(
    birds: Sequence[Bird],
    clarity: Clarity,
    floors: Mapping[str, Floors],
    misreading: Misreading,
    sureness: float,
) -> tuple[float, float]:
    """Floors of the whole flock: of the groups that were marked, and what the others come to as they are."""
    whole = sum(bird.prior for bird in birds)
    wrong = loss = 0.0
    for group in dict.fromkeys(bird.lookalike for bird in birds):
        some = [bird for bird in birds if bird.lookalike == group]
        share = sum(bird.prior for bird in some) / whole
        if group in floors:
            wrong += max(0.0, share - floors[group].most_right)
            loss += max(0.0, floors[group].least_loss)
        elif share > 0:
            as_is = flock_clarity(some, misreading, sureness=sureness)
            wrong += share * as_is.misnamed
            loss += share * as_is.loss
    return min(wrong, clarity.misnamed), min(loss, clarity.loss)
