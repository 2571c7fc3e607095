"""The page of a month: its inventory by species and by exhibit, the birds behind it, and who signed it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from django.db.models import Min

from tarsus.core.care.inventory.balance import Behind, Inventory, InventoryLine, birds_behind
from tarsus.core.care.inventory.sheet import (
    MOVEMENTS,
    SEXES,
    SheetRow,
    closing_birds,
    column_words,
    equation,
    sheet_rows,
    sheet_total,
)
from tarsus.core.care.inventory.steps import Step
from tarsus.core.errors import NoAnswer, WrongValue
from tarsus.core.words.numbers import capital
from tarsus.queries.inventory import MonthInventory, inventory_of_month, month_days
from tarsus.queries.once import once
from tarsus.queries.signed_months import OWNED, Adjustment, SignedMonth, signed_months
from tarsus.records.models import Bird, PrintedInventory, Stay

_HERE: Final = "Living here"
_OURS: Final = "Owned, here or elsewhere"


@dataclass(frozen=True, slots=True)
class NumberBehind:
    """One number of a line with its birds as they are known now, and how many of it have no name."""

    words: str
    birds: tuple[tuple[int, str, date], ...]
    nameless: int
    dated: bool

    @property
    def number(self) -> int:
        """How many they are."""
        return len(self.birds) + self.nameless


@dataclass(frozen=True, slots=True)
class LineShown:
    """One species and sex: its equation, and who is behind each of its numbers."""

    sex: str
    equation: str
    behind: tuple[NumberBehind, ...]


@dataclass(frozen=True, slots=True)
class RowShown:
    """One row of a table, with its lines."""

    row: SheetRow
    lines: tuple[LineShown, ...]


@dataclass(frozen=True, slots=True)
class TableShown:
    """One table of the page: the park's birds, those it owns, or those of one exhibit."""

    title: str
    rows: tuple[RowShown, ...]
    total: SheetRow
    closing: int


@dataclass(frozen=True, slots=True)
class Changed:
    """What is different now in one line of a signed month."""

    where: str
    species: str
    sex: str
    numbers: tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class MonthPage:
    """A month as it is shown: as it was signed, or as it is known now while nobody has signed it."""

    first_day: date
    last_day: date
    over: bool
    held: TableShown
    owned: TableShown
    exhibits: tuple[TableShown, ...]
    eggs: tuple[tuple[str, int], ...]
    balances: bool
    signed: SignedMonth | None
    versions: tuple[SignedMonth, ...]
    changed: tuple[Changed, ...]


@dataclass(frozen=True, slots=True)
class MonthListed:
    """One month of the list. `signed_by` and `signed_at` are of its first signature."""

    first_day: date
    over: bool
    signed_at: datetime | None = None
    signed_by: str = ""


