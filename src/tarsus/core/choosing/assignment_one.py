"""Marks for one new bird among very many possible ones, while the keeper holds it.

Every set of marks is a left side and a right side, so how alike it is to the flock is a product of two
look-ups, summed over the flock by one matrix product; the best of those are weighed by what they really
explain.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import product
from math import sqrt
from typing import Final

import numpy as np

from tarsus.core.choosing.assignment_layout import TooFewMarks
from tarsus.core.choosing.assignment_mates import used_bands
from tarsus.core.choosing.assignment_problem import Codes, Floats
from tarsus.core.choosing.clarity import SURENESS
from tarsus.core.choosing.reading_rows import chances_at, reading_rows
from tarsus.core.choosing.reading_tables import SideTables, side_tables
from tarsus.core.errors import NotEnoughMarks
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.candidates import allowed_colours, site_choices
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.rules import Colours, MarkRule
from tarsus.core.readings.misreading import Misreading

MOST_BANDS: Final = 3
"""Colour bands of one site that are laid out."""

WEIGHED: Final = 40
"""Sets of marks, least alike to the flock, that are weighed by what they explain."""

NEAREST: Final = 8
"""Birds of the flock against which each is weighed: the most alike ones."""

CUT: Final = 1e-6
"""Chance below which a reading does not count in the weighing."""


MOST_SIDES: Final = 2500
"""Ways to mark one side that are laid out against each other."""


def sides_listable(rule: MarkRule, row: str, colours: Sequence[str]) -> bool:
    """Whether a rule's sides are few enough to be laid out all."""
    free = len(allowed_colours(rule, colours))
    for counts in rule.layouts(row):
        for side in ("left", "right"):
            bands = [count for site, count in counts if site.startswith(side)]
            if max(bands, default=0) > MOST_BANDS or free ** sum(bands) > MOST_SIDES:
                return False
    return True


def marks_for_one(
    fixed: Sequence[Bird],
    rule: MarkRule,
    row: str,
    colours: Sequence[str],
    misreading: Misreading,
    stock: Mapping[str, int] | None = None,
    sureness: float = SURENESS,
    resting: Collection[Marks] = (),
) -> Marks:
    """Choose marks for one bird next to a flock whose marks stay.

    Args:
        fixed: the flock.
        rule: where metal and colours go.
        row: the rule's row for this bird.
        colours: colours to be had.
        misreading: the observer.
        stock: bands to be had, or `None` for no limit.
        sureness: the chance from which a reading is named.
        resting: marks that nobody wears and that are given to nobody yet.

    Raises:
        NotEnoughMarks: no marks are left.

    Source:
        docs/science/assignment.md.
    """
    best: tuple[float, Marks] | None = None
    for counts in rule.layouts(row):
        found = _of_layout(fixed, rule, row, counts, colours, misreading, stock or {}, sureness, resting)
        if found is not None and (best is None or found[0] > best[0]):
            best = found
    if best is None:
        raise TooFewMarks(0, 1)
    return best[1]


def _of_layout(
    fixed: Sequence[Bird],
    rule: MarkRule,
    row: str,
    counts: Colours,
    colours: Sequence[str],
    misreading: Misreading,
    stock: Mapping[str, int],
    sureness: float,
    resting: Collection[Marks],
) -> tuple[float, Marks] | None:
    choices = site_choices(rule, row, counts, colours)
    lefts, rights = (_sides(choices, side) for side in ("left", "right"))
    tables = side_tables(misreading, [*lefts, *rights, *(bird.marks for bird in fixed)])
    if tables is None:
        raise NotEnoughMarks(
            "the bands on a leg can be read in too many ways; give the rule fewer", available=0
        )
    at = len(lefts), len(lefts) + len(rights)
    left, right = tables.left[: at[0]], tables.right[at[0] : at[1]]
    worn = tables.left[at[1] :], tables.right[at[1] :]
    share = np.array([bird.prior for bird in fixed])
    likeness = tables.alikeness
    blame = _blame(tables.swap, likeness, left, right, worn, share)
    blame[_impossible(lefts, rights, [bird.marks for bird in fixed], stock)] = np.inf
    for one, other in _places(resting, lefts, rights):
        blame[one, other] = np.inf
    flat = blame.ravel()
    few = np.argpartition(flat, min(WEIGHED, len(flat) - 1))[:WEIGHED]
    few = few[np.isfinite(flat[few])]
    few = few[np.lexsort((few, flat[few]))]
    if not len(few):
        return None
    at_left, at_right = np.divmod(few, len(rights))
    gains = _gains(tables, likeness, (left[at_left], right[at_right]), worn, share, sureness)
    # Relative to a prior of 1 for the new bird, so layouts can be compared.
    top = int(np.argmax(gains))
    marks = Marks.of(dict(lefts[at_left[top]].sites) | dict(rights[at_right[top]].sites))
    return float(gains[top]), marks


