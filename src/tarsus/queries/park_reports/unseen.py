"""The report of who was unseen when: each run of days on which a bird was looked for and not seen."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Final

from tarsus.core.reports.report import Column, Kind, Part, Report, Row
from tarsus.core.words.days import day_words
from tarsus.queries.bird_strip import DayOfBird
from tarsus.queries.park_reports.asked import Asked, Lived, lived_between
from tarsus.queries.park_reports.presence import SEEN, strips_between

_COLUMNS: Final = (
    Column("bird", wide=1),
    Column("species", wide=1),
    Column("exhibit", wide=1),
    Column("unseen from", Kind.DAY),
    Column("until", Kind.DAY),
    Column("days looked for", Kind.NUMBER),
    Column("of which doubtful or inferred", Kind.NUMBER),
    Column("days on the calendar", Kind.NUMBER),
    Column("limit of its species", Kind.NUMBER),
    Column("how it ended", wide=1),
)
NOTE: Final = (
    "A day on which nobody called its group, and one with a reason (a nest, moult, off show), ends no "
    "run and adds to none. A run that began before the first day is told from the first day on. An "
    "inferred bird is still unseen."
)


def unseen(asked: Asked) -> Report:
    """Who was looked for and not seen in a span of days, the longest run first."""
    birds = lived_between(asked)
    strips = strips_between(asked, birds)
    rows = [row for bird in birds for row in _runs(bird, strips[bird.bird_id])]
    # The calendar's days stand at their place in the columns; the longest absence leads.
    rows.sort(key=lambda row: (-int(str(row.cells[7])), row.key))
    table = Part("Birds unseen", _COLUMNS, tuple(rows), "Every bird that was looked for was seen.")
    return Report("unseen", "Unseen", asked.words, (table,), (NOTE,))


def _runs(bird: Lived, days: tuple[DayOfBird, ...]) -> Iterator[Row]:
    run: list[DayOfBird] = []
    for one in days:
        if one.how == "not looked for":
            continue
        if one.how not in SEEN:
            run.append(one)
        elif run:
            yield _row(bird, run, one.day, one.how)
            run = []
    if run:
        yield _row(bird, run, None, "")


def _row(bird: Lived, run: list[DayOfBird], seen_on: date | None, how: str) -> Row:
    first, last = run[0].day, run[-1].day
    unsure = sum(one.how != "missed" for one in run)
    ended = f"seen {day_words(seen_on)}, {how}" if seen_on else "not seen again in this span"
    calendar = (last - first).days + 1
    cells = (bird.name, bird.species, bird.where, first, last, len(run), unsure, calendar, bird.limit, ended)
    return Row((str(bird.bird_id), first.isoformat()), cells, bird.bird_id)
