"""What is handed over to somebody: what is new since they looked, and the notes that wait for them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from tarsus.core.words.since import KINDS, NewsLine, news_in_short, news_lines
from tarsus.queries.once import once
from tarsus.queries.shift_notes import NoteLeft, notes_for
from tarsus.queries.since import looked_until, news_since

LINES: Final = 12
"""So many lines of news stand on *Today*; the others are one tap away."""


@dataclass(frozen=True, slots=True)
class HandOver:
    """What one person has not seen yet: since when, the news in short and in lines, and the notes."""

    after: datetime
    until: datetime
    short: str
    lines: tuple[NewsLine, ...]
    more: int
    notes: tuple[NoteLeft, ...]

    @property
    def nothing(self) -> bool:
        """Whether there is nothing to see."""
        return not self.lines and not self.notes


@once
def hand_over(person_id: int, now: datetime) -> HandOver:
    """What is handed over to somebody, in a number of questions that does not grow with birds or days."""
    after = looked_until(person_id, now)
    lines = news_lines(news_since(after, now, person_id))
    shown = first_of_each_kind(lines, LINES)
    return HandOver(
        after, now, news_in_short(lines), shown, len(lines) - len(shown), notes_for(person_id, after)
    )


def first_of_each_kind(lines: tuple[NewsLine, ...], most: int) -> tuple[NewsLine, ...]:
    """So many lines that each kind of news has its share; in their order.

    A kind with many lines gives way before one with few loses any.
    """
    by_kind = {kind: [line for line in lines if line.kind == kind] for kind in KINDS}
    kept = dict.fromkeys(KINDS, 0)
    while sum(kept.values()) < min(most, len(lines)):
        kind = min((k for k in KINDS if kept[k] < len(by_kind[k])), key=lambda k: kept[k])
        kept[kind] += 1
    return tuple(line for kind in KINDS for line in by_kind[kind][: kept[kind]])
