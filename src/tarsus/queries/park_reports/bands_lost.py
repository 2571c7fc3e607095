"""The report of bands lost: which kind and colour, how many for how long worn, and each of them by name."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import Final

from tarsus.core.marks.marks import METAL
from tarsus.core.reports.report import Column, Kind, Part, Report, Row
from tarsus.queries.park_reports.asked import Asked, day_at_park, lived_between
from tarsus.records.models import Band
from tarsus.records.standing import end_of, lasting_after

LOST: Final = "lost"
YEAR: Final = 365.25
LEAST_YEARS: Final = 5
"""Of fewer years worn no rate is told: one band lost would make a hundred. Ours."""

_SUMS: Final = (
    Column("kind"),
    Column("colour", wide=1),
    Column("worn", Kind.NUMBER, summed=True),
    Column("years worn", Kind.NUMBER, summed=True),
    Column("lost", Kind.NUMBER, summed=True),
    Column("lost of 100 worn for a year", Kind.NUMBER),
)
_EACH: Final = (
    Column("lost by", Kind.DAY),
    Column("bird", wide=1),
    Column("species", wide=1),
    Column("band", wide=1),
    Column("number"),
    Column("where"),
    Column("fitted", Kind.DAY),
    Column("note", wide=1),
)
NOTE: Final = (
    "Lost by is the day on which the loss was told; the band came off some time before. Years worn are "
    "counted within the span alone; of fewer than five no rate is told. Bands replaced, taken off or "
    "cut are not lost ones."
)


def bands_lost(asked: Asked) -> Report:
    """The bands lost in a span of days, the most first, in a constant number of queries."""
    rows = lasting_after(Band.objects.filter(from_on__lte=asked.last), asked.first - timedelta(days=1))
    if asked.exhibit_id is not None:
        rows = rows.filter(bird_id__in=[bird.bird_id for bird in lived_between(asked)])
    bands = list(rows.select_related("bird__species", "colour").order_by("to_on", "pk"))
    each = tuple(_each(band, end) for band, end in _lost(bands, asked))
    parts = (
        Part("By kind and colour", _SUMS, tuple(_sums(bands, asked)), "No band was worn."),
        Part("Each of them", _EACH, each, "No band was lost."),
    )
    return Report("bands-lost", "Bands lost", asked.words, parts, (NOTE,))


def _lost(bands: Iterable[Band], asked: Asked) -> Iterator[tuple[Band, date]]:
    for band in bands:
        end = end_of(band.to_on, band.ended_at)
        if end is not None and band.why_off == LOST and asked.first <= end <= asked.last:
            yield band, end


def _sums(bands: Iterable[Band], asked: Asked) -> Iterator[Row]:
    worn: dict[tuple[str, str], list[Band]] = defaultdict(list)
    for band in bands:
        worn[band.kind, band.colour.name if band.colour else METAL].append(band)
    lost = {key: sum(1 for _ in _lost(own, asked)) for key, own in worn.items()}
    last = min(asked.last, day_at_park(asked.now))
    for key in sorted(worn, key=lambda one: (-lost[one], one)):
        years = sum(_days(band, asked.first, last) for band in worn[key]) / YEAR
        rate = round(100 * lost[key] / years, 1) if years >= LEAST_YEARS else None
        yield Row(key, (*key, len(worn[key]), round(years, 2), lost[key], rate))


def _days(band: Band, first: date, last: date) -> int:
    end = end_of(band.to_on, band.ended_at)
    until = last + timedelta(days=1) if end is None else min(end, last + timedelta(days=1))
    return max(0, (until - max(band.from_on, first)).days)


def _each(band: Band, end: date) -> Row:
    what = f"{band.colour.name if band.colour else ''} {band.kind}".strip()
    number = band.engraving
    cells = (end, str(band.bird), band.bird.species.name, what, number, band.site, band.from_on, band.note)
    return Row((str(band.pk),), cells, band.bird_id)
