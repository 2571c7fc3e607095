"""Pictures that are kept with sightings: those of one bird, and the bytes of one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from tarsus.queries.one_park import one_park
from tarsus.records.models import Park, Photograph, PhotographBytes
from tarsus.records.standing import withdrawn

SHOWN = 12
"""Pictures that a bird's page shows, the latest first."""


@dataclass(frozen=True, slots=True)
class Kept:
    """One photograph of a bird: when and by whom, its size, and until when it stays.

    Where it is gone, `gone_because` says why, `gone_at` since when and `gone_by` who did it, empty for the
    register itself.
    """

    id: UUID
    at: datetime
    by: str
    width: int
    height: int
    until: datetime | None
    gone_because: str
    gone_at: datetime | None
    gone_by: str


def photographs_of(bird_id: int) -> tuple[Kept, ...]:
    """The pictures that came with this bird's sightings, those that are gone among them, in two queries."""
    days = (one_park() or Park()).pictures_days
    rows = (
        Photograph.objects.filter(~withdrawn("sighting_id"), sighting__bird_id=bird_id, width__isnull=False)
        .select_related("recorded_by", "removed__by")
        .order_by("-happened_at", "-id")[:SHOWN]
    )
    return tuple(_kept(row, days) for row in rows)


def _kept(row: Photograph, days: int) -> Kept:
    gone = getattr(row, "removed", None)
    return Kept(
        row.pk,
        row.happened_at,
        str(row.recorded_by),
        row.width or 0,
        row.height or 0,
        None if gone else row.recorded_at + timedelta(days=days),
        gone.because if gone else "",
        gone.at if gone else None,
        str(gone.by or "") if gone else "",
    )


def jpeg_of(photograph_id: UUID) -> bytes | None:
    """The bytes of a kept picture; nothing where there is none, or its sighting was taken back."""
    rows = PhotographBytes.objects.filter(~withdrawn("photograph__sighting_id"), pk=photograph_id)
    found = rows.values_list("jpeg", flat=True).first()
    return None if found is None else bytes(found)
