"""Which birds of a flock are too alike as they are banded now, by what readings of the two cost exactly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tarsus.core.choosing.alikeness import pair_loss
from tarsus.core.choosing.clarity import SURENESS
from tarsus.core.choosing.reading_rows import ReadingRows, finest_cut, reading_rows
from tarsus.core.choosing.reading_tables import side_tables
from tarsus.core.marks.marks import Marks
from tarsus.core.readings.misreading import Misreading


@dataclass(frozen=True, slots=True)
class AlikeMarks:
    """Two birds by their place in the flock, what a reading of them costs in wrong names, and whether they
    wear the `same` marks."""

    one: int
    other: int
    cost: float
    same: bool


def alike_marks(
    misreading: Misreading, worn: Sequence[Marks], clarity: float, sureness: float = SURENESS
) -> tuple[AlikeMarks, ...]:
    """Find the pairs that are too alike.

    Args:
        misreading: the observer.
        worn: what each bird of one look-alike group wears.
        clarity: what a reading of two may cost in wrong names, 0 to ½.
        sureness: the chance from which a reading is named; in doubt it costs 1 - `sureness` of a wrong name.

    Returns:
        Pairs whose cost passes `clarity`, and those with the same marks; the costliest first. The cost is
        exact where readings can be listed, else what it can be at most.

    Assumes:
        Both birds are equally likely, every site is seen, and nobody else is weighed.

    Source:
        The reject rule (Chow 1970, IEEE Trans. Inf. Theory 16:41-46; from memory);
        docs/science/clashes.md, eq. 3: its left side, where its right side passes.
    """
    if len(worn) < 2:
        return ()
    most = pair_loss(misreading, worn, worn, sureness)
    same = np.array([[one == other for other in worn] for one in worn])
    in_question = np.argwhere(np.triu((most > clarity) | same, 1)).tolist()
    rows = _rows(misreading, worn) if in_question else None
    found = []
    for one, other in in_question:
        cost = float(most[one, other]) if rows is None else _cost(rows, one, other, sureness)
        if cost > clarity or same[one, other]:
            found.append(AlikeMarks(one, other, cost, bool(same[one, other])))
    return tuple(sorted(found, key=lambda pair: -pair.cost))


def _rows(misreading: Misreading, worn: Sequence[Marks]) -> ReadingRows | None:
    tables = side_tables(misreading, worn)
    cut = None if tables is None else finest_cut(tables, tables.left, tables.right)
    return None if tables is None or cut is None else reading_rows(tables, tables.left, tables.right, cut)


def _cost(rows: ReadingRows, one: int, other: int, sureness: float) -> float:
    """Half the sum over readings of what is less: the less likely bird, or the doubt."""
    ours, theirs = (slice(rows.start[bird], rows.start[bird + 1]) for bird in (one, other))
    _, at, there = np.intersect1d(
        rows.reading[ours], rows.reading[theirs], assume_unique=True, return_indices=True
    )
    a, b = rows.chance[ours][at], rows.chance[theirs][there]
    return float(np.minimum((1.0 - sureness) * (a + b), np.minimum(a, b)).sum() / 2)