def months_listed(today: date) -> tuple[MonthListed, ...]:
    """Every month since the first bird, the newest first, in a constant number of queries.

    Args:
        today: the park's day.
    """
    first = Stay.objects.filter(taken_back_at__isnull=True).aggregate(first=Min("from_on"))["first"] or today
    signed: dict[date, tuple[datetime, str]] = {}
    rows = PrintedInventory.objects.select_related("printed_by").order_by("printed_at", "pk")
    for row in rows.only("month", "printed_at", "printed_by__display_name"):
        signed.setdefault(row.month, (row.printed_at, row.printed_by.display_name))
    months = range(first.year * 12 + first.month - 1, today.year * 12 + today.month)
    days = [date(number // 12, number % 12 + 1, 1) for number in reversed(months)]
    return tuple(MonthListed(day, month_days(day)[1] < today, *signed.get(day, ())) for day in days)


@once
def month_to_sign(today: date) -> date | None:
    """The month that is over and waits for its signature; `None` where none does.

    Once a month was signed, the earliest after it that nobody signed; before that the last one that is over.

    Args:
        today: the park's day.
    """
    over = [one for one in months_listed(today) if one.over]
    signed = [one.first_day for one in over if one.signed_at is not None]
    waiting = [one.first_day for one in over if one.signed_at is None]
    if signed:
        waiting = [month for month in waiting if month > min(signed)]
        return min(waiting, default=None)
    return max(waiting, default=None)


def month_asked(said: str, today: date, version: int | None = None) -> MonthPage:
    """The page of a month as somebody asks for it: its year and number, such as 2026-05.

    Args:
        said: which month.
        today: the park's day.
        version: which signed version; the first, or what is known now, where none is asked for.

    Raises:
        WrongValue: that is no month.
        NoAnswer: it has not begun, or was never signed in such a version.
    """
    try:
        first = date.fromisoformat(f"{said}-01")
    except ValueError:
        first = date.min
    if first.year == date.min.year:
        raise WrongValue("month", "must be a year and the number of a month, such as 2026-05")
    if first > today:
        raise NoAnswer("that month has not begun; choose an earlier one")
    page = month_page(first, today, version)
    if version is not None and page.signed is None:
        raise NoAnswer("that month has no such version; ask for it without one")
    return page


def month_page(month: date, today: date, version: int | None = None) -> MonthPage:
    """A month's inventory with everything behind it, in a constant number of queries.

    Args:
        month: any of its days.
        today: the park's day.
        version: which signed version; the first where none is asked for, for that is the one handed in.
    """
    known = inventory_of_month(month)
    whole = known.whole
    versions = signed_months(known)
    signed = next((one for one in versions if version in (None, one.version)), None)
    names = _names(known)
    tables = [
        _table(_HERE, signed.held if signed else whole.held, whole, whole.held_steps, names),
        _table(_OURS, signed.owned if signed else whole.owned, whole, whole.owned_steps, names),
        *_exhibits(known, signed, names),
    ]
    return MonthPage(
        first_day=whole.first_day,
        last_day=whole.last_day,
        over=whole.last_day < today,
        held=tables[0],
        owned=tables[1],
        exhibits=tuple(tables[2:]),
        eggs=whole.eggs,
        balances=all(shown.row.balances for table in tables for shown in table.rows),
        signed=signed,
        versions=versions,
        changed=_changed(signed.adjustments) if signed else (),
    )


def _exhibits(
    known: MonthInventory, signed: SignedMonth | None, names: Mapping[int, str]
) -> Iterator[TableShown]:
    """A table an exhibit: as signed where exhibits were signed, with the birds as they are known now."""
    now = {one.exhibit_id: one.inventory for one in known.exhibits}
    shown = [(one.exhibit_id, one.exhibit, one.held) for one in (signed.exhibits if signed else ())]
    for key, name, lines in shown or [
        (one.exhibit_id, one.exhibit, one.inventory.held) for one in known.exhibits
    ]:
        own = now.get(key)
        yield _table(name, lines, known.whole, own.held_steps if own else (), names)


def _table(
    title: str,
    lines: Sequence[InventoryLine],
    span: Inventory,
    steps: Iterable[Step],
    names: Mapping[int, str],
) -> TableShown:
    own: dict[tuple[str, str], list[Step]] = defaultdict(list)
    for step in steps:
        own[step.species, step.sex].append(step)
    rows = tuple(
        RowShown(row, tuple(_line(line, own[line.species, line.sex], span, names) for line in row.lines))
        for row in sheet_rows(lines)
    )
    return TableShown(title, rows, sheet_total(lines), closing_birds(lines))


def _line(line: InventoryLine, steps: Sequence[Step], span: Inventory, names: Mapping[int, str]) -> LineShown:
    behind = (
        (column, birds_behind(steps, line, column, span.first_day, span.last_day))
        for column in ("opening", *MOVEMENTS, "closing")
    )
    return LineShown(
        capital(SEXES[line.sex]),
        equation(line),
        tuple(_number(column, who, names) for column, who in behind if who.birds or who.nameless),
    )


def _number(column: str, who: Behind, names: Mapping[int, str]) -> NumberBehind:
    birds = tuple((pk, names[pk], day) for pk, day in sorted(who.birds, key=lambda one: (names[one[0]], one)))
    return NumberBehind(capital(column_words(column)), birds, abs(who.nameless), dated=column in MOVEMENTS)


def _names(known: MonthInventory) -> dict[int, str]:
    every = (known.whole.held_steps, known.whole.owned_steps)
    wanted = {step.bird for steps in every for step in steps if step.bird is not None}
    return {bird.pk: str(bird) for bird in Bird.objects.filter(pk__in=wanted)}


def _changed(adjustments: Iterable[Adjustment]) -> tuple[Changed, ...]:
    """Adjusted numbers gathered by their line, in the order in which they were told."""
    lines: dict[tuple[str, str, str], list[tuple[str, int, int]]] = defaultdict(list)
    for one in adjustments:
        where = one.exhibit or (_OURS if one.basis == OWNED else _HERE)
        key = (where, one.species, SEXES[one.sex])
        lines[key].append((column_words(one.column), one.signed, one.now))
    return tuple(Changed(*key, tuple(numbers)) for key, numbers in lines.items())
