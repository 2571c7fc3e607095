"""From birds and the marks they may take to a problem of facility location."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np

from tarsus.core.choosing.assignment_mates import used_bands
from tarsus.core.choosing.assignment_problem import FREE, Codes, Floats, Options, Problem, merged
from tarsus.core.choosing.assignment_slots import Slot
from tarsus.core.choosing.reading_rows import FINEST, ReadingRows, finest_cut, reading_rows
from tarsus.core.choosing.reading_tables import SideTables, side_tables
from tarsus.core.errors import NotEnoughMarks
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.readings.misreading import Misreading

MOST_OPTIONS: Final = 3000
"""Options that are weighed by what they explain; of more, the least alike by the surrogate are kept."""

FINE_ENOUGH: Final = 1e-9
"""Cut of the rows that hides less than the errors that are being minimised."""

MOST_STANDING: Final = 20_000_000
"""Slots times readings that a search holds; beyond, rarer readings are left out."""

Choice = tuple[Marks, ...]


class TooFewMarks(NotEnoughMarks):
    """Fewer marks, or bands, than birds."""

    def __init__(self, available: int, birds: int, without: Sequence[str] = ()) -> None:
        left_out = f" (not for {', '.join(without)})" if without else ""
        super().__init__(
            f"marks can be had for {available} of {birds} birds{left_out}; "
            "allow more colours or sites, or add to the stock",
            available=available,
        )


@dataclass(frozen=True, eq=False)
class Layout:
    """A problem, the marks behind each of its options, and what its rows leave out.

    `complete`: every option that the rule allows is among them, so that a bound holds for all.
    """

    problem: Problem
    taken: tuple[Choice, ...]
    left_out: float
    complete: bool


def laid_out(
    slots: Sequence[Slot],
    fixed: Sequence[Bird],
    misreading: Misreading,
    stock: Mapping[str, int] | None,
    whole: float,
    rng: np.random.Generator,
    sureness: float,
    resting: Collection[Marks] = (),
) -> Layout:
    """Lay a look-alike group out.

    Args:
        slots: birds to be marked, and what they may take.
        fixed: birds of the group whose marks stay.
        misreading: the observer.
        stock: bands to be had, or `None` for no limit.
        whole: prior weight of the whole flock.
        rng: draws options where there are too many to weigh.
        sureness: the chance from which a reading is named.
        resting: marks that nobody wears and that are given to nobody yet.

    Raises:
        NotEnoughMarks: some bird has no marks left to take.
    """
    kinds, taken = _options(slots, {bird.marks for bird in fixed} | set(resting))
    kept = np.arange(len(taken))
    tables = side_tables(misreading, _all_marks(taken, fixed))
    while tables is None and len(kept) > len(slots):
        kept = np.sort(rng.permutation(kept)[: len(kept) // 2])
        tables = side_tables(misreading, _all_marks([taken[k] for k in kept], fixed))
    if tables is None:
        raise NotEnoughMarks(
            "the bands on a leg can be read in too many ways; give the rule fewer", available=0
        )
    kind_of = np.array([kind for kind, _ in taken])
    codes = _Codes(tables, [taken[k][1] for k in kept], len(fixed))
    some = _worth_weighing(codes, kind_of[kept], np.array([kinds[slot.kind] for slot in slots]), rng)
    codes, kept = codes.only(some), kept[some]
    cut = finest_cut(tables, *codes.all()) or 0.0
    choices = tuple(taken[k][1] for k in kept)
    weights = {kinds[slot.kind]: [bird.prior / whole for bird in slot.birds] for slot in slots}
    uses, limits = _limits(choices, len(slots), stock)
    slot_kinds = np.array([kinds[slot.kind] for slot in slots], dtype=np.intp)
    for coarser in [cut, *(other for other in FINEST if other > cut)]:
        rows, worn, left_out = _rows(codes, choices, kind_of[kept], weights, fixed, whole, coarser)
        options = Options(*rows, kind_of[kept], _numbers(choices), uses)
        problem = merged(Problem(options, *worn, slot_kinds, limits, sureness))
        if len(slots) * len(problem.worn) <= MOST_STANDING:
            break
    complete = len(kept) == len(taken) and not any(slot.drawn for slot in slots)
    return Layout(problem, choices, left_out, complete)


def _options(
    slots: Sequence[Slot], worn: set[Marks]
) -> tuple[dict[tuple[object, ...], int], list[tuple[int, Choice]]]:
    """Classes by number, and all options with their class; what is worn, or rests, is no option."""
    kinds: dict[tuple[object, ...], int] = {}
    taken: list[tuple[int, Choice]] = []
    for slot in slots:
        if slot.kind in kinds:
            continue
        kinds[slot.kind] = number = len(kinds)
        free = [choice for choice in slot.options if not worn.intersection(choice)]
        taken += [(number, choice) for choice in free]
    room = Counter(kind for kind, _ in taken)
    wanted = Counter(kinds[slot.kind] for slot in slots)
    if any(not room[kind] for kind in wanted):
        size = {kinds[slot.kind]: len(slot.birds) for slot in slots}
        available = sum(size[kind] * min(count, room[kind]) for kind, count in wanted.items())
        raise TooFewMarks(available, sum(len(slot.birds) for slot in slots))
    return kinds, taken


def _all_marks(taken: Sequence[tuple[int, Choice]], fixed: Sequence[Bird]) -> list[Marks]:
    return [marks for _, choice in taken for marks in choice] + [bird.marks for bird in fixed]


class _Codes:
    """Sides that the options and the fixed birds wear; `first[o]` is where option ``o``'s marks stand."""

    def __init__(self, tables: SideTables, choices: Sequence[Choice], fixed: int) -> None:
        self.tables = tables
        self.lengths = np.array([len(choice) for choice in choices], dtype=np.intp)
        end = len(tables.left) - fixed
        self.left, self.right = tables.left[:end], tables.right[:end]
        self.fixed_left, self.fixed_right = tables.left[end:], tables.right[end:]

    def only(self, some: Codes) -> _Codes:
        keep = np.zeros(len(self.lengths), dtype=bool)
        keep[some] = True
        marks = np.repeat(keep, self.lengths)
        other = object.__new__(_Codes)
        other.tables, other.lengths = self.tables, self.lengths[keep]
        other.left, other.right = self.left[marks], self.right[marks]
        other.fixed_left, other.fixed_right = self.fixed_left, self.fixed_right
        return other

    def all(self) -> tuple[Codes, Codes]:
        return np.concatenate([self.left, self.fixed_left]), np.concatenate([self.right, self.fixed_right])

    @property
    def first(self) -> Codes:
        return np.cumsum(self.lengths) - self.lengths


