"""Days counted back from the day the demo is loaded, in the park's own time zone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo


@dataclass(frozen=True)
class Calendar:
    """Turn *eight days ago at 07:30* into dates and aware moments."""

    today: date
    time_zone: str

    @cached_property
    def zone(self) -> ZoneInfo:
        """The park's time zone."""
        return ZoneInfo(self.time_zone)

    def day(self, days_ago: int) -> date:
        """The date so many days before today; negative lies ahead."""
        return self.today - timedelta(days=days_ago)

    def at(self, days_ago: int, clock: str, seconds: float = 0.0) -> datetime:
        """A moment of that day by the park's own clock, and so many seconds after it."""
        hour, minute = (int(part) for part in clock.split(":"))
        start = datetime.combine(self.day(days_ago), time(hour, minute), self.zone)
        return start + timedelta(seconds=seconds)
