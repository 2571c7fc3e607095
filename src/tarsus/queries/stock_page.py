"""The bands on the shelf: how many of each, how many are spoken for, what to order, what came and went."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from django.db.models import Count, Q

from tarsus.core.marks.marks import METAL
from tarsus.records.models import Band, MetalSeries, PlannedMarks, Stock, StockChange
from tarsus.records.models.words import BandKind

LAST: Final = 30
NUMBERED: Final = (BandKind.METAL, BandKind.CLOSED)


@dataclass(frozen=True, slots=True)
class Compartment:
    """One kind, colour and size of bands in the drawer.

    `hex`: its colour, empty for metal. `spoken_for`: bands of this kind and colour that kept marks wait for,
    whatever their size. `worn`: birds that wear one now. `order`: how many to order, `why` says why.
    """

    stock_id: int
    kind: str
    colour: str
    letter: str
    hex: str
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
    where the run is used up.
    """

    series: str
    prefix: str
    first: int
    last: int
    size: str
    used: int
    following: str

    @property
    def left(self) -> int:
        """How many numbers were not used yet."""
        return self.last - self.first + 1 - self.used


@dataclass(frozen=True, slots=True)
class Change:
    """What came into the drawer or left it. `bird_id` where it went onto a bird."""

    at: datetime
    by: str
    words: str
    by_amount: int
    because: str
    bird_id: int | None
    bird: str


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


def stock_page() -> StockPage:
    """The drawer, in a number of queries that does not grow with it."""
    spoken_for, worn = _spoken_for(), _worn()
    rows = Stock.objects.select_related("colour").order_by("kind", "colour__order", "size")
    compartments = tuple(_compartment(row, spoken_for, worn) for row in rows)
    return StockPage(compartments, _runs(), _changes())


def _compartment(
    row: Stock, spoken_for: Mapping[str, int], worn: Mapping[tuple[str, int | None], int]
) -> Compartment:
    word = row.colour.name if row.colour else METAL
    wanted = spoken_for.get(word, 0)
    # Nobody wrote down of which size kept marks want one: each size of a colour is held against all of them.
    order = max(row.order_below - row.amount if row.amount < row.order_below else 0, wanted - row.amount, 0)
    told = []
    if row.amount < row.order_below:
        told.append(f"order below {row.order_below}")
    if wanted > row.amount:
        told.append(f"kept marks wait for {wanted}")
    return Compartment(
        stock_id=row.pk,
        kind=row.kind,
        colour=row.colour.name if row.colour else "",
        letter=row.colour.letter if row.colour else "",
        hex=row.colour.hex if row.colour else "",
        size=row.size,
        amount=row.amount,
        order_below=row.order_below,
        spoken_for=wanted,
        worn=worn.get((row.kind, row.colour_id), 0),
        order=order,
        why=" · ".join(told),
    )


def _spoken_for() -> dict[str, int]:
    """By colour or *metal*, how many bands kept marks ask for beyond those the bird wears."""
    plans = list(
        PlannedMarks.objects.filter(fitted_at__isnull=True, dropped_at__isnull=True).values_list(
            "bird_id", "marks"
        )
    )
    here = Band.objects.filter(
        bird_id__in=[bird for bird, _ in plans], to_on__isnull=True, taken_back_at__isnull=True
    )
    worn: dict[tuple[int, str], Counter[str]] = {}
    for bird, site, colour in here.values_list("bird_id", "site", "colour__name"):
        worn.setdefault((bird, site), Counter())[colour or METAL] += 1
    wanted: Counter[str] = Counter()
    for bird, marks in plans:
        for site, bands in marks.items():
            wanted.update(Counter(bands) - worn.get((bird, site), Counter()))
    return dict(wanted)


def _worn() -> dict[tuple[str, int | None], int]:
    rows = (
        Band.objects.filter(to_on__isnull=True, taken_back_at__isnull=True)
        .values_list("kind", "colour_id")
        .annotate(birds=Count("bird", distinct=True))
    )
    return {(kind, colour): birds for kind, colour, birds in rows}


def _runs() -> tuple[Run, ...]:
    runs = list(MetalSeries.objects.order_by("series", "prefix", "first"))
    issued: dict[str, list[str]] = {}
    ours = Q(kind__in=NUMBERED, taken_back_at__isnull=True, series__in={run.series for run in runs})
    for series, key in (
        Band.objects.filter(ours).exclude(engraving_key="").values_list("series", "engraving_key")
    ):
        issued.setdefault(series, []).append(key)
    return tuple(_run(row, issued.get(row.series, [])) for row in runs)


def _run(row: MetalSeries, keys: list[str]) -> Run:
    numbers = [_number(key, row) for key in keys]
    used = {number for number in numbers if number is not None and row.first <= number <= row.last}
    following = max(used, default=row.first - 1) + 1
    shown = f"{row.prefix} {following:0{row.digits}d}".strip() if following <= row.last else ""
    return Run(row.series, row.prefix, row.first, row.last, row.size, len(used), shown)


def _number(key: str, run: MetalSeries) -> int | None:
    """The number of an engraving, which may begin with who issued it; none where it is of another run."""
    issuer, prefix = ("".join(word.split()).upper() for word in (run.series, run.prefix))
    for begins in (issuer + prefix, prefix):
        number = key.removeprefix(begins)
        if key.startswith(begins) and number.isascii() and number.isdigit():
            return int(number)
    return None


def _changes() -> tuple[Change, ...]:
    rows = StockChange.objects.select_related("stock__colour", "band__bird", "by").order_by("-at", "-pk")[
        :LAST
    ]
    return tuple(
        Change(
            at=row.at,
            by=row.by.display_name,
            words=f"{row.stock.colour.name if row.stock.colour else row.stock.kind}, size {row.stock.size}",
            by_amount=row.by_amount,
            because=row.because,
            bird_id=row.band.bird_id if row.band else None,
            bird=str(row.band.bird) if row.band else "",
        )
        for row in rows
    )
