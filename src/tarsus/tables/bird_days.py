"""The days of a bird's line: hatched, here since, banded, and when and how it went."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import Any

from tarsus.tables.dates import PartialDate, UnclearDate, read_date
from tarsus.tables.fates import Fate, fate_of
from tarsus.tables.known import Writing
from tarsus.tables.row_reading import RowReading


def dates_told(reading: RowReading, writing: Writing) -> dict[str, PartialDate | None]:
    """The dates of a line by field: hatched, since, arrived, banded; one that is unclear is refused."""
    read = _read_date(writing)
    dates: dict[str, PartialDate | None] = {
        field: reading.take(field, read, None) for field in ("since", "arrived", "banded")
    }
    return {"hatched": _hatched(reading, read), **dates}


def _read_date(writing: Writing) -> Callable[[str], PartialDate | None]:
    def read(text: str) -> PartialDate | None:
        return read_date(text, writing.today, writing.slashes, southern=writing.southern)

    return read


def _hatched(reading: RowReading, read: Callable[[str], PartialDate | None]) -> PartialDate | None:
    """The hatch date as far as it is understood: one that is not keeps no bird out.

    One that can be taken in two ways is asked with the file's other dates. Until that is answered the bird
    goes in with the year alone, and what was written stays in its note, so that nothing of it is lost.
    """
    text = reading.text("hatched")
    try:
        return read(text)
    except UnclearDate as unclear:
        found = None
        if unclear.either_way:
            reading.dates_asked.append(("hatched", unclear.text))
            found = _year_of(unclear.text, read)
        else:
            reading.ask("hatched", text, unclear.reason)
        kept = f"recorded as {found}" if found else "recorded as not known"
        reading.remark("hatched", f"'{unclear.text}' {unclear.reason}: {kept}; {unclear.remedy}")
        reading.to_note.append(f"hatched: {text}")
        return found


def _year_of(text: str, read: Callable[[str], PartialDate | None]) -> PartialDate | None:
    """The year of a date whose day and month may be either way round."""
    year = read(f"1.1.{re.split('[/-]', text)[-1]}")
    return None if year is None else PartialDate(year.day, "year")


def fate_told(reading: RowReading, writing: Writing) -> Fate:
    """What became of the bird, with everything about it that should be looked at kept as a remark."""
    cells = {field: reading.text(field) for field in ("status", "died", "departed", "went to", "note")}
    fate = fate_of(cells, _read_date(writing), writing.languages)
    for field, text in fate.remarks:
        reading.remark(field, text)
    for field, unclear in fate.unclear:
        reading.refuse_error(field, unclear)
    return fate


def _went_on(
    reading: RowReading, fate: Fate, dates: dict[str, PartialDate | None], today: date
) -> date | None:
    """The day a bird died or left: as it is told, otherwise the last day that its line tells of."""
    if not fate.how:
        return None
    if fate.on is not None:
        if fate.on.precision != "day":
            reading.remark(fate.how, f"{fate.on} is recorded as {fate.on.day:%-d %B %Y}")
        return fate.on.day
    told = [found.day for found in dates.values() if found is not None]
    day = max(told, default=today)
    reading.remark(
        "status" if fate.how == "missing" else fate.how,
        f"the day is not told; recorded as {day:%-d %B %Y}, " + ("the last day told" if told else "today"),
    )
    return day


def _hatched_by(hatched: PartialDate | None, went_on: date) -> date:
    """Since when a bird that is gone was here, where no line says: from its hatch, if that is known."""
    exact = hatched is not None and hatched.precision == "day" and hatched.day <= went_on
    return hatched.day if hatched is not None and exact else went_on


def _days(
    reading: RowReading, origin: str, dates: dict[str, PartialDate | None], today: date
) -> tuple[date, date | None, date | None]:
    """Since when the bird is in its exhibit, when it arrived, and when it was banded."""
    hatched, since, arrived, banded = (dates[key] for key in ("hatched", "since", "arrived", "banded"))
    for field, told in (("since", since), ("arrived", arrived), ("banded", banded)):
        if told is not None and told.precision != "day":
            reading.remark(field, f"{told} is recorded as {told.day:%-d %B %Y}")
        if told is not None and hatched is not None and _before(told, hatched):
            reading.refuse(field, f"{told} is before it hatched, {hatched}", "mend one of the two dates")
    begins = since or arrived
    if begins is None and hatched is not None and origin == "hatched here" and hatched.precision == "day":
        begins = hatched
    day = begins.day if begins else today
    if since and arrived and arrived.day < since.day:
        reading.remark(
            "since",
            f"counted here from its arrival on {arrived}: where it was before {since} is not told",
        )
        day = arrived.day
    return day, arrived.day if arrived else None, banded.day if banded else None


def _before(told: PartialDate, hatched: PartialDate) -> bool:
    if hatched.precision == "day" and told.precision == "day":
        return told.day < hatched.day
    return told.day.year < hatched.day.year and hatched.precision != "about"


def days_here(
    reading: RowReading, origin: str, dates: dict[str, PartialDate | None], fate: Fate, today: date
) -> dict[str, Any]:
    """Since when the bird is here, when it came, was banded and went, by the names of `BirdLine`."""
    since, arrived, banded = _days(reading, origin, dates, today)
    went_on = _went_on(reading, fate, dates, today)
    if went_on is not None:
        told = dates["since"] or dates["arrived"]
        since = since if told else _hatched_by(dates["hatched"], went_on)
        if went_on < since:
            reading.refuse(fate.how, f"{fate.on} is before it came, {since}", "mend one of the two dates")
    return {
        "since": since,
        "arrived": arrived,
        "banded": min(banded or since, went_on or date.max),
        "came_with_bands": bool(banded and arrived and banded < arrived),
        "fate_on": went_on,
    }
