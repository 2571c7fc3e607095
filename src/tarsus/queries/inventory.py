"""The inventory of the register, and how a printed one differs from what is known now."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date, datetime, timedelta
from typing import Any

from tarsus.core.care.inventory.balance import Inventory, InventoryLine, birds_behind, inventory
from tarsus.queries.lives import bird_lives, nest_lives, unnamed_carcases
from tarsus.records.models import Bird, Exhibit, PrintedInventory


@dataclass(frozen=True, slots=True)
class Adjustment:
    """One number that is another one now than when the inventory was printed.

    `basis` is ``held`` or ``owned``; `found_out_on` the day on which the difference was looked for.
    """

    basis: str
    species: str
    sex: str
    column: str
    printed: int
    now: int
    found_out_on: date


@dataclass(frozen=True, slots=True)
class Printed:
    """An inventory as it was printed, with what has become known since."""

    printed_id: int
    month: date
    printed_at: datetime
    printed_by: str
    lines: Mapping[str, tuple[InventoryLine, ...]]
    adjustments: tuple[Adjustment, ...]


def inventory_between(first_day: date, last_day: date, exhibits: Collection[int] | None = None) -> Inventory:
    """The inventory of a span of days as it is known now, in a constant number of queries.

    Args:
        first_day: the first day, and
        last_day: the last; both belong to the span.
        exhibits: only birds held in these; `None` is the whole park.

    Raises:
        WrongValue: the span ends before it begins.
    """
    return inventory(bird_lives(), nest_lives(), unnamed_carcases(), first_day, last_day, exhibits=exhibits)


@dataclass(frozen=True, slots=True)
class ExhibitInventory:
    """The inventory of one exhibit; what is owned is the whole park's and stands there."""

    exhibit_id: int
    exhibit: str
    inventory: Inventory


def inventory_by_exhibit(first_day: date, last_day: date) -> tuple[ExhibitInventory, ...]:
    """The inventory of each exhibit that held a bird in a span of days, in a constant number of queries.

    A move between two of them is *moved out* of one and *moved in* to the other.

    Args:
        first_day: the first day, and
        last_day: the last; both belong to the span.

    Raises:
        WrongValue: the span ends before it begins.
    """
    told = bird_lives(), nest_lives(), unnamed_carcases()
    found = (
        ExhibitInventory(pk, name, inventory(*told, first_day, last_day, exhibits=(pk,)))
        for pk, name in Exhibit.objects.order_by("name").values_list("pk", "name")
    )
    return tuple(one for one in found if one.inventory.held)


def birds_of_number(
    asked: Inventory, line: InventoryLine, column: str, *, owned: bool = False
) -> tuple[tuple[int, str, date], ...]:
    """Ids, names and days of the birds behind one number of an inventory, in one query.

    Args:
        asked: the inventory.
        line: one of its lines.
        column: and the column.
        owned: whether it is a line of what is owned.
    """
    steps = asked.owned_steps if owned else asked.held_steps
    behind = birds_behind(steps, line, column, asked.first_day, asked.last_day).birds
    names = {bird.pk: str(bird) for bird in Bird.objects.filter(pk__in=[pk for pk, _ in behind])}
    return tuple((pk, names[pk], day) for pk, day in behind)


def inventory_of_month(month: date) -> Inventory:
    """The inventory of a calendar month, given by any of its days."""
    first, last = month_days(month)
    return inventory_between(first, last)


def month_days(month: date) -> tuple[date, date]:
    """The first and the last day of the month in which a day lies."""
    first = month.replace(day=1)
    return first, (first + timedelta(days=32)).replace(day=1) - timedelta(days=1)


def printed_inventories(month: date, today: date) -> tuple[Printed, ...]:
    """What was printed for a month, the oldest first, each with what has become known since.

    A printed month keeps its version. What arrives later stands beside it as an adjustment with its date.
    """
    now = as_plain(inventory_of_month(month))
    rows = PrintedInventory.objects.filter(month=month.replace(day=1)).select_related("printed_by")
    return tuple(_printed(row, now, today) for row in rows.order_by("printed_at", "pk"))


def as_plain(told: Inventory) -> dict[str, list[dict[str, Any]]]:
    """An inventory's lines as plain JSON, as a printed one is kept."""
    return {"held": [asdict(line) for line in told.held], "owned": [asdict(line) for line in told.owned]}


def _printed(row: PrintedInventory, now: Mapping[str, Any], today: date) -> Printed:
    return Printed(
        printed_id=row.pk,
        month=row.month,
        printed_at=row.printed_at,
        printed_by=row.printed_by.display_name,
        lines={basis: tuple(InventoryLine(**line) for line in row.lines[basis]) for basis in row.lines},
        adjustments=tuple(
            one
            for basis in ("held", "owned")
            for one in _differences(basis, row.lines[basis], now[basis], today)
        ),
    )


def _differences(
    basis: str, printed: Iterable[Mapping[str, Any]], now: Iterable[Mapping[str, Any]], today: date
) -> list[Adjustment]:
    was = {(line["species"], line["sex"]): line for line in printed}
    is_now = {(line["species"], line["sex"]): line for line in now}
    columns = [name for name in InventoryLine.__dataclass_fields__ if name not in ("species", "sex")]
    return [
        Adjustment(basis, *key, column, before, after, today)
        for key in sorted(was.keys() | is_now.keys())
        for column in columns
        if (before := was.get(key, {}).get(column, 0)) != (after := is_now.get(key, {}).get(column, 0))
    ]
