"""The park's own calendar: a day begins at the park's midnight, not at Greenwich's."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.utils import timezone

from tarsus.queries.one_park import one_park


def park_zone() -> ZoneInfo:
    """The park's time zone; UTC until the park has said its own."""
    park = one_park()
    return ZoneInfo(park.time_zone if park else "UTC")


def day_of(moment: datetime, zone: ZoneInfo) -> date:
    """The park's day on which a moment falls."""
    return moment.astimezone(zone).date()


def park_today() -> date:
    """The park's day of this moment."""
    return day_of(timezone.now(), park_zone())


def day_begins(day: date, zone: ZoneInfo) -> datetime:
    """The first moment of a park's day."""
    return datetime.combine(day, time.min, tzinfo=zone)


def day_ends(day: date, zone: ZoneInfo) -> datetime:
    """The first moment that no longer belongs to a park's day. Days of 23 and 25 hours are days too."""
    return day_begins(day + timedelta(days=1), zone)
