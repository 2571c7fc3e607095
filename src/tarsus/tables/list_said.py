"""What a line of a list says, as facts for the one door, and the ids that follow from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID, uuid5

REASON: Final = "brought in from a spreadsheet"
_OURS: Final = UUID("6f1d1a52-7c0b-5c8e-9a57-0d3f1c9b2e44")
"""Made once for this: ids of facts of a list follow from what its line says, so that it is told once."""
Fact = Mapping[str, Any]


def told_id(*said: object) -> UUID:
    """The id of what a list says: the same words give the same id, whoever brings them in, and when."""
    return uuid5(_OURS, "|".join(map(str, said)))


def sighting_key(bird: int, when: str, exhibit: int, place: int | None = None) -> tuple[Any, ...]:
    """What makes a sighting this one and no other, whichever list it stands in."""
    return (bird, when, exhibit, place)


def sighting_id(bird: int, when: str, exhibit: int) -> UUID:
    """The id of a sighting that names no place, as a list of sightings gives it too."""
    return told_id("sightings", *sighting_key(bird, when, exhibit))


@dataclass(frozen=True, slots=True)
class Said:
    """What a line says: facts (kind, fields, `at` as a moment), and the words that show it.

    `key` is what makes it this line and no other: the same words of the same day are the same facts. In
    `facts` the nest that a line begins is the nest of those after it. `overtaken`: the register knows of
    something later that this would undo. `ids`: of the facts, where they do not follow from `key`.
    """

    called: str
    words: str
    key: tuple[Any, ...]
    facts: tuple[Fact, ...]
    overtaken: bool = False
    ids: tuple[UUID, ...] = ()
