"""One bird of a flock, as the computing core needs it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tarsus.core.marks.marks import Marks

SEXES: Final = ("F", "M", "U")
"""Female, male, unsexed."""


@dataclass(frozen=True, slots=True)
class Bird:
    """Who it is and what it wears.

    `prior` is its weight relative to the others before anything was read. Birds are taken for one another
    only within one `lookalike` group; the empty group is that of all birds whose group nobody named. `young`
    is the chance that somebody says it is in young plumage, None where that is not known.
    """

    id: str
    marks: Marks
    sex: str = "U"
    prior: float = 1.0
    lookalike: str = ""
    young: float | None = None
