"""What was written since a moment about days already carried: late sightings, corrections, spells."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from django.db.models import Q

from tarsus.queries.days import day_of
from tarsus.records.models import (
    Handling,
    Nest,
    NotLookedFor,
    RoundClosed,
    RoundNotDone,
    RoundStarted,
    Sighting,
    Stay,
    Withdrawal,
)

_ROUND_FACTS: Final = (RoundStarted, RoundClosed, RoundNotDone)


def first_late_days(exhibits: Iterable[int], since: datetime, zone: ZoneInfo) -> dict[int, date]:
    """For each exhibit the earliest day that something written since a moment speaks of.

    Args:
        exhibits: which exhibits.
        since: facts and spells written, ended, withdrawn or taken back after this moment.
        zone: the park's.

    Returns:
        exhibit -> day; one about which nothing was written is left out. A checkpoint of that day or a
        later one has to be carried again from an earlier one.
    """
    wanted = frozenset(exhibits)
    earliest: dict[int, date] = {}
    for exhibit, day in (*_facts(since, zone), *_spells(since)):
        for one in wanted if exhibit is None else {exhibit} & wanted:
            earliest[one] = min(day, earliest.get(one, day))
    return earliest


def _facts(since: datetime, zone: ZoneInfo) -> Iterator[tuple[int, date]]:
    late = Q(recorded_at__gt=since) | Q(
        pk__in=Withdrawal.objects.filter(recorded_at__gt=since).values("withdraws")
    )
    for exhibit, at in Sighting.objects.filter(late).values_list("exhibit_id", "happened_at"):
        yield exhibit, day_of(at, zone)
    homes = Q(bird__stays__taken_back_at__isnull=True)
    for exhibit, at in Handling.objects.filter(late, homes).values_list(
        "bird__stays__exhibit_id", "happened_at"
    ):
        if exhibit is not None:
            yield exhibit, day_of(at, zone)
    for model in _ROUND_FACTS:
        rows = model.objects.filter(late).values_list("round__exhibit_id", "round__started__happened_at")
        for exhibit, began in rows:
            if began is not None:
                yield exhibit, day_of(began, zone)


def _spells(since: datetime) -> Iterator[tuple[int | None, date]]:
    late = Q(recorded_at__gt=since) | Q(ended_at__gt=since) | Q(taken_back_at__gt=since)
    for model in (Stay, Nest):
        rows = model.objects.filter(late).values_list(
            "exhibit_id", "from_on", "to_on", "recorded_at", "taken_back_at"
        )
        for exhibit, from_on, to_on, recorded, taken_back in rows:
            yield exhibit, _changed_from(from_on, to_on, recorded, taken_back, since)
    excuses = NotLookedFor.objects.filter(late).values_list(
        "exhibit_id", "from_on", "to_on", "recorded_at", "taken_back_at"
    )
    for exhibit, from_on, to_on, recorded, taken_back in excuses:
        yield exhibit, _changed_from(from_on, to_on, recorded, taken_back, since)


def _changed_from(
    from_on: date, to_on: date | None, recorded: datetime, taken_back: datetime | None, since: datetime
) -> date:
    """A spell that was only ended speaks of the days from its end on; any other change of all its days."""
    begun_or_undone = recorded > since or (taken_back is not None and taken_back > since)
    return from_on if begun_or_undone or to_on is None else to_on
