"""Reports that still prompt a look: what visitors told, and whom it may be about."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from tarsus.queries.flock import FlockBird
from tarsus.queries.last_seen import CLEARED
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.records.models import Report, ReportAnswered, Sighting
from tarsus.records.standing import standing


@dataclass(frozen=True, slots=True)
class OpenReport:
    """A report that nobody has looked into, or whose birds were not all seen since.

    `birds` are those it may be about that nobody has seen since; `names` are all it may be about. `exhibits`
    are where it was told to be and where its birds live.
    """

    report_id: UUID
    at: datetime
    told_by: str
    heard_by: str
    said: str
    exhibit: str
    place: str
    birds: tuple[Portrait, ...]
    names: tuple[str, ...]
    exhibits: frozenset[int]


def open_reports(birds: Iterable[FlockBird]) -> tuple[OpenReport, ...]:
    """The reports that still prompt a look, the latest first; in three queries.

    Args:
        birds: all birds of the park today.

    Returns:
        A report leaves the list when each bird it names was observed since and named for sure, when somebody
        said what a look found, or when it was withdrawn. One that names nobody waits for the look.
    """
    rows = list(
        standing(Report.objects.all())
        .exclude(pk__in=standing(ReportAnswered.objects.all()).values("report"))
        .select_related("exhibit", "place", "recorded_by")
        .prefetch_related("birds__bird")
        .order_by("-happened_at", "pk")
    )
    seen = _seen_since(rows)
    living = {bird.bird_id: bird for bird in birds}
    told = [_open(row, living, seen) for row in rows]
    return tuple(one for one in told if one is not None)


def _seen_since(rows: list[Report]) -> dict[int, datetime]:
    """When each bird that a report names was last observed for sure, since the oldest of the reports."""
    named = {about.bird_id for row in rows for about in row.birds.all()}
    if not named:
        return {}
    sightings = standing(
        Sighting.objects.filter(
            CLEARED, bird_id__in=named, happened_at__gt=min(row.happened_at for row in rows)
        )
    ).values_list("bird_id", "happened_at")
    last: dict[int, datetime] = {}
    for bird, at in sightings:
        if bird is not None:
            last[bird] = max(at, last.get(bird, at))
    return last


def _open(row: Report, living: dict[int, FlockBird], seen: dict[int, datetime]) -> OpenReport | None:
    about = [one.bird for one in row.birds.all()]
    unseen = [bird for bird in about if seen.get(bird.pk, row.happened_at) <= row.happened_at]
    if about and not unseen:
        return None
    here = [living[bird.pk] for bird in unseen if bird.pk in living]
    exhibits = {bird.exhibit_id for bird in here} | ({row.exhibit_id} - {None})
    return OpenReport(
        report_id=row.pk,
        at=row.happened_at,
        told_by=row.told_by or "a visitor",
        heard_by=row.recorded_by.display_name,
        said=row.said,
        exhibit=row.exhibit.name if row.exhibit else "",
        place=row.place.name if row.place else "",
        birds=tuple(portrait_of(bird) for bird in here),
        names=tuple(str(bird) for bird in about),
        exhibits=frozenset(one for one in exhibits if one is not None),
    )


def reports_as_told(
    reports: Iterable[OpenReport], exhibit_id: int, said: Callable[[datetime], str]
) -> list[dict[str, Any]]:
    """The open reports about one exhibit as its pack carries them; `said` writes a moment down."""
    return [
        {
            "id": str(report.report_id),
            "at": said(report.at),
            "told_by": report.told_by,
            "said": report.said,
            "birds": [bird.bird_id for bird in report.birds],
        }
        for report in reports
        if exhibit_id in report.exhibits
    ]
