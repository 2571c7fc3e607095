"""The report of a month's inventory: each line balances, or the report says which does not."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Final

from tarsus.core.care.inventory.balance import InventoryLine, by_sex
from tarsus.core.care.inventory.sheet import SEXES, column_words
from tarsus.core.reports.report import Column, Kind, Part, Report, Row
from tarsus.queries.inventory import MonthInventory, inventory_of_month
from tarsus.queries.park_reports.asked import Asked

NUMBERS: Final = (
    *("opening", "hatched", "arrived", "moved_in", "found_again", "resexed_in"),
    *("died", "departed", "moved_out", "missing", "resexed_out", "closing"),
)
EQUATION: Final = (
    "Opening + hatched + arrived + moved in + found again − died − departed − moved out − missing ± "
    "resexed = closing."
)
_COLUMNS: Final = (
    Column("species", wide=1),
    Column("sex"),
    *(Column(column_words(name), Kind.NUMBER, summed=True) for name in NUMBERS),
)


def inventory(asked: Asked) -> Report:
    """The inventory of the month in which a span begins, of the park and of each exhibit."""
    known = inventory_of_month(asked.first)
    parts = [part("Living here", known.whole.held), part("Owned, here or elsewhere", known.whole.owned)]
    parts += [
        part(one.exhibit, one.inventory.held)
        for one in known.exhibits
        if asked.exhibit_id in (None, one.exhibit_id)
    ]
    return Report("inventory", "Inventory", f"{known.whole.first_day:%B %Y}", tuple(parts), _notes(known))


def part(title: str, lines: Iterable[InventoryLine]) -> Part:
    """Inventory lines as a table of a report.

    Args:
        title: the park's, or an exhibit.
        lines: held or owned.
    """
    rows = tuple(
        Row((line.species, line.sex), (line.species, SEXES[line.sex], *(getattr(line, n) for n in NUMBERS)))
        for line in lines
    )
    return Part(title, _COLUMNS, rows, "No bird in this month.")


def _notes(known: MonthInventory) -> tuple[str, ...]:
    every = [*known.whole.held, *known.whole.owned]
    every += [line for one in known.exhibits for line in one.inventory.held]
    odd = [f"{line.species}, {SEXES[line.sex]}" for line in every if not line.balances]
    says = f"These lines do not balance: {'; '.join(odd)}." if odd else "Every line balances."
    species = dict.fromkeys(line.species for line in known.whole.held)
    closing = "; ".join(f"{one} {by_sex(known.whole.held, one)}" for one in species)
    eggs = "; ".join(f"{number} of {one}" for one, number in known.whole.eggs)
    return (
        f"{EQUATION} {says}",
        f"At closing, as male.female.unsexed: {closing or 'no bird'}.",
        f"Eggs are not counted{f'; in nests on the last day: {eggs}' if eggs else ''}.",
    )


def month_of(day: date) -> date:
    """The first day of a day's month."""
    return day.replace(day=1)
