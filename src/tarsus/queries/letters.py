"""What a daily letter tells: what is overdue for somebody, and whom to search for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from tarsus.core.care.settling import OWN_DUTIES
from tarsus.core.presence.advice import SEARCH
from tarsus.core.words.looking_for import unseen_shortly
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.due_today import DutyLine, due_in_park
from tarsus.queries.exhibit_names import exhibit_names
from tarsus.queries.flock import birds_everywhere
from tarsus.queries.presence import presence_of_park
from tarsus.queries.unseen import Unseen, unseen_birds


@dataclass(frozen=True, slots=True)
class ParkNow:
    """What is due and who is unseen in the whole park, asked once for all letters."""

    day: date
    due: tuple[DutyLine, ...]
    unseen: tuple[Unseen, ...]
    exhibits: Mapping[int, str]


def park_now(now: datetime) -> ParkNow:
    """The park at a moment, as letters need it."""
    day = day_of(now, park_zone())
    birds, presence = birds_everywhere(day), presence_of_park(now)
    return ParkNow(
        day=day,
        due=due_in_park(now, birds, presence).pressing,
        unseen=unseen_birds(birds, presence, now),
        exhibits=exhibit_names(),
    )


def overdue_for(park: ParkNow, role: str) -> tuple[str, ...]:
    """Jobs whose day is past that are this role's own, the longest due first."""
    kinds = OWN_DUTIES.get(role)
    late = [
        (line.duty.by, line)
        for line in park.due
        if line.duty.by is not None and line.duty.by < park.day
        if kinds is None or line.duty.kind in kinds
    ]
    return tuple(_job(line) for _, line in sorted(late, key=lambda one: one[0]))


def _job(line: DutyLine) -> str:
    name = line.portrait.name if line.portrait else ""
    about = f"{name}: " if name and name not in line.duty.what else ""
    return f"{about}{line.duty.what.rstrip('.')} ({line.when})"


def to_search(park: ParkNow) -> tuple[str, ...]:
    """Birds to search for, the most worrying first: where each lives, how long unseen, likeliest place."""
    return tuple(
        f"{one.portrait.name}, {one.portrait.species.lower()}, {park.exhibits[one.portrait.exhibit_id]}: "
        + unseen_shortly(
            one.unseen_days,
            one.max_unseen_days,
            one.places[0][0] if one.places else "",
            ever_seen=one.last is not None,
        )
        for one in park.unseen
        if one.advice == SEARCH
    )
