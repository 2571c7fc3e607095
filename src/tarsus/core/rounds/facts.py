"""What is told of the roll calls of one exhibit: plain facts, each with who told it and when.

`happened_at` is the moment of the act, `recorded_at` the moment at which the register heard of it; a phone
does not know that of its own facts (`None`). Ids of one register are of one kind: UUIDs there, texts on a
phone.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple, TypeAlias

from tarsus.core.marks.marks import Reading

FactId: TypeAlias = Any
"""A UUID or a text, whichever the facts of one register carry; ids are ordered among themselves."""


@dataclass(frozen=True, slots=True)
class Started:
    """Somebody started calling the roll."""

    id: FactId
    round: FactId
    happened_at: datetime
    by: int
    recorded_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Closed:
    """Somebody brought a round to its end."""

    id: FactId
    round: FactId
    happened_at: datetime
    by: int
    recorded_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Reopened:
    """Somebody opened a round again that was over."""

    id: FactId
    round: FactId
    happened_at: datetime
    by: int
    recorded_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class NotDone:
    """All of a round was not done, or one look-alike group in it, because."""

    id: FactId
    round: FactId
    happened_at: datetime
    by: int
    because: str
    lookalike: str = ""
    recorded_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Counted:
    """So many of a look-alike group were counted."""

    id: FactId
    round: FactId
    happened_at: datetime
    by: int
    lookalike: str
    counted: int
    recorded_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Grouped:
    """So many birds were in view together, or they flew."""

    id: FactId
    round: FactId
    happened_at: datetime
    by: int
    group: FactId
    size: int
    place: int | None = None
    flew: bool = False
    recorded_at: datetime | None = None


class Sighted(NamedTuple):
    """A bird was seen and named (`how`), or only read (`bird` is `None`).

    `chance`: with which the name was accepted. `candidates`: birds that a part reading may be of, each with
    its chance. A year has a hundred thousand of them: a named tuple is made in a quarter of the time.
    """

    id: FactId
    round: FactId | None
    happened_at: datetime
    by: int
    lookalike: str
    bird: int | None
    how: str
    chance: float = 1.0
    candidates: tuple[tuple[int, float], ...] = ()
    none_of_these: float | None = None
    reading: Reading | None = None
    group: FactId | None = None
    position: int | None = None
    place: int | None = None
    recorded_at: datetime | None = None
    photographed: bool = False


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """A fact was a mistake; a withdrawal that was a mistake is taken back in the same way."""

    id: FactId
    corrects: FactId
    happened_at: datetime
    by: int
    recorded_at: datetime | None = None


RoundFact: TypeAlias = Started | Closed | Reopened | NotDone | Counted | Grouped | Sighted
Fact: TypeAlias = RoundFact | Withdrawn


def in_time(fact: Fact) -> tuple[datetime, FactId]:
    """The order of facts: by when they happened, then by id, so that all registers order them alike."""
    return fact.happened_at, fact.id


def heard_after(fact: Fact, closing: Closed) -> bool:
    """Whether a fact was heard after a closing; where nobody knows when, whether it happened after it."""
    if fact.recorded_at is None or closing.recorded_at is None:
        return fact.happened_at > closing.happened_at
    return fact.recorded_at > closing.recorded_at
