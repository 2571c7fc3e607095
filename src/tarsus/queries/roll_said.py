"""How far the roll call of an exhibit is, in a few words for a line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from tarsus.queries.days import day_of, park_zone
from tarsus.queries.roll_today import ExhibitToday, ShortCount

Box = Literal["empty", "half", "full", "struck"]


@dataclass(frozen=True, slots=True)
class RollSaid:
    """The state of a roll call as a line shows it: a box, the words, how many are short, and the deed."""

    exhibit: ExhibitToday
    box: Box
    words: str
    short: int
    deed: str
    wanted: bool


def rolls_said(
    exhibits: Iterable[ExhibitToday], short: Iterable[ShortCount], now: datetime
) -> tuple[RollSaid, ...]:
    """Each exhibit with its state in words; a time alone is always one of today."""
    counts = tuple(short)
    return tuple(
        _said(one, sum(count.missing for count in counts if count.exhibit_id == one.exhibit_id), now)
        for one in exhibits
    )


def _said(one: ExhibitToday, short: int, now: datetime) -> RollSaid:
    if not one.on_roll and not one.begun_at:
        return RollSaid(one, "empty", "No birds", short, "", wanted=False)
    match one.state:
        case "open":
            told = f"Open since {_at(one.begun_at, now)}: {one.seen} seen"
            return RollSaid(one, "half", told, short, "Join", wanted=True)
        case "called":
            return RollSaid(one, "full", f"Called {_at(one.begun_at, now)}", short, "Again", wanted=False)
        case "in part":
            return RollSaid(one, "half", "Called in part", short, "Call", wanted=True)
        case "not done":
            return RollSaid(one, "struck", f"Not done: {one.because}", short, "Call", wanted=False)
        case _:
            return RollSaid(one, "empty", "To call", short, "Call", wanted=True)


def _at(moment: datetime | None, now: datetime) -> str:
    if moment is None:
        return ""
    zone = park_zone()
    here = moment.astimezone(zone)
    return f"{here:%H:%M}" if day_of(moment, zone) == day_of(now, zone) else f"{here:%-d %b, %H:%M}"
