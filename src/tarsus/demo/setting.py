"""What the rounds of one exhibit are drawn from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from tarsus.core.readings.misreading import Misreading
from tarsus.demo.calendar import Calendar
from tarsus.demo.prepared import PreparedAbsence, PreparedBird, PreparedNest, PreparedSpecies
from tarsus.demo.stories import Truth


@dataclass(frozen=True)
class Setting:
    """One exhibit with its birds, what is true of them, and how keepers read."""

    exhibit: str
    places: tuple[str, ...]
    birds: tuple[PreparedBird, ...]
    species: Mapping[str, PreparedSpecies]
    nests: tuple[PreparedNest, ...]
    absences: tuple[PreparedAbsence, ...]
    truth: Truth
    misreading: Misreading
    days: int
    seed: int
    at: Calendar


@dataclass(frozen=True)
class Visit:
    """One planned round of an exhibit: so many days ago, at this hour of the clock, and was it made?"""

    days_ago: int
    clock: str
    at: datetime
    made: bool
