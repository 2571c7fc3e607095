"""The inventory as it is known now: of the park, of each exhibit, and who is behind a number."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from tarsus.core.care.inventory.balance import Inventory, InventoryLine, birds_behind, inventory
from tarsus.core.care.inventory.lives import BirdLife, NestLife, UnnamedCarcase
from tarsus.queries.lives import bird_lives, nest_lives, unnamed_carcases
from tarsus.records.models import Bird, Exhibit

_Told = tuple[tuple[BirdLife, ...], tuple[NestLife, ...], tuple[UnnamedCarcase, ...]]


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
    return _by_exhibit((bird_lives(), nest_lives(), unnamed_carcases()), first_day, last_day)


def _by_exhibit(told: _Told, first_day: date, last_day: date) -> tuple[ExhibitInventory, ...]:
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


@dataclass(frozen=True, slots=True)
class MonthInventory:
    """A calendar month as it is known now: the whole park, and each exhibit."""

    whole: Inventory
    exhibits: tuple[ExhibitInventory, ...]


def inventory_of_month(month: date) -> MonthInventory:
    """The inventory of a calendar month, given by any of its days, in a constant number of queries."""
    first, last = month_days(month)
    told = bird_lives(), nest_lives(), unnamed_carcases()
    return MonthInventory(inventory(*told, first, last), _by_exhibit(told, first, last))


def month_days(month: date) -> tuple[date, date]:
    """The first and the last day of the month in which a day lies."""
    first = month.replace(day=1)
    return first, (first + timedelta(days=32)).replace(day=1) - timedelta(days=1)
