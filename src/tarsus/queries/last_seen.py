"""When and where birds were last seen, and where they usually are."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from django.db.models import Count, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import ExtractHour

from tarsus.core.readings.times_of_day import part_of_day
from tarsus.core.rounds.naming import BY_READING, BY_SIGHT
from tarsus.core.words.certainty import DOUBTFUL_BELOW
from tarsus.records.models import Bird, Sighting
from tarsus.records.standing import standing

CLEARED: Final = Q(how=BY_SIGHT) | Q(how=BY_READING, chance__gte=DOUBTFUL_BELOW)
"""Sightings that make their bird a seen one, as `core.rounds.naming.clears` says of one."""

USUAL_OVER: Final = timedelta(days=60)
"""Over so long what is usual for a bird is looked at (ours)."""


@dataclass(frozen=True, slots=True)
class LastSeen:
    """The latest time that somebody saw a bird."""

    sighting_id: str
    at: datetime
    exhibit_id: int
    place_id: int | None
    place: str
    how: str
    by: str


def last_seen(bird_ids: Iterable[int], until: datetime | None = None) -> dict[int, LastSeen]:
    """The latest observed sighting of each bird, in two queries; a bird nobody has seen is left out.

    Args:
        bird_ids: whose.
        until: only sightings before this moment, where given.

    Returns:
        bird -> when, where and how; inferred and doubtful sightings do not count, withdrawn ones neither.
    """
    ids = list(bird_ids)
    latest = standing(Sighting.objects.all()).filter(CLEARED, bird=OuterRef("pk"))
    if until is not None:
        latest = latest.filter(happened_at__lt=until)
    newest = latest.order_by("-happened_at", "-recorded_at").values("pk")[:1]
    wanted = (
        Bird.objects.filter(pk__in=ids).annotate(newest=Subquery(newest)).values_list("newest", flat=True)
    )
    rows = Sighting.objects.filter(pk__in=[pk for pk in wanted if pk]).select_related("place", "recorded_by")
    return {row.bird_id: _as_last_seen(row) for row in rows if row.bird_id is not None}


def _as_last_seen(row: Sighting) -> LastSeen:
    return LastSeen(
        sighting_id=str(row.pk),
        at=row.happened_at,
        exhibit_id=row.exhibit_id,
        place_id=row.place_id,
        place=row.place.name if row.place else "",
        how=row.how,
        by=row.recorded_by.display_name,
    )


def _seen_in(exhibit_id: int, until: datetime) -> QuerySet[Sighting]:
    """Sightings of birds that somebody named in an exhibit, lately until a moment."""
    span = {"happened_at__gt": until - USUAL_OVER, "happened_at__lte": until}
    named = Sighting.objects.filter(CLEARED, exhibit_id=exhibit_id, bird__isnull=False, **span)
    return standing(named)


def usual_times(exhibit_id: int, until: datetime, zone: ZoneInfo) -> dict[int, dict[str, int]]:
    """In which parts of the day each bird of an exhibit was seen lately, in one query.

    Args:
        exhibit_id: only sightings in this exhibit.
        until: the end of the span.
        zone: the park's, whose clock says what morning is.

    Returns:
        bird -> part of the day -> number of sightings; a bird without sightings is left out.
    """
    seen = _seen_in(exhibit_id, until)
    rows = seen.annotate(hour=ExtractHour("happened_at", tzinfo=zone)).values("bird_id", "hour")
    times: dict[int, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for bird, hour, number in rows.annotate(times=Count("pk")).values_list("bird_id", "hour", "times"):
        assert bird is not None
        times[bird][part_of_day(hour)] += number
    return {bird: dict(by_part) for bird, by_part in times.items()}


def usual_places(exhibit_id: int, until: datetime) -> dict[int, dict[int, float]]:
    """Where each bird of an exhibit was seen lately, as shares of its sightings, in one query.

    Args:
        exhibit_id: only sightings in this exhibit, and at a place that was said.
        until: the end of the span.

    Returns:
        bird -> place -> share; each bird's shares sum to 1, a bird without sightings is left out.
    """
    seen = _seen_in(exhibit_id, until).filter(place__isnull=False)
    times: dict[int, dict[int, int]] = defaultdict(dict)
    rows = seen.values("bird_id", "place_id").annotate(times=Count("pk")).order_by("bird_id", "place_id")
    for bird, place, number in rows.values_list("bird_id", "place_id", "times"):
        assert bird is not None
        assert place is not None
        times[bird][place] = number
    return {
        bird: {place: number / sum(at.values()) for place, number in at.items()} for bird, at in times.items()
    }
