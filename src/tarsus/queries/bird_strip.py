"""The strip of a bird's days: how it was named on each, missed, or not looked for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final, Literal
from uuid import UUID

from django.db.models import Q

from tarsus.core.rounds.fold import roll_calls
from tarsus.core.rounds.naming import clears
from tarsus.queries.days import day_begins, day_ends, day_of, park_zone
from tarsus.queries.once import once
from tarsus.queries.round_facts import course_facts, names_told, rounds_begun
from tarsus.records.models import Bird, NotLookedFor, Sighting, Stay
from tarsus.records.standing import end_of, lasting_after, standing

DAYS: Final = 60

How = Literal["by reading", "by sight", "doubtful", "inferred", "missed", "not looked for"]

_Spell = tuple[int, date, date | None]
_Reason = tuple[int | None, int | None, str, date, date | None]

_FIRMER: Final[dict[How, int]] = {"by reading": 4, "by sight": 3, "doubtful": 2, "inferred": 1, "missed": 0}


@dataclass(frozen=True, slots=True)
class DayOfBird:
    """One day of the strip, with the firmest way in which the bird was named.

    `visited`: a machine knew its transponder; nobody saw it by that.
    """

    day: date
    how: How
    excused: str
    visited: bool = False


@once
def strips_of(bird_ids: tuple[int, ...], now: datetime, days: int) -> dict[int, tuple[DayOfBird, ...]]:
    """The last days of several birds, the oldest first; in a number of queries that does not grow with them.

    Returns:
        A day on which its look-alike group was not called to the end where it lived is *not looked for*; so
        is a day with a reason (a nest, moult, off show), unless it was seen all the same.
    """
    zone = park_zone()
    today = day_of(now, zone)
    first = today - timedelta(days=days - 1)
    begins = day_begins(first, zone)
    named: dict[int, dict[date, How]] = defaultdict(dict)
    seen = Sighting.objects.filter(
        bird_id__in=bird_ids, happened_at__gte=begins, happened_at__lt=day_ends(today, zone)
    )
    sightings = standing(seen)
    for bird, at, how, chance in sightings.values_list("bird_id", "happened_at", "how", "chance"):
        day, word = day_of(at, zone), _word(bird, how, chance)
        if _FIRMER[word] > _FIRMER[named[bird].get(day, "missed")]:
            named[bird][day] = word
    stays: dict[int, list[_Spell]] = defaultdict(list)
    rows = lasting_after(Stay.objects.filter(bird_id__in=bird_ids), first)
    columns = ("bird_id", "exhibit_id", "from_on", "to_on", "ended_at")
    for bird, exhibit, start, end, ended_at in rows.values_list(*columns):
        stays[bird].append((exhibit, start, end_of(end, ended_at)))
    groups = dict(Bird.objects.filter(pk__in=bird_ids).values_list("pk", "species__lookalike"))
    asked = [first + timedelta(days=n) for n in range(days)]
    living: dict[int, set[str]] = defaultdict(set)
    for bird, spells in stays.items():
        for exhibit, _, _ in spells:
            living[exhibit].add(groups[bird])
    quiet = {day for day in asked if any(day not in named[bird] for bird in bird_ids)}
    called = _called(living, begins, quiet, now)
    reasons = _reasons(bird_ids, set(living), first)
    return {
        bird: tuple(
            _day(day, named[bird], stays[bird], called[groups[bird]], _own(reasons, bird, stays[bird]))
            for day in asked
        )
        for bird in bird_ids
    }


def _word(bird_id: int, how: str, chance: float) -> How:
    if how == "by reading":
        return "by reading" if clears(bird_id, how, chance) else "doubtful"
    return "by sight" if how == "by sight" else "inferred"


def _called(
    living: Mapping[int, set[str]], begins: datetime, quiet: set[date], now: datetime
) -> dict[str, set[tuple[int, date]]]:
    """Of each look-alike group the exhibits and days on which it was called to the end, of the days in
    question.

    A count tells that without any name; names are asked for only of days that no count settles.
    """
    zone = park_zone()
    found: dict[str, set[tuple[int, date]]] = defaultdict(set)
    told = course_facts({"round__in": list(rounds_begun(begins, now, living).values_list("pk", flat=True))})

    def fold() -> set[UUID]:
        """Put down what is called, and give the rounds of the days that nothing settles yet."""
        open_: set[UUID] = set()
        for exhibit, facts in told.items():
            for call in roll_calls(facts, zone, now):
                for lookalike in living[exhibit] & call.called:
                    found[lookalike].add((exhibit, call.day))
                if call.day in quiet and not living[exhibit] <= call.called:
                    open_ |= {span.round for span in call.rounds}
        return open_

    names = Sighting.objects.filter(round_id__in=fold(), bird__isnull=False)
    for exhibit, fact in names_told(names):
        told[exhibit].append(fact)
    fold()
    return found


def _reasons(bird_ids: Collection[int], exhibits: set[int], first: date) -> list[_Reason]:
    spells = NotLookedFor.objects.filter(Q(bird_id__in=bird_ids) | Q(exhibit_id__in=exhibits))
    rows = lasting_after(spells, first).values_list(
        "bird_id", "exhibit_id", "why", "from_on", "to_on", "ended_at"
    )
    return [
        (bird, where, why, start, end_of(end, ended_at)) for bird, where, why, start, end, ended_at in rows
    ]


def _own(reasons: list[_Reason], bird: int, stays: list[_Spell]) -> list[tuple[str, date, date | None]]:
    """The reasons not to look that are the bird's, or its exhibit's."""
    homes = {exhibit for exhibit, _, _ in stays}
    return [(why, start, end) for who, where, why, start, end in reasons if who == bird or where in homes]


def _day(
    day: date,
    named: dict[date, How],
    stays: list[_Spell],
    called: set[tuple[int, date]],
    reasons: list[tuple[str, date, date | None]],
) -> DayOfBird:
    excused = next((why for why, start, end in reasons if start <= day and (end is None or day < end)), "")
    if day in named:
        return DayOfBird(day, named[day], excused)
    # On the day it came to live there it need not have been there when the roll was called.
    there = any((ex, day) in called for ex, start, end in stays if start < day and (not end or day < end))
    return DayOfBird(day, "missed" if there and not excused else "not looked for", excused)
