"""How long a word that a bird is not looked for holds, before somebody has to say it again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

HOLDS_DAYS: Final = {"nest-sitting": 42, "moult": 42}
"""A clutch and its brood, or a moult, take up to six weeks in the kinds we know of (common practice)."""
HOLDS_OTHERWISE_DAYS: Final = 14


@dataclass(frozen=True, slots=True)
class Excuse:
    """Why a bird, or every bird of an exhibit, is not looked for from a day until, not including, another.

    `told_on`: the day on which somebody said so. A word about days that have passed excuses none of them:
    who was searched for is searched for still.
    """

    bird_id: int | None
    exhibit_id: int | None
    from_on: date
    to_on: date | None
    why: str
    told_on: date

    @property
    def begins(self) -> date:
        """The first day on which it holds."""
        return max(self.from_on, self.told_on)

    @property
    def runs_out(self) -> date:
        """The first day on which it holds no more unless it is said again."""
        return self.begins + timedelta(days=HOLDS_DAYS.get(self.why, HOLDS_OTHERWISE_DAYS))

    @property
    def ends(self) -> date:
        """The first day on which it holds no more."""
        return self.runs_out if self.to_on is None else min(self.to_on, self.runs_out)

    def holds(self, day: date) -> bool:
        """Whether it holds on a day."""
        return self.begins <= day < self.ends

    def waits_for_renewal(self, day: date) -> bool:
        """Whether it has run out by a day without anybody having ended it."""
        return self.runs_out <= day and (self.to_on is None or self.to_on > day)


def excused(excuses: Iterable[Excuse], day: date) -> str:
    """Why a bird with these excuses is not looked for on a day, empty where it is."""
    return next((one.why for one in excuses if one.holds(day)), "")


def excused_days(excuses: Iterable[Excuse], after: date, until: date) -> int:
    """On how many days a bird with these excuses was excused: those after one day, until and with another."""
    mine = tuple(excuses)
    if not mine:
        return 0
    days = (after + timedelta(days=day + 1) for day in range((until - after).days))
    return sum(bool(excused(mine, day)) for day in days)


def run_out(excuses: Iterable[Excuse], day: date) -> Excuse | None:
    """The newest excuse that waits to be said again, if no other holds."""
    mine = tuple(excuses)
    if excused(mine, day):
        return None
    waiting = [one for one in mine if one.waits_for_renewal(day)]
    return max(waiting, key=lambda one: one.begins, default=None)
