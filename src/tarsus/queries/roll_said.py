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
    deed_in_full: str
    wanted: bool


@dataclass(frozen=True, slots=True)
class RollDeed:
    """What can be done about a roll call now: its key, in full for whoever hears it, whether it is wanted."""

    words: str
    in_full: str
    wanted: bool


def roll_deed(one: ExhibitToday) -> RollDeed:
    """What can be done about a roll call now; without words where no bird is and nothing was begun."""
    if not one.on_roll and not one.begun_at:
        return RollDeed("", "", wanted=False)
    name = one.name
    match one.state:
        case "open":
            return RollDeed("Join", f"Join roll call: {name}", wanted=True)
        case "called":
            return RollDeed("Again", f"Call again: {name}", wanted=False)
        case _:
            return RollDeed("Call", f"Call {name}", wanted=one.state != "not done")


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
    deed = roll_deed(one)
    box, words = _state(one, now) if deed.words else ("empty", "No birds")
    return RollSaid(one, box, words, short, deed.words, deed.in_full, deed.wanted)


def _state(one: ExhibitToday, now: datetime) -> tuple[Box, str]:
    match one.state:
        case "open":
            return "half", f"Open since {_at(one.begun_at, now)}: {one.seen} seen"
        case "called":
            return "full", f"Called {_at(one.begun_at, now)}"
        case "in part":
            return "half", "Called in part"
        case "not done":
            return "struck", f"Not done: {one.because}"
        case _:
            return "empty", "To call"


def _at(moment: datetime | None, now: datetime) -> str:
    if moment is None:
        return ""
    zone = park_zone()
    here = moment.astimezone(zone)
    return f"{here:%H:%M}" if day_of(moment, zone) == day_of(now, zone) else f"{here:%-d %b, %H:%M}"
