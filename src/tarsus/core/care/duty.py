"""A duty: a job that the records say is due. It is derived each time it is asked for and never stored."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import IntEnum


class Urgency(IntEnum):
    """How soon. Tidy work waits for a handling that happens anyway."""

    NOW = 0
    TODAY = 1
    SOON = 2
    WITH_NEXT_HANDLING = 3

    @property
    def words(self) -> str:
        """As a page says it."""
        return ("now", "today", "soon", "can wait")[self]


@dataclass(frozen=True)
class Duty:
    """One job due.

    `kind`: a short name from the family's list. `bird` and `exhibit`: ids, `None` where it is about neither.
    `subject`: what of the bird it is about (a band, a mark, a case), so that two duties of one kind are told
    apart. `what` and `why`: a sentence each. `by`: the day it is due, `None` for no particular day.
    `caution`: a key of `cautions.CAUTIONS`. `in_hand`: whether the bird has to be caught for it.
    `settled_by`: the record that makes it go away. `takes_back`: facts of which one was wrong, by id and in
    words.
    """

    kind: str
    bird: int | None
    exhibit: int | None
    subject: str
    what: str
    why: str
    by: date | None
    urgency: Urgency
    caution: str
    in_hand: bool
    settled_by: str
    takes_back: tuple[tuple[str, str], ...] = ()

    @property
    def key(self) -> tuple[str, int | None, str]:
        """What makes it this duty and no other, from one day to the next."""
        return (self.kind, self.bird, self.subject)


def in_order(duties: list[Duty]) -> list[Duty]:
    """The most urgent first, a search before anything, then by the day they are due."""
    return sorted(
        duties,
        key=lambda duty: (
            duty.urgency,
            duty.kind != "search",
            duty.by or date.max,
            duty.bird or 0,
            duty.kind,
        ),
    )
