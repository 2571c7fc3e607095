"""The habits that a scheme is compared with: the next free combination of the list, and any free one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

from tarsus.core.errors import NotEnoughMarks
from tarsus.core.marks.candidates import possible_marks
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.rules import MarkRule


def next_free(rule: MarkRule, rows: Sequence[str], colours: Sequence[str]) -> tuple[Marks, ...]:
    """Give each bird the next combination of its row's list that nobody wears.

    Args:
        rule: where metal and colours go.
        rows: the row of each bird (``F``, ``M``, ``U``, ``J``).
        colours: colours to be had, in the order of the list.

    Returns:
        Marks by bird, no two alike.

    Raises:
        NotEnoughMarks: the rule has fewer combinations than birds.
    """
    return _dealt(rule, rows, colours, None)


def random_free(
    rule: MarkRule, rows: Sequence[str], colours: Sequence[str], rng: np.random.Generator
) -> tuple[Marks, ...]:
    """Give each bird a combination of its row's that nobody wears, all equally likely.

    Args:
        rule: where metal and colours go.
        rows: the row of each bird.
        colours: colours to be had.
        rng: the source of chance.

    Returns:
        Marks by bird, no two alike.

    Raises:
        NotEnoughMarks: the rule has fewer combinations than birds.
    """
    return _dealt(rule, rows, colours, rng)


def _dealt(
    rule: MarkRule, rows: Sequence[str], colours: Sequence[str], rng: np.random.Generator | None
) -> tuple[Marks, ...]:
    lists = {}
    for row in dict.fromkeys(rows):
        marks = possible_marks(rule, row, colours)
        lists[row] = iter(marks if rng is None else [marks[at] for at in rng.permutation(len(marks))])
    worn: set[Marks] = set()
    dealt: list[Marks] = []
    for row in rows:
        free = next((marks for marks in lists[row] if marks not in worn), None)
        if free is None:
            birds = Counter(rows)[row]
            had = list(rows[: len(dealt)]).count(row)
            raise NotEnoughMarks(
                f"{birds} birds of row '{row}' are to be marked and the rule has {had} free combinations for "
                "them; allow more bands or colours",
                available=len(dealt),
            )
        worn.add(free)
        dealt.append(free)
    return tuple(dealt)
