"""The bands on the shelf: how many of each, how many are spoken for, what to order, what came and went."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from django.db.models import Count, Q

from tarsus.core.care.ordering import one_line, order_of
from tarsus.core.marks.marks import METAL
from tarsus.core.marks.sizes import named_band
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.kept_marks import bands_asked_for, spoken_for
from tarsus.queries.told_deeds import NOTHING_MORE, Provenance, provenance_of
from tarsus.records.models import Band, MetalSeries, Stock, StockChange, ToldDeed
from tarsus.records.models.words import BandKind

LAST: Final = 30
NUMBERED: Final = (BandKind.METAL, BandKind.CLOSED)


@dataclass(frozen=True, slots=True)
class Compartment:
    """One kind, colour and size of bands in the drawer.

    `name`: as it is ordered. `hex`: its colour, empty for metal. `spoken_for`: how many kept marks wait for.
    `worn`: birds that wear one now. `order`: how many to order, `why` says why.
    """

    stock_id: int
    kind: str
    colour: str
    letter: str
    hex: str
    name: str
    size: str
    amount: int
    order_below: int
    spoken_for: int
    worn: int
    order: int
    why: str


@dataclass(frozen=True, slots=True)
class Run:
    """A run of numbered metal bands.

    `used`: how many of them were ever fitted. `following`: the first number after the last one used, empty
    where the run is used up. `numbers`: the next ones as they are cut into the bands.
    """

    series: str
    prefix: str
    first: int
    last: int
    size: str
    used: int
    following: str
    numbers: tuple[str, ...] = ()

    @property
    def left(self) -> int:
        """How many numbers were not used yet."""
        return self.last - self.first + 1 - self.used


@dataclass(frozen=True, slots=True)
class Change:
    """What came into the drawer or left it. `bird_id` where it went onto a bird.

    `deed` and `fact` name what would be put right; `where_from` says what else there is to tell of it.
    """

    at: datetime
    by: str
    words: str
    by_amount: int
    because: str
    bird_id: int | None
    bird: str
    deed: str
    fact: UUID | None
    where_from: Provenance


@dataclass(frozen=True, slots=True)
class StockPage:
    """The drawer as it is, and its last changes."""

    compartments: tuple[Compartment, ...]
    runs: tuple[Run, ...]
    changes: tuple[Change, ...]

    @property
    def to_order(self) -> tuple[Compartment, ...]:
        """What to order."""
        return tuple(one for one in self.compartments if one.order)

    @property
    def in_one_line(self) -> str:
        """Everything to order in one line, by size, as one writes it into an order."""
        return one_line((one.order, one.name, one.size) for one in self.to_order)


def stock_page(now: datetime) -> StockPage:
    """The drawer, in a number of queries that does not grow with it.

    Args:
        now: the moment of asking.
    """
    asked, worn = bands_asked_for(day_of(now, park_zone())), _worn()
    rows = Stock.objects.select_related("colour").order_by("kind", "colour__order", "size")
    compartments = tuple(_compartment(row, asked, worn) for row in rows)
    return StockPage(compartments, _runs(), _changes())


def _compartment(
    row: Stock, asked: Mapping[tuple[str, str, str], int], worn: Mapping[tuple[str, int | None, str], int]
) -> Compartment:
    word = row.colour.name if row.colour else METAL
    wanted = spoken_for(row, word, asked)
    order = order_of(row.amount, row.order_below, wanted)
    return Compartment(
        stock_id=row.pk,
        kind=row.kind,
        colour=row.colour.name if row.colour else "",
        letter=row.colour.letter if row.colour else "",
        hex=row.colour.hex if row.colour else "",
        name=named_band(row.kind, word),
        size=row.size,
        amount=row.amount,
        order_below=row.order_below,
        spoken_for=wanted,
        worn=worn.get((row.kind, row.colour_id, row.size), 0),
        order=order.amount,
        why=order.why,
    )


def _worn() -> dict[tuple[str, int | None, str], int]:
    """Birds that wear a band, by kind, colour and size; one without a size of its own is of its species'."""
    rows = (
        Band.objects.filter(to_on__isnull=True, taken_back_at__isnull=True)
        .values_list("kind", "colour_id", "size", "bird__species__band_size")
        .annotate(birds=Count("bird", distinct=True))
    )
    worn: Counter[tuple[str, int | None, str]] = Counter()
    for kind, colour, size, usual, birds in rows:
        worn[kind, colour, size or usual] += birds
    return worn


def runs_left(most: int) -> tuple[Run, ...]:
    """The runs of metal bands that are not used up, each with its next numbers.

    Args:
        most: how many numbers of each run to name.
    """
    return tuple(run for run in _runs(most) if run.following)


def _runs(most: int = 1) -> tuple[Run, ...]:
    runs = list(MetalSeries.objects.order_by("series", "prefix", "first"))
    issued: dict[str, list[str]] = {}
    ours = Q(kind__in=NUMBERED, taken_back_at__isnull=True, series__in={run.series for run in runs})
    for series, key in (
        Band.objects.filter(ours).exclude(engraving_key="").values_list("series", "engraving_key")
    ):
        issued.setdefault(series, []).append(key)
    return tuple(_run(row, issued.get(row.series, []), most) for row in runs)


def _run(row: MetalSeries, keys: list[str], most: int) -> Run:
    numbers = [_number(key, row) for key in keys]
    used = {number for number in numbers if number is not None and row.first <= number <= row.last}
    after = max(used, default=row.first - 1) + 1
    left = range(after, min(row.last, after + most - 1) + 1)
    shown = tuple(f"{row.prefix} {number:0{row.digits}d}".strip() for number in left)
    # As it is cut into the band: with who issued it before it, unless the prefix says so.
    cut = tuple(one if row.prefix else f"{row.series} {one}" for one in shown)
    return Run(
        row.series, row.prefix, row.first, row.last, row.size, len(used), shown[0] if shown else "", cut
    )


def _number(key: str, run: MetalSeries) -> int | None:
    """The number of an engraving, which may begin with who issued it; none where it is of another run."""
    issuer, prefix = ("".join(word.split()).upper() for word in (run.series, run.prefix))
    for begins in (issuer + prefix, prefix):
        number = key.removeprefix(begins)
        if key.startswith(begins) and number.isascii() and number.isdigit():
            return int(number)
    return None


def _changes() -> tuple[Change, ...]:
    rows = list(
        StockChange.objects.select_related("stock__colour", "band__bird", "by").order_by("-at", "-pk")[:LAST]
    )
    told = [row.deed for row in rows if row.deed]
    kinds = dict(ToldDeed.objects.filter(pk__in=told).values_list("pk", "kind"))
    sources = provenance_of(told)
    return tuple(
        Change(
            at=row.at,
            by=row.by.display_name,
            words=f"{row.stock.colour.name if row.stock.colour else row.stock.kind}, size {row.stock.size}",
            by_amount=row.by_amount,
            because=row.because,
            bird_id=row.band.bird_id if row.band else None,
            bird=str(row.band.bird) if row.band else "",
            deed=kinds.get(row.deed, "") if row.deed else "",
            fact=row.deed,
            where_from=sources.get(row.deed, NOTHING_MORE) if row.deed else NOTHING_MORE,
        )
        for row in rows
    )
