"""Keep the watch's checkpoints: what was known of each flock at the end of a day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta
from typing import Final

from django.db import connection, transaction

from tarsus.core.presence.checkpoint import FORMAT
from tarsus.queries.days import day_begins, day_of, park_zone
from tarsus.queries.late_facts import first_late_days
from tarsus.queries.watch_facts import Flock
from tarsus.queries.watch_state import Carried, flock_choices, watched_flocks
from tarsus.records.models import (
    Count,
    Exhibit,
    Handling,
    Nest,
    NotLookedFor,
    PresenceCheckpoint,
    RoundClosed,
    RoundNotDone,
    RoundReopened,
    RoundStarted,
    Sighting,
    Stay,
    Withdrawal,
)

DAYS_KEPT: Final = 7
MONTHS_KEPT: Final = 12
_TOLD: Final = (
    *(Sighting, RoundStarted, RoundClosed, RoundReopened, RoundNotDone, Count, Withdrawal),
    *(Handling, Stay, Nest, NotLookedFor),
)
_TABLES: Final = tuple(f'"{table._meta.db_table}"' for table in _TOLD)
"""Where the watch's facts are written."""


def keep_checkpoints(now: datetime) -> int:
    """Carry the watch of every flock forward to yesterday's end and keep it, with days and months on the way.

    Asking twice changes nothing. Facts that came late make it go back to the last checkpoint before them,
    and a changed hazard or limit to the beginning; either way what is kept equals what the facts say. The
    sums are done without holding up any writer; what is written meanwhile comes late, and is noticed.

    Args:
        now: the moment of asking; the park's day that is running is left out.

    Returns:
        For how many flocks checkpoints were written.
    """
    zone = park_zone()
    yesterday = day_of(now, zone) - timedelta(days=1)
    _wait_for_writers()
    choices = flock_choices(yesterday + timedelta(days=1))
    _drop_what_rests_on_others(choices)
    late = _late(yesterday)
    if not late and choices.keys() <= set(_flocks_kept(yesterday)):
        return 0
    until = day_begins(yesterday + timedelta(days=1), zone)
    told = watched_flocks(None, until, known_at=now, stops=_days_kept(yesterday))
    by_day = {**told.stops, yesterday: told.flocks}
    rows = [
        PresenceCheckpoint(
            exhibit_id=flock[0], lookalike=flock[1], on_day=day, facts_until=now, state=carried.as_plain()
        )
        for day, flocks in by_day.items()
        for flock, carried in flocks.items()
    ]
    with transaction.atomic():
        _drop_unsound(late, yesterday)
        sound = set(_flocks_kept(yesterday))
        PresenceCheckpoint.objects.bulk_create(rows, ignore_conflicts=True)
        _sound_until(now)
        _thin_out(yesterday)
    return len(told.flocks.keys() - sound)


def _flocks_kept(day: date) -> Iterable[Flock]:
    return PresenceCheckpoint.objects.filter(on_day=day).values_list("exhibit_id", "lookalike")


def _wait_for_writers() -> None:
    """Let whoever is in the middle of writing end: what they wrote before now can be read from now on."""
    with transaction.atomic():
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute(f"LOCK TABLE {', '.join(_TABLES)} IN SHARE MODE")


def _days_kept(yesterday: date) -> set[date]:
    """The last days, and the last day of each month for a year."""
    days = {yesterday - timedelta(days=day) for day in range(DAYS_KEPT)}
    first = yesterday.replace(day=1)
    for _ in range(MONTHS_KEPT):
        days.add(first - timedelta(days=1))
        first = (first - timedelta(days=1)).replace(day=1)
    return days


def rebuilt(now: datetime) -> dict[Flock, Carried]:
    """The watch as it comes out of the facts alone, checkpoints left aside, up to yesterday's end."""
    zone = park_zone()
    until = day_begins(day_of(now, zone), zone)
    return watched_flocks(None, until, known_at=now, anew=True).flocks


def _late(yesterday: date) -> dict[int, date]:
    """For each exhibit of which something came late, the first of the days that are to be carried again."""
    newest = PresenceCheckpoint.objects.order_by("-on_day").values_list("facts_until", flat=True).first()
    if newest is None:
        return {}
    exhibits = list(Exhibit.objects.values_list("pk", flat=True))
    late = first_late_days(exhibits, newest, park_zone())
    return {exhibit: day for exhibit, day in late.items() if day <= yesterday}


def _drop_unsound(late: Mapping[int, date], yesterday: date) -> None:
    """Drop checkpoints that later words no longer bear out."""
    for exhibit, day in late.items():
        PresenceCheckpoint.objects.filter(exhibit_id=exhibit, on_day__gte=day).delete()
    PresenceCheckpoint.objects.filter(on_day__gt=yesterday).delete()


def _sound_until(now: datetime) -> None:
    """Mark each flock's newest checkpoint as one that knows all that was written until now."""
    rows = PresenceCheckpoint.objects.order_by("on_day").values_list("exhibit_id", "lookalike", "pk")
    newest = {(exhibit, lookalike): pk for exhibit, lookalike, pk in rows}
    PresenceCheckpoint.objects.filter(pk__in=newest.values(), facts_until__lt=now).update(facts_until=now)


def _drop_what_rests_on_others(choices: Mapping[Flock, list[float]]) -> None:
    """Drop checkpoints of another estimator, and of flocks that rest on other choices of the park."""
    PresenceCheckpoint.objects.exclude(state__flock__format=FORMAT).delete()
    rows = PresenceCheckpoint.objects.values_list("exhibit_id", "lookalike", "state__rules")
    others = {
        (exhibit, lookalike)
        for exhibit, lookalike, rules in rows
        if list(rules) != choices.get((exhibit, lookalike), list(rules))
    }
    for exhibit, lookalike in others:
        PresenceCheckpoint.objects.filter(exhibit_id=exhibit, lookalike=lookalike).delete()


def _thin_out(yesterday: date) -> None:
    """Keep a week of days, a year of months, and the newest of every flock."""
    rows = PresenceCheckpoint.objects.order_by("-on_day").values_list(
        "pk", "exhibit_id", "lookalike", "on_day"
    )
    seen: set[tuple[Flock, tuple[int, int]]] = set()
    gone = []
    for pk, exhibit, lookalike, on_day in rows:
        month = ((exhibit, lookalike), (on_day.year, on_day.month))
        recent = on_day > yesterday - timedelta(days=DAYS_KEPT)
        last_of_month = month not in seen and on_day > yesterday - timedelta(days=31 * MONTHS_KEPT)
        newest = all(flock != (exhibit, lookalike) for flock, _ in seen)
        seen.add(month)
        if not (recent or last_of_month or newest):
            gone.append(pk)
    PresenceCheckpoint.objects.filter(pk__in=gone).delete()