def alike(
    tables: SideTables, likeness: Floats, left: Codes, right: Codes, others: tuple[Codes, Codes]
) -> Floats:
    """``(A, B)`` how alike birds read, as `tarsus.core.choosing.alikeness` has it, from tables of sides.

    Source:
        docs/science/clashes.md, eq. 2.
    """
    other_left, other_right = others
    straight = likeness[np.ix_(left, other_left)] * likeness[np.ix_(right, other_right)]
    crossed = likeness[np.ix_(left, other_right)] * likeness[np.ix_(right, other_left)]
    return np.asarray(np.minimum(straight + 2 * sqrt(tables.swap * (1 - tables.swap)) * crossed, 1.0))


def _worth_weighing(codes: _Codes, kind: Codes, slots: Codes, rng: np.random.Generator) -> Codes:
    """Options to weigh: all, or those least alike to the flock and to each other, with some at random."""
    some, most = np.arange(len(kind)), MOST_OPTIONS
    if len(kind) > most:
        some = _least_alike(codes, kind, slots, most, rng)
    cut = finest_cut(codes.tables, *codes.only(some).all())
    while (cut is None or cut > FINE_ENOUGH) and most > 12 * len(slots) + 200:
        most = most * 2 // 3
        if most < len(kind):
            some = _least_alike(codes, kind, slots, most, rng)
            cut = finest_cut(codes.tables, *codes.only(some).all())
    return some


