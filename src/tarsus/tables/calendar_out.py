"""A calendar as programs subscribe to it: days with something to do, by RFC 5545."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final

LONGEST_LINE: Final = 75
"""Octets of a line, its end not counted (RFC 5545, 3.1)."""
PRODUCT: Final = "-//Tarsus//Duties//EN"


@dataclass(frozen=True, slots=True)
class CalendarDay:
    """One thing that stands on a whole day. `uid` stays the same however often it is told."""

    uid: str
    day: date
    summary: str
    description: str = ""
    category: str = ""


def calendar_text(name: str, days: Iterable[CalendarDay], made_at: datetime) -> str:
    """A calendar that a program can subscribe to.

    Args:
        name: what the program calls it.
        days: what stands in it.
        made_at: the moment of making.

    Returns:
        An iCalendar object, its lines folded and ended as the standard says.

    Source:
        RFC 5545: 3.1 (lines), 3.3.11 (text), 3.4 (object), 3.6.1 (event); RFC 7986, 5.1 (NAME).
    """
    stamp = f"{made_at.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN"]
    lines += [f"NAME:{_text(name)}", f"X-WR-CALNAME:{_text(name)}"]
    for one in days:
        lines += _event(one, stamp)
    lines.append("END:VCALENDAR")
    return "".join(f"{_folded(line)}\r\n" for line in lines)


def _event(one: CalendarDay, stamp: str) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{_text(one.uid)}"
    yield f"DTSTAMP:{stamp}"
    yield f"DTSTART;VALUE=DATE:{one.day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{one.day + timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{_text(one.summary)}"
    if one.description:
        yield f"DESCRIPTION:{_text(one.description)}"
    if one.category:
        yield f"CATEGORIES:{_text(one.category)}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _text(words: str) -> str:
    told = words.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    told = told.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")
    return "".join(letter for letter in told if letter == "\t" or letter >= " ")


def _folded(line: str) -> str:
    """A line in pieces of at most 75 octets, no letter cut in two; each piece after the first begins with a
    space.
    """
    pieces, piece, length = [], "", 0
    for letter in line:
        octets = len(letter.encode())
        if length + octets > LONGEST_LINE:
            pieces.append(piece)
            piece, length = "", 1
        piece += letter
        length += octets
    return "\r\n ".join([*pieces, piece])
