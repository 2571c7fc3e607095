"""A report as a workbook: a sheet a table with real dates and numbers, and one that says what it is."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any, BinaryIO, Final

from tarsus.core.reports.report import Cell, Kind, Part, Report
from tarsus.tables.book_out import AS_IT_IS, FIRST_DAY, sheet_name, text_in_a_cell

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
    from xlsxwriter import Workbook

    with Workbook(out, AS_IT_IS) as book:
        head = book.add_format({"bold": True})
        looks = {kind: book.add_format({"num_format": told}) for kind, told in FORMATS.items()}
        taken = {ABOUT.lower()}
        for part in report.parts:
            _write_part(book.add_worksheet(sheet_name(part.title, taken)), part, head, looks)
        about = book.add_worksheet(ABOUT)
        about.set_column(0, 0, 14)
        about.set_column(1, 1, 90)
        said = [("park", park), ("report", report.title), ("of", report.span), ("known", report.known)]
        said += [("written", printed), *(("note", note) for note in report.notes)]
        said += [("empty", f"{part.title}: {part.nothing}") for part in report.parts if not part.rows]
        for line, row in enumerate(said):
            for place, words in enumerate(row):
                about.write_string(line, place, text_in_a_cell(words))


def _write_part(sheet: Any, part: Part, head: Any, looks: Mapping[Kind, Any]) -> None:
    sheet.freeze_panes(1, 0)
    known_now = len(part.columns)
    heads = [(column.name, column.wide) for column in part.columns]
    for place, (name, wide) in enumerate([*heads, ("known now", 2)] if part.differs else heads):
        sheet.set_column(place, place, max(_WIDTHS[wide], len(name) + 2))
        sheet.write_string(0, place, text_in_a_cell(name), head)
    for line, row in enumerate(part.rows, start=1):
        for place, (column, value) in enumerate(zip(part.columns, row.cells, strict=True)):
            _write(sheet, line, place, value, looks.get(column.kind))
        if row.since:
            sheet.write_string(line, known_now, text_in_a_cell(row.since))


def _write(sheet: Any, line: int, place: int, value: Cell, look: Any) -> None:
    if isinstance(value, str):
        sheet.write_string(line, place, text_in_a_cell(value))
    elif isinstance(value, datetime):
        # The format knows no zones: a moment is written by the park's clock, as it is read on the page.
        clock = value.replace(tzinfo=None)
        if clock.date() < FIRST_DAY:
            sheet.write_string(line, place, clock.isoformat(" ", "minutes"))
        else:
            sheet.write_datetime(line, place, clock, look)
    elif isinstance(value, date):
        if value < FIRST_DAY:
            sheet.write_string(line, place, value.isoformat())
        else:
            sheet.write_datetime(line, place, value, look)
    elif value is not None:
        sheet.write_number(line, place, value, look)
