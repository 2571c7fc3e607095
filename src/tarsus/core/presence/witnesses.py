"""On how many independent looks the sighting of a bird rests.

Decision 0037.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

CLEARS: Final = 2
"""Independent readings that take a standing alarm back; a hand or a person's own eye counts as so many."""

APART: Final = timedelta(minutes=30)
"""Two readings of one person are two looks when so much time lies between them (ours)."""


@dataclass(frozen=True, slots=True)
class Look:
    """Somebody named a bird: by its bands, by those in a photograph, or because it is known by sight."""

    at: datetime
    by: int
    known: bool
    photographed: bool = False


def witnesses(looks: Iterable[Look]) -> int:
    """Count the independent looks among those that named one bird, each of them sure of its name.

    Args:
        looks: in any order.

    Returns:
        `CLEARS` where somebody knew it by sight; else the readings of which no two are of one person and
        less than `APART` from each other. A photograph counts for none.

    Assumes:
        Two people do not tell each other what to read. One model reads all photographs and errs alike in all
        of them: somebody's eye is a witness, a photograph is not.
    """
    counted: list[Look] = []
    for look in sorted(looks, key=lambda one: (one.at, one.by)):
        if look.known:
            return CLEARS
        if not look.photographed and all(
            look.by != other.by or look.at - other.at >= APART for other in counted
        ):
            counted.append(look)
    return len(counted)
