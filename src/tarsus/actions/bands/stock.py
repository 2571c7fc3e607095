"""The drawer of bands: what comes in, what is taken, what a count found."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction
from django.db.models import F

from tarsus.actions.known import known, known_person
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.records.models import Band, Colour, MetalSeries, Stock, StockChange
from tarsus.records.models.words import BandKind


def take_from_stock(band: Band, by: int) -> tuple[str, ...]:
    """Take a fitted band from the drawer, where the drawer is kept for its kind, colour and size.

    Returns:
        A sentence where the drawer should have been empty; the band on the bird is the better witness.
    """
    row = _compartment_of(band)
    if row is None:
        return ()
    if not Stock.objects.filter(pk=row.pk, amount__gt=0).update(amount=F("amount") - 1):
        return (f"the drawer had no {_words(row)} left; count it again",)
    StockChange.objects.create(stock=row, by_amount=-1, because="fitted", band=band, by_id=by)
    return ()


def put_back_in_stock(band: Band, by: int, because: str) -> None:
    """Put a band back that was taken for a bird and never was on it."""
    moved = StockChange.objects.filter(band=band)
    taken = moved.filter(by_amount=-1).first()
    if taken is None or moved.filter(by_amount=1).exists():
        return
    Stock.objects.filter(pk=taken.stock_id).update(amount=F("amount") + 1)
    StockChange.objects.create(
        stock_id=taken.stock_id, by_amount=1, because=f"not fitted: {because}"[:120], band=band, by_id=by
    )


def _compartment_of(band: Band) -> Stock | None:
    """Where a band comes from; without a size of its own it is of its species' size."""
    size = band.size or band.bird.species.band_size
    drawer = Stock.objects.filter(kind=band.kind, colour=band.colour)
    rows = list((drawer.filter(size=size) if size else drawer)[:2])
    return rows[0] if len(rows) == 1 else None


@transaction.atomic
def change_stock(
    *,
    kind: str,
    size: str,
    by_amount: int,
    because: str,
    by: int,
    colour: str = "",
    deed: UUID | None = None,
) -> int:
    """Write down that bands came in, were thrown away, or were counted anew.

    Args:
        kind: metal, colour, cable tie …
        size: as the drawer is labelled.
        by_amount: how many more, or with a minus how many fewer.
        because: delivery, count, broken …
        by: the person who says so.
        colour: a colour of the palette, empty for metal.
        deed: which told of it.

    Returns:
        How many there are now.

    Raises:
        UnknownWord: no such kind or colour.
        WrongValue: fewer than none would be left, or a size or reason is missing.
    """
    known_person(by)
    if kind not in BandKind.values:
        raise UnknownWord("kind", kind, "kind of band", BandKind.values)
    if not size.strip() or not because.strip():
        raise WrongValue("because" if size.strip() else "size", "is empty; write something")
    row, _ = Stock.objects.get_or_create(kind=kind, size=size.strip(), colour=_colour(kind, colour))
    fits = Stock.objects.filter(pk=row.pk, amount__gte=max(0, -by_amount))
    if not fits.update(amount=F("amount") + by_amount):
        raise WrongValue("by_amount", f"only {row.amount} {_words(row)} are there; take at most {row.amount}")
    StockChange.objects.create(stock=row, by_amount=by_amount, because=because.strip(), by_id=by, deed=deed)
    row.refresh_from_db(fields=["amount"])
    return row.amount


@transaction.atomic
def count_stock(*, stock_id: int, counted: int, by: int, deed: UUID | None = None) -> int:
    """Write down how many bands a count of one compartment found; the difference is kept as a change.

    Returns:
        How many more there are than the drawer said, with a minus how many fewer.

    Raises:
        Unknown: the drawer has no such compartment.
        WrongValue: fewer than none.
    """
    known_person(by)
    if counted < 0:
        raise WrongValue("counted", f"{counted} is less than none; give 0 or more")
    row = known(Stock, stock_id, "stock")
    difference = counted - row.amount
    Stock.objects.filter(pk=row.pk).update(amount=F("amount") + difference)
    StockChange.objects.create(stock=row, by_amount=difference, because="counted", by_id=by, deed=deed)
    return difference


@transaction.atomic
def count_otherwise(*, stock_id: int, difference: int, because: str, by: int) -> None:
    """Put a count right by the difference that it made, however many came and went since.

    Raises:
        WrongValue: fewer than none would be left.
    """
    row = known(Stock, stock_id, "stock")
    if row.amount + difference < 0:
        raise WrongValue("corrects", f"only {row.amount} {_words(row)} are left; count them again instead")
    Stock.objects.filter(pk=row.pk).update(amount=F("amount") + difference)
    StockChange.objects.create(stock=row, by_amount=difference, because=because, by_id=by)


@transaction.atomic
def order_stock_below(*, stock_id: int, least: int, by: int) -> None:
    """Say below how many of a band an order is due.

    Raises:
        Unknown: the drawer has no such compartment.
        WrongValue: less than none.
    """
    known_person(by)
    if least < 0:
        raise WrongValue("least", f"{least} is less than none; give 0 or more")
    row = known(Stock, stock_id, "stock")
    row.order_below = least
    row.save(update_fields=["order_below"])


@transaction.atomic
def add_metal_series(*, series: str, prefix: str, first: int, last: int, size: str, by: int) -> int:
    """Write down a run of numbered metal bands as it was issued.

    Returns:
        The run's id.

    Raises:
        WrongValue: the numbers run backwards, or part of them was issued in another run.
    """
    known_person(by)
    if last < first:
        raise WrongValue("last", f"{last} is before {first}; exchange them")
    other = MetalSeries.objects.filter(series=series, prefix=prefix, first__lte=last, last__gte=first).first()
    if other is not None:
        held = f"{other.first} to {other.last}"
        raise WrongValue("first", f"{series} {prefix} {held} is already held; leave those numbers out")
    digits = len(str(last))
    row = MetalSeries.objects.create(
        series=series, prefix=prefix, first=first, last=last, size=size, digits=digits
    )
    return row.pk


def _colour(kind: str, colour: str) -> Colour | None:
    if kind in (BandKind.METAL, BandKind.CLOSED):
        return None
    row = Colour.objects.filter(name=colour).first()
    if row is None:
        names = Colour.objects.order_by("order").values_list("name", flat=True)
        raise UnknownWord("colour", colour, "colour of the palette", names)
    return row


def _words(row: Stock) -> str:
    return " ".join(
        filter(None, [row.colour.name if row.colour else "", row.kind, "bands of size", row.size])
    )