def _places(
    marks: Collection[Marks], lefts: Sequence[Marks], rights: Sequence[Marks]
) -> Iterator[tuple[int, int]]:
    """Where marks stand among what the two sides may wear; those that the layout has not are left out."""
    at_left = {side: n for n, side in enumerate(lefts)}
    at_right = {side: n for n, side in enumerate(rights)}
    for one in marks:
        left, right = (
            Marks.of({site: bands for site, bands in one.sites if site.startswith(side)})
            for side in ("left", "right")
        )
        if left in at_left and right in at_right:
            yield at_left[left], at_right[right]


def _sides(choices: Mapping[str, list[tuple[str, ...]]], side: str) -> list[Marks]:
    """All that one side may wear."""
    sites = [site for site in choices if site.startswith(side)]
    return [
        Marks.of(dict(zip(sites, stacks, strict=True))) for stacks in product(*(choices[s] for s in sites))
    ]


def _blame(
    swap: float, likeness: Floats, left: Codes, right: Codes, worn: tuple[Codes, Codes], share: Floats
) -> Floats:
    """``(L, R)`` how alike each left and right is to the flock, summed over it."""
    weight = np.sqrt(share)
    straight = (likeness[np.ix_(left, worn[0])] * weight) @ likeness[np.ix_(right, worn[1])].T
    if swap == 0:
        return np.asarray(straight)
    crossed = (likeness[np.ix_(left, worn[1])] * weight) @ likeness[np.ix_(right, worn[0])].T
    return np.asarray(straight + 2 * sqrt(swap * (1 - swap)) * crossed)


def _impossible(
    lefts: Sequence[Marks], rights: Sequence[Marks], worn: Sequence[Marks], stock: Mapping[str, int]
) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
    """``(L, R)``: what a bird of the flock wears, or what the stock does not give."""
    at_left = {marks.sites: k for k, marks in enumerate(lefts)}
    at_right = {marks.sites: k for k, marks in enumerate(rights)}
    barred = np.zeros((len(lefts), len(rights)), dtype=bool)
    for marks in worn:
        sides = [tuple(s for s in marks.sites if s[0].startswith(side)) for side in ("left", "right")]
        if sides[0] in at_left and sides[1] in at_right:
            barred[at_left[sides[0]], at_right[sides[1]]] = True
    for band, count in stock.items():
        used = [np.array([used_bands([marks]).get(band, 0) for marks in side]) for side in (lefts, rights)]
        barred |= used[0][:, None] + used[1][None, :] > count
    return barred


def _gains(
    tables: SideTables,
    likeness: Floats,
    sides: tuple[Codes, Codes],
    worn: tuple[Codes, Codes],
    share: Floats,
    sureness: float,
) -> Floats:
    """How much each of some marks adds to what the flock is worth, next to the birds most alike to it."""
    left, right = sides
    rows = reading_rows(tables, left, right, CUT)
    closeness = likeness[np.ix_(left, worn[0])] * likeness[np.ix_(right, worn[1])]
    closeness += sqrt(tables.swap) * likeness[np.ix_(left, worn[1])] * likeness[np.ix_(right, worn[0])]
    nearest = np.argsort(-closeness * np.sqrt(share), axis=1, kind="stable")[:, :NEAREST]
    served, total = np.zeros(len(rows.reading)), np.zeros(len(rows.reading))
    for bird in nearest.T:
        bird = bird[rows.owner]
        chance = chances_at(tables, worn[0][bird], worn[1][bird], rows.reading)
        served = np.maximum(served, share[bird] * chance)
        total += share[bird] * chance
    before = np.maximum(served - sureness * total, 0.0)
    after = np.maximum(np.maximum(served, rows.chance) - sureness * (total + rows.chance), 0.0)
    return np.add.reduceat(after - before, rows.start[:-1])
