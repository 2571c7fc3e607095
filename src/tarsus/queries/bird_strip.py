"""The strip of a bird's days: how it was named on each, missed, or not looked for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final, Literal

from django.db.models import Q

from tarsus.queries.days import day_begins, day_of, park_zone
from tarsus.records.models import NotLookedFor, Round, Sighting, Stay
from tarsus.records.standing import standing

DAYS: Final = 60

How = Literal["by reading", "by sight", "inferred", "missed", "not looked for"]

_FIRMER: Final[dict[str, int]] = {"by reading": 3, "by sight": 2, "inferred": 1}


@dataclass(frozen=True, slots=True)
class DayOfBird:
    """One day of the strip, with the firmest way in which the bird was named."""

    day: date
    how: How
    excused: str


def strip_of(bird_id: int, now: datetime) -> tuple[DayOfBird, ...]:
    """The last sixty days of a bird, the oldest first.

    Returns:
        A day on which no roll was called to its end where it lived is *not looked for*; so is a day with a
        reason (a nest, moult, off show), unless it was seen all the same.
    """
    zone = park_zone()
    today = day_of(now, zone)
    first = today - timedelta(days=DAYS - 1)
    begins = day_begins(first, zone)
    named: dict[date, str] = {}
    sightings = standing(Sighting.objects.filter(bird_id=bird_id, happened_at__gte=begins))
    for at, how in sightings.values_list("happened_at", "how"):
        day = day_of(at, zone)
        if _FIRMER.get(how, 0) > _FIRMER.get(named.get(day, ""), 0):
            named[day] = how
    stays = list(
        Stay.objects.filter(Q(to_on__isnull=True) | Q(to_on__gt=first), bird_id=bird_id)
        .filter(taken_back_at__isnull=True)
        .values_list("exhibit_id", "from_on", "to_on")
    )
    called = _called(begins, [exhibit for exhibit, _, _ in stays])
    reasons = _reasons(bird_id, [exhibit for exhibit, _, _ in stays], first)
    days = [first + timedelta(days=n) for n in range(DAYS)]
    return tuple(_day(day, named, stays, called, reasons) for day in days)


def _called(begins: datetime, exhibits: list[int]) -> set[tuple[int, date]]:
    """Exhibits and days on which a roll was called to its end."""
    zone = park_zone()
    rows = Round.objects.filter(
        exhibit_id__in=exhibits, started__happened_at__gte=begins, closings__isnull=False
    ).values_list("exhibit_id", "started__happened_at")
    return {(exhibit, day_of(at, zone)) for exhibit, at in rows}


def _reasons(bird_id: int, exhibits: list[int], first: date) -> list[tuple[str, date, date | None]]:
    spells = NotLookedFor.objects.filter(
        Q(bird_id=bird_id) | Q(exhibit_id__in=exhibits), Q(to_on__isnull=True) | Q(to_on__gt=first)
    ).filter(taken_back_at__isnull=True)
    return list(spells.values_list("why", "from_on", "to_on"))


def _day(
    day: date,
    named: dict[date, str],
    stays: list[tuple[int, date, date | None]],
    called: set[tuple[int, date]],
    reasons: list[tuple[str, date, date | None]],
) -> DayOfBird:
    excused = next((why for why, start, end in reasons if start <= day and (end is None or day < end)), "")
    how: How
    match named.get(day):
        case "by reading":
            how = "by reading"
        case "by sight":
            how = "by sight"
        case "inferred":
            how = "inferred"
        case _:
            # On the day it came to live there it need not have been there when the roll was called.
            there = any(
                (ex, day) in called for ex, start, end in stays if start < day and (not end or day < end)
            )
            how = "missed" if there and not excused else "not looked for"
    return DayOfBird(day, how, excused)
