"""Tables out: a folder of CSV files, one workbook, or one JSON document, all from the same plain values."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, BinaryIO, Final

from tarsus.tables.cells import guarded

Value = str | int | float | bool | date | datetime | list[Any] | dict[str, Any] | None
"""What a cell holds. Lists and mappings stay what they are in JSON, and are JSON text everywhere else."""

MOST_ROWS: Final = 1_000_000
XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
"""What a workbook is called on its way. Source: ECMA-376, part 1, 12.3.23, and IANA's media types."""
LONGEST_SHEET_NAME: Final = 31
_LONGEST_CELL: Final = 32_767
_WIDEST: Final = 60
_TINT: Final = "FFF2CC"


@dataclass(frozen=True)
class Table:
    """A named table; `rows` may be a stream and is walked once."""

    name: str
    headings: tuple[str, ...]
    rows: Iterable[Sequence[Value]]


def csv_text(table: Table) -> Iterator[str]:
    """The lines of a CSV file: commas, quotes where needed, a byte order mark so that every program sees
    UTF-8.

    Text that begins like a formula is guarded by an apostrophe, which reading it back takes off again.
    """
    yield "\ufeff"
    yield _csv_line(table.headings)
    for row in table.rows:
        yield _csv_line([_plain(value) for value in row])


def _csv_line(cells: Sequence[object]) -> str:
    line = io.StringIO()
    csv.writer(line).writerow(guarded(cell) if isinstance(cell, str) else cell for cell in cells)
    return line.getvalue()


def _plain(value: Value) -> str | int | float:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return value.isoformat()
    return _nested(value) if isinstance(value, list | dict) else value


def _nested(value: list[Any] | dict[str, Any]) -> str:
    return json.dumps(value, ensure_ascii=False, sort_keys=True)


def write_workbook(
    tables: Iterable[Table],
    out: BinaryIO,
    most_rows: int = MOST_ROWS,
    loud: Callable[[str], bool] = lambda _: False,
) -> None:
    """One workbook with a sheet a table: headings frozen, text never taken for a formula.

    Args:
        tables: at least one table.
        out: where the file goes.
        most_rows: rows that one sheet takes; a longer table goes on in a sheet of its name and 2, 3, …
        loud: which headings stand over columns that must not be overlooked: they are wide, their filled cells
            tinted.
    """
    import openpyxl

    book = openpyxl.Workbook(write_only=True)
    for table in tables:
        rows = iter(table.rows)
        again = 1
        while not _fill_sheet(book, table, rows, again, most_rows, loud):
            again += 1
    book.save(out)


def _fill_sheet(
    book: Any,
    table: Table,
    rows: Iterator[Sequence[Value]],
    again: int,
    most_rows: int,
    loud: Callable[[str], bool],
) -> bool:
    """Write rows into a sheet of their own; say whether that was all of them."""
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Font, PatternFill

    row = next(rows, None)
    if row is None and again > 1:
        return True
    name = table.name[:LONGEST_SHEET_NAME]
    sheet = book.create_sheet(name if again == 1 else f"{name[: LONGEST_SHEET_NAME - 4]} {again}")
    sheet.freeze_panes = "A2"
    for column, heading in enumerate(table.headings):
        sheet.column_dimensions[_letters(column)].width = min(max(12, len(heading) + 2), _WIDEST)
    tinted = [place for place, heading in enumerate(table.headings) if loud(heading)]
    tint = PatternFill("solid", fgColor=_TINT)
    for place in tinted:
        sheet.column_dimensions[_letters(place)].width = _WIDEST
    heads = [WriteOnlyCell(sheet, heading) for heading in table.headings]
    for head in heads:
        head.font = Font(bold=True)
    sheet.append(heads)
    written = 0
    while row is not None:
        cells = [_cell(sheet, value) for value in row]
        for place in tinted:
            if row[place]:
                cells[place].fill = tint
        sheet.append(cells)
        written += 1
        if written == most_rows:
            return False
        row = next(rows, None)
    return True


def _letters(column: int) -> str:
    from openpyxl.utils import get_column_letter

    return get_column_letter(column + 1)


def _cell(sheet: Any, value: Value) -> Any:
    """A cell of a workbook; zone and all, a moment is text there, since the format knows no zones."""
    if isinstance(value, datetime):
        value = value.isoformat()
    if isinstance(value, list | dict):
        value = _nested(value)
    return text_cell(sheet, value) if isinstance(value, str) else value


def text_cell(sheet: Any, value: str) -> Any:
    """A cell that holds text and nothing else, however it begins."""
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

    cell = WriteOnlyCell(sheet, ILLEGAL_CHARACTERS_RE.sub("", value)[:_LONGEST_CELL])
    # Without this a text that begins with = would be written as a formula.
    cell.data_type = "s"
    return cell


def json_text(tables: Iterable[Table]) -> Iterator[str]:
    """One JSON document, a piece at a time: table name to rows, each a mapping from heading to value."""
    yield "{"
    for place, table in enumerate(tables):
        yield ("," if place else "") + f"\n{json.dumps(table.name)}: ["
        for number, row in enumerate(table.rows):
            cells = dict(zip(table.headings, map(_json_value, row), strict=True))
            yield ("," if number else "") + "\n  " + json.dumps(cells, ensure_ascii=False, allow_nan=False)
        yield "]"
    yield "\n}\n"


def _json_value(value: Value) -> str | int | float | bool | list[Any] | dict[str, Any] | None:
    return value.isoformat() if isinstance(value, date) else value
