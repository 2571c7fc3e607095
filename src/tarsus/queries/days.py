"""The park's own calendar: a day begins at the park's midnight, not at Greenwich's."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tarsus.queries.once import once
from tarsus.records.models import Park


@once
def park_zone() -> ZoneInfo:
    """The park's time zone; UTC until the park has said its own."""
    name = Park.objects.values_list("time_zone", flat=True).first()
    return ZoneInfo(name or "UTC")


def day_of(moment: datetime, zone: ZoneInfo) -> date:
    """The park's day on which a moment falls."""
    return moment.astimezone(zone).date()


def day_begins(day: date, zone: ZoneInfo) -> datetime:
    """The first moment of a park's day."""
    return datetime.combine(day, time.min, tzinfo=zone)


def day_ends(day: date, zone: ZoneInfo) -> datetime:
    """The first moment that no longer belongs to a park's day. Days of 23 and 25 hours are days too."""
    return day_begins(day + timedelta(days=1), zone)
