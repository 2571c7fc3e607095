"""The presence calendar of a flock: birds by days, the most worrying first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from tarsus.core.presence.advice import LOOK_AGAIN, SEARCH
from tarsus.core.words.numbers import counted
from tarsus.queries.bird_strip import DayOfBird, strips_of
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock_page import flock_birds
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.queries.presence import BirdPresence, presence_of_exhibit
from tarsus.queries.visit_days import with_visits
from tarsus.records.models import Exhibit

DAYS: Final = 30
HARD_UNDER: Final = 0.6
"""Under this share of what is usual a day was hard: fog, storm, a visit of the vet. Ours."""
SEEN: Final = frozenset({"by reading", "by sight", "doubtful"})


@dataclass(frozen=True, slots=True)
class CalendarDay:
    """One day of the head: the share of the birds looked for that was seen; empty where none was looked
    for. `hard` says that it was far under the usual.
    """

    day: date
    share: float | None
    hard: bool


@dataclass(frozen=True, slots=True)
class CalendarRow:
    """One bird with its days, the oldest first, and what they come to in words."""

    portrait: Portrait
    days: tuple[DayOfBird, ...]
    says: str


@dataclass(frozen=True, slots=True)
class PresenceCalendar:
    """A flock's calendar: days with how easy each was, and the birds in groups, the most worrying first."""

    exhibit_id: int
    exhibit: str
    lookalike: str
    days: tuple[CalendarDay, ...]
    groups: tuple[tuple[str, tuple[CalendarRow, ...]], ...]


def presence_calendar(exhibit_id: int, lookalike: str, now: datetime) -> PresenceCalendar:
    """The last thirty days of a flock, in a number of queries that does not grow with its birds.

    Raises:
        NoSuchFlock: none of its birds lives there today.
    """
    birds = [b for b in flock_birds(exhibit_id, lookalike, day_of(now, park_zone())) if b.counted]
    strips = with_visits(strips_of(tuple(bird.bird_id for bird in birds), now, DAYS), now)
    presence = presence_of_exhibit(exhibit_id, now)
    days = how_easy([strips[bird.bird_id] for bird in birds])
    rows = [(_group(presence.get(bird.bird_id)), portrait_of(bird), strips[bird.bird_id]) for bird in birds]
    return PresenceCalendar(
        exhibit_id=exhibit_id,
        exhibit=Exhibit.objects.values_list("name", flat=True).get(pk=exhibit_id),
        lookalike=lookalike,
        days=days,
        groups=_grouped(rows, presence, days),
    )


def how_easy(strips: Iterable[Sequence[DayOfBird]]) -> tuple[CalendarDay, ...]:
    """How easy each day was, by the share of the birds looked for that was seen.

    A day is hard under 0.6 of the middle day's share.
    """
    found = []
    for column in zip(*strips, strict=True):
        looked = [one.how for one in column if one.how != "not looked for"]
        share = sum(how in SEEN for how in looked) / len(looked) if looked else None
        found.append((column[0].day, share))
    known = sorted(share for _, share in found if share is not None)
    usual = known[len(known) // 2] if known else 0.0
    return tuple(
        CalendarDay(day, share, share is not None and share < HARD_UNDER * usual) for day, share in found
    )


def days_in_words(days: Sequence[DayOfBird], hard: frozenset[date]) -> str:
    """A bird's days in one line: in how many of the roll calls it was missed, and on which hard days."""
    called = [one for one in days if one.how != "not looked for"]
    missed = [one for one in called if one.how in ("missed", "inferred")]
    on_hard = sum(one.day in hard for one in missed)
    words = f"missed on {len(missed)} of {len(called)} {counted('day', len(called))} called"
    words = f"{words}, {on_hard} of them hard" if on_hard else words
    visits = sum(one.visited for one in days)
    return f"{words}; its transponder was read on {visits} {counted('day', visits)}" if visits else words


def _group(stands: BirdPresence | None) -> str:
    if stands is None:
        return "Present"
    if stands.advice == SEARCH:
        return "Search"
    if stands.excused:
        return "Not looked for"
    return "Look again" if stands.advice == LOOK_AGAIN else "Present"


def _grouped(
    rows: Sequence[tuple[str, Portrait, tuple[DayOfBird, ...]]],
    presence: Mapping[int, BirdPresence],
    days: Sequence[CalendarDay],
) -> tuple[tuple[str, tuple[CalendarRow, ...]], ...]:
    hard = frozenset(one.day for one in days if one.hard)

    def worry(row: tuple[str, Portrait, tuple[DayOfBird, ...]]) -> tuple[int, int, str]:
        _, portrait, strip = row
        stands = presence.get(portrait.bird_id)
        missed = sum(one.how == "missed" for one in strip)
        return (-(stands.unseen_days if stands and stands.unseen_rounds else 0), -missed, portrait.name)

    found = []
    for name in ("Search", "Look again", "Present", "Not looked for"):
        own = sorted((row for row in rows if row[0] == name), key=worry)
        if own:
            told = tuple(CalendarRow(bird, strip, days_in_words(strip, hard)) for _, bird, strip in own)
            found.append((name, told))
    return tuple(found)
