"""Which birds are marked together, and which marks each may take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarsus.core.choosing.assignment_mates import check_mate, matching, on_wings
from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.candidates import drawn_marks, number_possible, possible_marks
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.rules import MarkRule

MOST_LISTED: Final = 10_000
"""Marks of a rule that are listed; of more, so many are drawn."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A bird that is to be marked. `mate` is the id of a bird that is worn or wanted."""

    id: str
    sex: str = "U"
    juvenile: bool = False
    mate: str | None = None
    prior: float = 1.0
    lookalike: str = ""


@dataclass(frozen=True)
class Slot:
    """One bird, or two mates that are marked together, and what they may take: marks for each of them.

    `drawn`: the rule allows more than was listed.
    """

    birds: tuple[Wanted, ...]
    kind: tuple[object, ...]
    options: tuple[tuple[Marks, ...], ...]
    drawn: bool = False


def slots_of(
    wanted: Sequence[Wanted],
    worn: Sequence[Bird],
    rule: MarkRule,
    colours: Sequence[str],
    rng: np.random.Generator,
    stock: Mapping[str, int] | None = None,
) -> list[Slot]:
    """Lay out the birds to be marked; slots of one `kind` may take the same options.

    Args:
        wanted: birds of one look-alike group.
        worn: birds of the same group whose marks stay.
        rule: what is allowed.
        colours: colours to be had.
        rng: draws marks where the rule allows too many to list.
        stock: bands to be had, or `None` for no limit.

    Returns:
        A slot for each bird, or for two wanted mates on wings. A mate of a bird that wears its colours on
        a wing has the one option: the same colours on the opposite wing.

    Raises:
        WrongValue: a mate that nobody is.
        MateWithoutMarks: a mate whose marks are worn, or whose bands are not in stock.
    """
    by_id = {bird.id: bird for bird in wanted}
    marks_of = {bird.id: bird.marks for bird in worn}
    listed: dict[str, tuple[Marks, ...]] = {}

    def options(row: str) -> tuple[Marks, ...]:
        if row not in listed:
            many = number_possible(rule, row, colours) > MOST_LISTED
            found = drawn_marks(rule, row, colours, MOST_LISTED, rng) if many else None
            listed[row] = tuple(possible_marks(rule, row, colours) if found is None else found)
        return listed[row]

    slots, done = [], set()
    for bird in wanted:
        if bird.id in done:
            continue
        row = rule.row_of(bird.sex, bird.juvenile)
        mate = bird.mate
        if mate is not None and mate not in by_id and mate not in marks_of:
            raise WrongValue(
                f"wanted '{bird.id}'", f"its mate '{mate}' is neither worn nor wanted; name one that is"
            )
        own = options(row)
        drawn = number_possible(rule, row, colours) > MOST_LISTED
        if mate in marks_of and on_wings(marks_of[mate]):
            matched = matching(marks_of[mate], rule.metal_site(row))
            check_mate(bird.id, mate, matched, worn, stock)
            slots.append(Slot((bird,), ("mate", bird.id), ((matched,),)))
        elif mate in by_id and mate not in done and mate != bird.id and any(on_wings(m) for m in own):
            other = by_id[mate]
            site = rule.metal_site(rule.row_of(other.sex, other.juvenile))
            pairs = tuple((marks, matching(marks, site)) for marks in own)
            slots.append(Slot((bird, other), ("pair", row, site, bird.prior, other.prior), pairs, drawn))
            done.add(other.id)
        else:
            slots.append(Slot((bird,), ("one", row, bird.prior), tuple((marks,) for marks in own), drawn))
        done.add(bird.id)
    return slots
