"""Which birds are marked together, and which marks each may take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.candidates import drawn_marks, number_possible, possible_marks
from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.rules import MarkRule
from tarsus.core.marks.sites import LEFT_WING, MIRROR, RIGHT_WING

WINGS: Final = (LEFT_WING, RIGHT_WING)

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
) -> list[Slot]:
    """Lay out the birds to be marked; slots of one `kind` may take the same options.

    Args:
        wanted: birds of one look-alike group.
        worn: birds of the same group whose marks stay.
        rule: what is allowed.
        colours: colours to be had.
        rng: draws marks where the rule allows too many to list.

    Returns:
        A slot for each bird, or for two wanted mates on wings. A mate of a bird that wears its colours on
        a wing has the one option: the same colours on the opposite wing.

    Raises:
        WrongValue: a mate that nobody is.
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
        if mate in marks_of and _on_wings(marks_of[mate]):
            matched = matching(marks_of[mate], rule.metal_site(row))
            slots.append(Slot((bird,), ("mate", bird.id), ((matched,),)))
        elif mate in by_id and mate not in done and mate != bird.id and any(_on_wings(m) for m in own):
            other = by_id[mate]
            site = rule.metal_site(rule.row_of(other.sex, other.juvenile))
            pairs = tuple((marks, matching(marks, site)) for marks in own)
            slots.append(Slot((bird, other), ("pair", row, site, bird.prior, other.prior), pairs, drawn))
            done.add(other.id)
        else:
            slots.append(Slot((bird,), ("one", row, bird.prior), tuple((marks,) for marks in own), drawn))
        done.add(bird.id)
    return slots


def matching(marks: Marks, metal: str | None) -> Marks:
    """The same wing colours on the opposite side, with the metal band of a rule's row."""
    by_site = {
        MIRROR[site]: [band for band in bands if band != METAL]
        for site, bands in marks.sites
        if site in WINGS
    }
    if metal is not None:
        by_site[metal] = [METAL, *by_site.get(metal, [])]
    return Marks.of(by_site)


def used_bands(marks: Sequence[Marks]) -> Mapping[str, int]:
    """How many bands of each kind these marks take."""
    used: dict[str, int] = {}
    for worn in marks:
        for _, bands in worn.sites:
            for band in bands:
                used[band] = used.get(band, 0) + 1
    return used


def _on_wings(marks: Marks) -> bool:
    return any(band != METAL for site in WINGS for band in marks.at(site))
