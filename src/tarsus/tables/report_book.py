"""A report as a workbook: a sheet a table with real dates and numbers, and one that says what it is."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any, BinaryIO, Final

from tarsus.core.reports.report import Cell, Kind, Part, Report
from tarsus.tables.book_out import LONGEST_SHEET_NAME, text_in_a_cell

FORMATS: Final = {
    Kind.DAY: "yyyy-mm-dd",
    Kind.MOMENT: "yyyy-mm-dd hh:mm",
    Kind.SHARE: "0%",
    Kind.GRAMS: "0.##",
}
ABOUT: Final = "About"
_WIDTHS: Final = (13, 24, 36, 48)


def write_report(report: Report, *, park: str, printed: str, out: BinaryIO) -> None:
    """Write a report as a workbook.

    Args:
        report: what is told.
        park: the park's name.
        printed: when it was written, in words.
        out: where the file goes.
    """
    import openpyxl

    book = openpyxl.Workbook(write_only=True)
    names = _sheet_names(report.parts)
    for part, name in zip(report.parts, names, strict=True):
        _write_part(book.create_sheet(name), part)
    about = book.create_sheet(ABOUT)
    about.column_dimensions["A"].width, about.column_dimensions["B"].width = 14, 90
    said = [("park", park), ("report", report.title), ("of", report.span), ("known", report.known)]
    said += [("written", printed), *(("note", note) for note in report.notes)]
    said += [("empty", f"{part.title}: {part.nothing}") for part in report.parts if not part.rows]
    for row in said:
        about.append([_text_cell(about, word) for word in row])
    book.save(out)


def _sheet_names(parts: Sequence[Part]) -> list[str]:
    """A name a sheet: what the format forbids left out, no name twice however long."""
    taken = {ABOUT.lower()}
    names = []
    for part in parts:
        clean = re.sub(r"[\[\]:*?/\\]", " ", part.title).strip("' ") or "Table"
        name, again = clean[:LONGEST_SHEET_NAME], 1
        while name.lower() in taken:
            again += 1
            name = f"{clean[: LONGEST_SHEET_NAME - 4]} {again}"
        taken.add(name.lower())
        names.append(name)
    return names


def _write_part(sheet: Any, part: Part) -> None:
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    heads = [column.name for column in part.columns] + (["known now"] if part.differs else [])
    sheet.freeze_panes = "A2"
    for number, head in enumerate(heads, start=1):
        wide = part.columns[number - 1].wide if number <= len(part.columns) else 2
        sheet.column_dimensions[get_column_letter(number)].width = max(_WIDTHS[wide], len(head) + 2)
    cells = [_text_cell(sheet, head) for head in heads]
    for cell in cells:
        cell.font = Font(bold=True)
    sheet.append(cells)
    for row in part.rows:
        since = [_text_cell(sheet, row.since)] if part.differs else []
        sheet.append([*_cells(sheet, part, row.cells), *since])


def _cells(sheet: Any, part: Part, cells: Sequence[Cell]) -> Iterator[Any]:
    from openpyxl.cell import WriteOnlyCell

    for column, value in zip(part.columns, cells, strict=True):
        if isinstance(value, str):
            yield _text_cell(sheet, value)
            continue
        # The format knows no zones: a moment is written by the park's clock, as it is read on the page.
        told = value.replace(tzinfo=None) if isinstance(value, datetime) else value
        cell: Any = WriteOnlyCell(sheet)
        cell.value = told
        if column.kind in FORMATS and told is not None:
            cell.number_format = FORMATS[column.kind]
        yield cell


def _text_cell(sheet: Any, value: str) -> Any:
    """A cell that holds text and nothing else, however it begins."""
    from openpyxl.cell import WriteOnlyCell

    cell = WriteOnlyCell(sheet, text_in_a_cell(value))
    # Without this a text that begins with = would be written as a formula.
    cell.data_type = "s"
    return cell
