"""The report of a month's presence: of each bird on how many days it was looked for, seen and missed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Final

from tarsus.core.reports.report import Column, Kind, Part, Report, Row
from tarsus.queries.bird_strip import DayOfBird, strips_of
from tarsus.queries.park_reports.asked import Asked, Lived, lived_between

SEEN: Final = frozenset({"by reading", "by sight"})
UNSURE: Final = frozenset({"doubtful", "inferred"})
_COLUMNS: Final = (
    Column("bird", wide=1),
    Column("species", wide=1),
    Column("exhibit", wide=1),
    Column("days looked for", Kind.NUMBER, summed=True),
    Column("seen", Kind.NUMBER, summed=True),
    Column("doubtful or inferred", Kind.NUMBER, summed=True),
    Column("missed", Kind.NUMBER, summed=True),
    Column("excused", Kind.NUMBER, summed=True),
    Column("seen of looked for", Kind.SHARE),
    Column("last seen", Kind.DAY),
)
NOTE: Final = (
    "A day counts where the bird's look-alike group was called to the end where it lived. Seen is by "
    "sight or by a sure reading; doubtful and inferred ones clear nobody. Seen is not well."
)


def strips_between(asked: Asked, birds: tuple[Lived, ...]) -> Mapping[int, tuple[DayOfBird, ...]]:
    """Each bird's days of a span, the oldest first; days after the moment of asking are left out."""
    until = min(asked.now, asked.ends - timedelta(seconds=1))
    days = (asked.last - asked.first).days + 1 - max(0, (asked.ends - timedelta(seconds=1) - until).days)
    if not birds or until < asked.begins:
        return {bird.bird_id: () for bird in birds}
    return strips_of(tuple(bird.bird_id for bird in birds), until, days)


def presence(asked: Asked) -> Report:
    """Who was here in a span of days, in a number of queries that does not grow with birds."""
    birds = lived_between(asked)
    strips = strips_between(asked, birds)
    rows = tuple(_row(bird, strips[bird.bird_id]) for bird in birds)
    table = Part("Birds", _COLUMNS, rows, "No bird lived here.")
    return Report("presence", "Presence", asked.words, (table,), (NOTE,))


def _row(bird: Lived, days: tuple[DayOfBird, ...]) -> Row:
    looked = [one for one in days if one.how != "not looked for"]
    seen = [one.day for one in looked if one.how in SEEN]
    unsure = sum(one.how in UNSURE for one in looked)
    missed = sum(one.how == "missed" for one in looked)
    excused = sum(bool(one.excused) and one.how == "not looked for" for one in days)
    share = len(seen) / len(looked) if looked else None
    cells = (bird.name, bird.species, bird.where, len(looked), len(seen), unsure, missed, excused)
    return Row((str(bird.bird_id),), (*cells, share, max(seen, default=None)), bird.bird_id)
