"""The ids that names of the invented park turn into, given step by step while its rows are told."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo


@dataclass
class Keys:
    """Names to ids. `bands` is by (bird, site, order, day it was fitted); `places` by (exhibit, place)."""

    zone: ZoneInfo
    by: int = 0
    people: dict[str, int] = field(default_factory=dict)
    exhibits: dict[str, int] = field(default_factory=dict)
    places: dict[tuple[str, str], int] = field(default_factory=dict)
    colours: dict[str, int] = field(default_factory=dict)
    species: dict[str, int] = field(default_factory=dict)
    birds: dict[str, int] = field(default_factory=dict)
    bands: dict[tuple[str, str, int, date], int] = field(default_factory=dict)
    pairs: dict[tuple[int, int], int] = field(default_factory=dict)

    def at_noon(self, day: date) -> datetime:
        """Noon of a day by the park's clock, for facts of which only the day is known."""
        return datetime.combine(day, time(12), self.zone).astimezone(UTC)

    def told(self, moment: datetime, by: str | None = None) -> dict[str, object]:
        """What every fact carries: who, when it happened, when it was written."""
        person = self.by if by is None else self.people[by]
        return {"recorded_by_id": person, "happened_at": moment, "recorded_at": moment}

    def spell(self, since: date, until: date | None) -> dict[str, object]:
        """What every spell carries, with the end where there is one."""
        ended = until is not None
        return {
            "from_on": since,
            "to_on": until,
            "recorded_by_id": self.by,
            "recorded_at": self.at_noon(since),
            "ended_by_id": self.by if ended else None,
            "ended_at": self.at_noon(until) if until is not None else None,
        }
