"""What was written since a moment about days already carried: late sightings, corrections, spells."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Final
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q

from tarsus.core.presence.transponders import GAP
from tarsus.core.rounds.fold import roll_calls
from tarsus.queries.days import day_of
from tarsus.queries.round_facts import course_facts
from tarsus.records.models import (
    Count,
    Handling,
    Nest,
    NotLookedFor,
    Round,
    RoundClosed,
    RoundNotDone,
    RoundReopened,
    RoundStarted,
    Sighting,
    Stay,
    TransponderRead,
    Withdrawal,
)
from tarsus.records.standing import spoken_of

_ROUND_FACTS: Final = (RoundStarted, RoundClosed, RoundReopened, RoundNotDone, Count)


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
    """Days on which something happened that was written since, and those of the rounds it was told of."""
    touched: set[UUID] = set()
    for table in (Sighting, *_ROUND_FACTS):
        whose = "exhibit_id" if table is Sighting else "round__exhibit_id"
        late = table._default_manager.filter(_late(since))
        for exhibit, at, round_id in late.values_list(whose, "happened_at", "round_id"):
            touched.add(round_id)
            yield exhibit, day_of(at, zone)
    read = TransponderRead.objects.filter(_late(since))
    for exhibit, at in read.values_list("exhibit_id", "happened_at"):
        yield exhibit, day_of(at - GAP, zone)
    homes = Q(bird__stays__taken_back_at__isnull=True)
    held = Handling.objects.filter(_late(since), homes)
    for exhibit, at in held.values_list("bird__stays__exhibit_id", "happened_at"):
        if exhibit is not None:
            yield exhibit, day_of(at, zone)
    rounds = Round.objects.filter(pk__in=touched - {None})
    for exhibit, facts in course_facts({"round__in": rounds}).items():
        for call in roll_calls(facts, zone, since):
            yield exhibit, call.day


def _late(since: datetime) -> Q:
    """Written since, or withdrawn since, or brought back since."""
    return Q(recorded_at__gt=since) | spoken_of(Withdrawal.objects.filter(recorded_at__gt=since))


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
