"""What is due, ready for a page: each job with the bird's drawing and the caution that belongs to it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from typing import Final

from tarsus.core.care.cautions import caution
from tarsus.core.care.duty import Duty, Urgency
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.duties import duties_of_bird, duties_of_park
from tarsus.queries.flock import FlockBird
from tarsus.queries.kept_catch_ups import work_told
from tarsus.queries.once import once
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.queries.presence import BirdPresence

TOLD_ELSEWHERE: Final = frozenset(
    {"search", "look again", "open case", "band found alone", "which bird died"}
)
"""Kinds that *Today* tells in sections of their own."""


@dataclass(frozen=True, slots=True)
class DutyLine:
    """One job due, with the bird it is about, the caution in words, and when it is due in words.

    `catch_up`: that it is planned for one, or that one did not settle it; empty where neither is so.
    """

    duty: Duty
    portrait: Portrait | None
    caution: str
    when: str
    catch_up: str


@dataclass(frozen=True, slots=True)
class Tidy:
    """What waits for a handling that happens anyway: one kind of job, and the birds."""

    kind: str
    lines: tuple[DutyLine, ...]


@dataclass(frozen=True, slots=True)
class DueToday:
    """Jobs that want somebody, the most urgent first, and those that can wait, by kind."""

    pressing: tuple[DutyLine, ...]
    tidy: tuple[Tidy, ...]

    @property
    def can_wait(self) -> int:
        """How many jobs can wait."""
        return sum(len(kind.lines) for kind in self.tidy)


def due_in_park(now: datetime, birds: Sequence[FlockBird], presence: Mapping[int, BirdPresence]) -> DueToday:
    """What *Today* lists as due; searches, cases and things found stand in their own sections.

    Args:
        now: the moment of asking.
        birds: all birds of today.
        presence: who is still here.
    """
    portraits = {bird.bird_id: portrait_of(bird) for bird in birds}
    told = [duty for duty in duties_of_park(now, birds, presence) if duty.kind not in TOLD_ELSEWHERE]
    return _sorted(told, portraits, day_of(now, park_zone()))


@once
def due_for_bird(bird_id: int, now: datetime) -> DueToday:
    """What is due for one bird; nothing is left out."""
    return _sorted(duties_of_bird(bird_id, now), {}, day_of(now, park_zone()))


def due_in_words(duty: Duty, today: date) -> str:
    """When a job is due: *now*, *today*, *by 27 Nov*, *since 25 Aug*, *soon* or *can wait*."""
    if duty.by is not None and duty.by < today:
        return f"since {duty.by:%-d %b}"
    if duty.urgency is Urgency.SOON and duty.by is not None:
        return f"by {duty.by:%-d %b}"
    return duty.urgency.words


def _sorted(duties: Iterable[Duty], portraits: Mapping[int, Portrait], today: date) -> DueToday:
    told = work_told(today)
    lines = [
        DutyLine(
            duty,
            portraits.get(duty.bird) if duty.bird else None,
            caution(duty.caution),
            due_in_words(duty, today),
            told.get((duty.bird, duty.what), "") if duty.bird else "",
        )
        for duty in duties
    ]
    waiting = [line for line in lines if line.duty.urgency is Urgency.WITH_NEXT_HANDLING]
    waiting.sort(key=lambda line: line.duty.kind)
    tidy = [Tidy(kind, tuple(alike)) for kind, alike in groupby(waiting, key=lambda line: line.duty.kind)]
    pressing = tuple(line for line in lines if line.duty.urgency is not Urgency.WITH_NEXT_HANDLING)
    return DueToday(pressing, tuple(sorted(tidy, key=lambda kind: len(kind.lines))))