def _least_alike(codes: _Codes, kind: Codes, slots: Codes, most: int, rng: np.random.Generator) -> Codes:
    likeness = codes.tables.alikeness
    left, right = codes.left[codes.first], codes.right[codes.first]
    blame = np.zeros(len(kind))
    for first in range(0, len(codes.fixed_left), 50):
        others = codes.fixed_left[first : first + 50], codes.fixed_right[first : first + 50]
        blame += alike(codes.tables, likeness, left, right, others).sum(axis=1)
    picked = np.zeros(len(kind), dtype=bool)
    for slot in slots:
        open_ = np.flatnonzero((kind == slot) & ~picked)
        if not len(open_):
            continue
        best = open_[np.argmin(blame[open_])]
        picked[best] = True
        blame += alike(codes.tables, likeness, left, right, (left[[best]], right[[best]]))[:, 0]
    for number in np.unique(kind):
        at = np.flatnonzero(kind == number)
        share = most * len(at) // len(kind)
        picked[at[np.argsort(blame[at], kind="stable")[: share // 2]]] = True
        picked[rng.permutation(at)[: share // 2]] = True
    return np.flatnonzero(picked)


def _rows(
    codes: _Codes,
    choices: Sequence[Choice],
    kind: Codes,
    weights: Mapping[int, Sequence[float]],
    fixed: Sequence[Bird],
    whole: float,
    cut: float,
) -> tuple[tuple[Codes, Codes, Floats, Floats], tuple[Floats, Floats], float]:
    """Rows of the options, the worn birds' best and sum for each reading, and the most that is left out."""
    rows = reading_rows(codes.tables, codes.left, codes.right, cut)
    worn_rows = reading_rows(codes.tables, codes.fixed_left, codes.fixed_right, cut)
    per_mark = np.array([weight for k in kind for weight in weights[int(k)]])
    value = rows.chance * np.repeat(per_mark, np.diff(rows.start))
    start, reading, total = rows.start, rows.reading, value
    if len(rows) != len(choices):
        start, reading, value, total = _together(rows, value, codes)
    keys, places = np.unique(np.concatenate([reading, worn_rows.reading]), return_inverse=True)
    worn, at = np.zeros(len(keys)), places[len(reading) :]
    share = np.array([bird.prior / whole for bird in fixed])
    worn_value = worn_rows.chance * np.repeat(share, np.diff(worn_rows.start))
    np.maximum.at(worn, at, worn_value)
    worn_total = np.bincount(at, worn_value, minlength=len(keys)).astype(float)
    left_out = max(rows.left_out.max(initial=0.0), worn_rows.left_out.max(initial=0.0))
    return (start, places[: len(reading)].astype(np.intp), value, total), (worn, worn_total), float(left_out)


def _together(rows: ReadingRows, value: Floats, codes: _Codes) -> tuple[Codes, Codes, Floats, Floats]:
    """One row for each pair of mates: of each reading the better of the two, and both together."""
    option = np.repeat(np.repeat(np.arange(len(codes.lengths)), codes.lengths), np.diff(rows.start))
    order = np.lexsort((-value, rows.reading, option))
    option, reading, value = option[order], rows.reading[order], value[order]
    first = np.concatenate([[True], (option[1:] != option[:-1]) | (reading[1:] != reading[:-1])])
    lengths = np.bincount(option[first], minlength=len(codes.lengths))
    total = np.add.reduceat(value, np.flatnonzero(first))
    return np.concatenate([[0], np.cumsum(lengths)]).astype(np.intp), reading[first], value[first], total


def _numbers(choices: Sequence[Choice]) -> Codes:
    """``(O, m)`` a number for each set of marks, `FREE` where an option has fewer than the most."""
    known: dict[Marks, int] = {}
    numbers = np.full((len(choices), max(map(len, choices))), FREE, dtype=np.intp)
    for at, choice in enumerate(choices):
        for place, marks in enumerate(choice):
            numbers[at, place] = known.setdefault(marks, len(known))
    return numbers


def _limits(choices: Sequence[Choice], slots: int, stock: Mapping[str, int] | None) -> tuple[Codes, Codes]:
    """What each option takes of the bands that may run out, and how many there are."""
    if stock is None:
        return np.zeros((len(choices), 0), dtype=np.intp), np.zeros(0, dtype=np.intp)
    used = [used_bands(choice) for choice in choices]
    most = {band: max(one.get(band, 0) for one in used) for band in {band for one in used for band in one}}
    # A colour that the stock does not list is not held; metal is counted where it is listed.
    limited = sorted(
        band
        for band, count in most.items()
        if (band != METAL or METAL in stock) and count * slots > stock.get(band, 0)
    )
    uses = np.array([[one.get(band, 0) for band in limited] for one in used], dtype=np.intp)
    return uses.reshape(len(choices), len(limited)), np.array(
        [stock.get(band, 0) for band in limited], dtype=np.intp
    )
