"""A workbook written row by row: a hundred thousand rows in seconds, none held."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import chain, islice
from typing import Any, BinaryIO, Final

from tarsus.tables.writing import Table, Value, nested

XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
"""What a workbook is called on its way. Source: ECMA-376, part 1, 12.3.23, and IANA's media types."""
MOST_ROWS: Final = 1_000_000
LONGEST_SHEET_NAME: Final = 31
LONGEST_CELL: Final = 32_767
_WIDEST: Final = 60
_TINT: Final = "#FFF2CC"
_NOT_IN_XML: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_AS_IT_IS: Final = {
    "constant_memory": True,
    "strings_to_formulas": False,
    "strings_to_numbers": False,
    "strings_to_urls": False,
}
"""A row is written when it is told and forgotten; text is text, however it begins."""


def write_workbook(
    tables: Iterable[Table],
    out: BinaryIO,
    most_rows: int = MOST_ROWS,
    loud: Callable[[str], bool] = lambda _: False,
) -> None:
    """One workbook with a sheet a table: headings frozen, text never taken for a formula.

    Args:
        tables: at least one table; each is walked once, a row at a time.
        out: where the file goes.
        most_rows: rows that one sheet takes; a longer table goes on in a sheet of its name and 2, 3, …
        loud: which headings stand over columns that must not be overlooked: they are wide, their filled cells
            tinted.
    """
    from xlsxwriter import Workbook

    with Workbook(out, _AS_IT_IS) as book:
        looks = _Looks(
            book.add_format({"bold": True}),
            book.add_format({"num_format": "yyyy-mm-dd"}),
            book.add_format({"bg_color": _TINT}),
        )
        for table in tables:
            rows, again = iter(table.rows), 1
            first = next(rows, None)
            while again == 1 or first is not None:
                sheet = book.add_worksheet(_sheet_name(table.name, again))
                some = () if first is None else chain((first,), islice(rows, most_rows - 1))
                _fill_sheet(sheet, table.headings, some, looks, loud)
                first, again = next(rows, None), again + 1


@dataclass(frozen=True)
class _Looks:
    """How cells look: a heading, a day, what must not be overlooked."""

    heading: Any
    day: Any
    loud: Any


def _sheet_name(name: str, again: int) -> str:
    if again == 1:
        return name[:LONGEST_SHEET_NAME]
    return f"{name[: LONGEST_SHEET_NAME - 4]} {again}"


def _fill_sheet(
    sheet: Any,
    headings: Sequence[str],
    rows: Iterable[Sequence[Value]],
    looks: _Looks,
    loud: Callable[[str], bool],
) -> None:
    sheet.freeze_panes(1, 0)
    tints = [looks.loud if loud(heading) else None for heading in headings]
    for place, heading in enumerate(headings):
        sheet.set_column(place, place, _WIDEST if tints[place] else min(max(12, len(heading) + 2), _WIDEST))
        sheet.write_string(0, place, text_in_a_cell(heading), looks.heading)
    for line, row in enumerate(rows, start=1):
        for place, value in enumerate(row):
            if value is None or value == "":
                continue
            if isinstance(value, bool):
                sheet.write_boolean(line, place, value, tints[place])
            elif isinstance(value, int | float):
                sheet.write_number(line, place, value, tints[place])
            elif isinstance(value, date) and not isinstance(value, datetime):
                sheet.write_datetime(line, place, value, looks.day)
            else:
                sheet.write_string(line, place, _words(value), tints[place])


def _words(value: str | datetime | list[Any] | dict[str, Any]) -> str:
    """Text of a value. The format knows no zones: a moment is text there, zone and all."""
    if isinstance(value, datetime):
        value = value.isoformat()
    return text_in_a_cell(value if isinstance(value, str) else nested(value))


def text_in_a_cell(text: str) -> str:
    """Text as far as a cell of a workbook can hold it; a line ends in one way there."""
    return _NOT_IN_XML.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))[:LONGEST_CELL]
