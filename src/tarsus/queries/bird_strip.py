"""The strip of a bird's days: how it was named on each, missed, or not looked for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final, Literal

from django.db.models import Q

from tarsus.core.rounds.facts import Started
from tarsus.core.rounds.fold import roll_calls
from tarsus.core.rounds.naming import clears
from tarsus.queries.days import day_begins, day_of, park_zone
from tarsus.queries.round_facts import course_facts, names_told, rounds_begun
from tarsus.records.models import Bird, NotLookedFor, Sighting, Stay
from tarsus.records.standing import standing

DAYS: Final = 60

How = Literal["by reading", "by sight", "doubtful", "inferred", "missed", "not looked for"]

_FIRMER: Final[dict[How, int]] = {"by reading": 4, "by sight": 3, "doubtful": 2, "inferred": 1, "missed": 0}


@dataclass(frozen=True, slots=True)
class DayOfBird:
    """One day of the strip, with the firmest way in which the bird was named."""

    day: date
    how: How
    excused: str


def strip_of(bird_id: int, now: datetime) -> tuple[DayOfBird, ...]:
    """The last sixty days of a bird, the oldest first.

    Returns:
        A day on which its look-alike group was not called to the end where it lived is *not looked for*; so
        is a day with a reason (a nest, moult, off show), unless it was seen all the same.
    """
    zone = park_zone()
    today = day_of(now, zone)
    first = today - timedelta(days=DAYS - 1)
    begins = day_begins(first, zone)
    named: dict[date, How] = {}
    sightings = standing(Sighting.objects.filter(bird_id=bird_id, happened_at__gte=begins))
    for at, how, chance in sightings.values_list("happened_at", "how", "chance"):
        day, word = day_of(at, zone), _word(bird_id, how, chance)
        if _FIRMER[word] > _FIRMER[named.get(day, "missed")]:
            named[day] = word
    stays = list(
        Stay.objects.filter(Q(to_on__isnull=True) | Q(to_on__gt=first), bird_id=bird_id)
        .filter(taken_back_at__isnull=True)
        .values_list("exhibit_id", "from_on", "to_on")
    )
    days = [first + timedelta(days=n) for n in range(DAYS)]
    quiet = {day for day in days if day not in named}
    called = _called(bird_id, begins, [exhibit for exhibit, _, _ in stays], quiet, now)
    reasons = _reasons(bird_id, [exhibit for exhibit, _, _ in stays], first)
    return tuple(_day(day, named, stays, called, reasons) for day in days)


def _word(bird_id: int, how: str, chance: float) -> How:
    if how == "by reading":
        return "by reading" if clears(bird_id, how, chance) else "doubtful"
    return "by sight" if how == "by sight" else "inferred"


def _called(
    bird_id: int, begins: datetime, exhibits: list[int], quiet: set[date], now: datetime
) -> set[tuple[int, date]]:
    """Exhibits and days on which the bird's look-alike group was called to the end, of the days in
    question.
    """
    zone = park_zone()
    lookalike = Bird.objects.values_list("species__lookalike", flat=True).get(pk=bird_id)
    told = course_facts({"round__in": rounds_begun(begins, now, exhibits)})
    rounds = {
        fact.round
        for facts in told.values()
        for fact in facts
        if isinstance(fact, Started) and day_of(fact.happened_at, zone) in quiet
    }
    names = Sighting.objects.filter(round_id__in=rounds, lookalike=lookalike, bird__isnull=False)
    for exhibit, fact in names_told(names):
        told[exhibit].append(fact)
    return {
        (exhibit, call.day)
        for exhibit, facts in told.items()
        for call in roll_calls(facts, zone, now)
        if lookalike in call.called
    }


def _reasons(bird_id: int, exhibits: list[int], first: date) -> list[tuple[str, date, date | None]]:
    spells = NotLookedFor.objects.filter(
        Q(bird_id=bird_id) | Q(exhibit_id__in=exhibits), Q(to_on__isnull=True) | Q(to_on__gt=first)
    ).filter(taken_back_at__isnull=True)
    return list(spells.values_list("why", "from_on", "to_on"))


def _day(
    day: date,
    named: dict[date, How],
    stays: list[tuple[int, date, date | None]],
    called: set[tuple[int, date]],
    reasons: list[tuple[str, date, date | None]],
) -> DayOfBird:
    excused = next((why for why, start, end in reasons if start <= day and (end is None or day < end)), "")
    if day in named:
        return DayOfBird(day, named[day], excused)
    # On the day it came to live there it need not have been there when the roll was called.
    there = any((ex, day) in called for ex, start, end in stays if start < day and (not end or day < end))
    return DayOfBird(day, "missed" if there and not excused else "not looked for", excused)
