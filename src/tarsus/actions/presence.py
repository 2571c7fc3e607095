"""Keep the watch's checkpoints: what was known of each flock at the end of a day."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Final

from django.db import transaction

from tarsus.core.presence.checkpoint import FORMAT
from tarsus.queries.days import day_begins, day_of, park_zone
from tarsus.queries.late_facts import first_late_days
from tarsus.queries.watch_facts import Flock
from tarsus.queries.watch_state import Carried, flock_choices, watched_flocks
from tarsus.records.models import Exhibit, PresenceCheckpoint

DAYS_KEPT: Final = 7
MONTHS_KEPT: Final = 12
MARGIN: Final = timedelta(minutes=5)
"""A fact may be written a moment before it can be read: what was written last is looked at once more."""


@transaction.atomic
def keep_checkpoints(now: datetime) -> int:
    """Carry the watch of every flock forward to yesterday's end and keep it.

    Asking twice changes nothing. Facts that came late make it go back to the last checkpoint before them,
    and a changed hazard or limit to the beginning; either way what is kept equals what the facts say.

    Args:
        now: the moment of asking; the park's day that is running is left out.

    Returns:
        How many checkpoints were written.
    """
    zone = park_zone()
    yesterday = day_of(now, zone) - timedelta(days=1)
    _drop_unsound(yesterday)
    if not _behind(yesterday, flock_choices(yesterday + timedelta(days=1))):
        return 0
    told = watched_flocks(None, day_begins(yesterday + timedelta(days=1), zone), known_at=now)
    rows = [
        PresenceCheckpoint(
            exhibit_id=flock[0],
            lookalike=flock[1],
            on_day=yesterday,
            facts_until=now - MARGIN,
            state=carried.as_plain(),
        )
        for flock, carried in told.flocks.items()
    ]
    PresenceCheckpoint.objects.filter(on_day__gte=yesterday).delete()
    PresenceCheckpoint.objects.bulk_create(rows)
    _thin_out(yesterday)
    return len(rows)


def rebuilt(now: datetime) -> dict[Flock, Carried]:
    """The watch as it comes out of the facts alone, checkpoints left aside, up to yesterday's end."""
    zone = park_zone()
    until = day_begins(day_of(now, zone), zone)
    return watched_flocks(None, until, known_at=now, anew=True).flocks


def _drop_unsound(yesterday: date) -> None:
    """Drop checkpoints that later words, or other choices of the park, no longer bear out."""
    kept = PresenceCheckpoint.objects.all()
    kept.exclude(state__flock__format=FORMAT).delete()
    newest = kept.order_by("-on_day").values_list("facts_until", flat=True).first()
    if newest is None:
        return
    exhibits = list(Exhibit.objects.values_list("pk", flat=True))
    for exhibit, day in first_late_days(exhibits, newest, park_zone()).items():
        if day <= yesterday:
            kept.filter(exhibit_id=exhibit, on_day__gte=day).delete()
    kept.filter(on_day__gt=yesterday).delete()


def _behind(yesterday: date, choices: Mapping[Flock, list[float]]) -> bool:
    """Whether any flock lacks yesterday's checkpoint, or holds one that rests on other choices."""
    rows = PresenceCheckpoint.objects.values_list("exhibit_id", "lookalike", "on_day", "state__rules")
    newest: dict[Flock, date] = {}
    rest_on_others: set[Flock] = set()
    for exhibit, lookalike, on_day, rules in rows.order_by("on_day"):
        flock = (exhibit, lookalike)
        newest[flock] = on_day
        if flock in choices and list(rules) != choices[flock]:
            rest_on_others.add(flock)
    for exhibit, lookalike in rest_on_others:
        PresenceCheckpoint.objects.filter(exhibit_id=exhibit, lookalike=lookalike).delete()
    return bool(rest_on_others) or any(newest.get(flock) != yesterday for flock in choices)


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
