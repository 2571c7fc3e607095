"""A workbook written row by row: a hundred thousand rows in seconds, none held."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
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
FIRST_DAY: Final = date(1900, 3, 1)
"""Earlier days are text: the format counts days from 1900 on, with a 29 February that never was."""
_WIDEST: Final = 60
_TINT: Final = "#FFF2CC"
_NOT_IN_XML: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_NOT_IN_A_NAME: Final = re.compile(r"[\[\]:*?/\\\n\t\U00010000-\U0010ffff]")
"""The last are signs that count twice in the length of a name."""
AS_IT_IS: Final = {
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

    with Workbook(out, AS_IT_IS) as book:
        looks = _Looks(
            book.add_format({"bold": True}),
            book.add_format({"num_format": "yyyy-mm-dd"}),
            book.add_format({"bg_color": _TINT}),
        )
        taken: set[str] = set()
        for table in tables:
            rows = iter(table.rows)
            first, begun = next(rows, None), False
            while first is not None or not begun:
                sheet = book.add_worksheet(sheet_name(table.name, taken))
                some = () if first is None else chain((first,), islice(rows, most_rows - 1))
                _fill_sheet(sheet, table.headings, some, looks, loud)
                first, begun = next(rows, None), True


@dataclass(frozen=True)
class _Looks:
    """How cells look: a heading, a day, what must not be overlooked."""

    heading: Any
    day: Any
    loud: Any


def sheet_name(title: str, taken: set[str]) -> str:
    """A name for the sheet of a title: what the format forbids left out, no name twice however long.

    Args:
        title: what stands in it.
        taken: names that other sheets of the workbook have, in small letters; this one is put to them.

    Source:
        What XlsxWriter's `Workbook.add_worksheet` refuses, by the rules of the programs that open it.
    """
    clean = _NOT_IN_A_NAME.sub(" ", text_in_a_cell(title)).strip("' ") or "Table"
    name, again = clean[:LONGEST_SHEET_NAME].rstrip("' "), 1
    while name.lower() in taken:
        again += 1
        name = f"{clean[: LONGEST_SHEET_NAME - 4]} {again}"
    taken.add(name.lower())
    return name


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
    tellers = _tellers(sheet, looks)
    for line, row in enumerate(rows, start=1):
        for place, value in enumerate(row):
            if value is not None and value != "":
                teller = tellers.get(type(value)) or _of_its_like(tellers, value)
                teller(line, place, value, tints[place])


_Teller = Callable[[int, int, Any, Any], object]


def _of_its_like(tellers: Mapping[type, _Teller], value: Value) -> _Teller:
    """What writes a value whose type is made of one of the plain ones, as a word of a list of words is."""
    return next(tellers[kind] for kind in type(value).__mro__ if kind in tellers)


def _tellers(sheet: Any, looks: _Looks) -> Mapping[type, _Teller]:
    """What writes a cell, by the type of its value: a hundred thousand rows are a million cells."""
    number, text, day = sheet.write_number, sheet.write_string, sheet.write_datetime

    def a_text(line: int, place: int, value: str, look: Any) -> None:
        text(line, place, text_in_a_cell(value), look)

    def a_day(line: int, place: int, value: date, look: Any) -> None:
        if value < FIRST_DAY:
            text(line, place, value.isoformat(), look)
        else:
            day(line, place, value, looks.day)

    def a_moment(line: int, place: int, value: datetime, look: Any) -> None:
        # The format knows no zones: a moment is text there, zone and all.
        text(line, place, value.isoformat(), look)

    def several(line: int, place: int, value: list[Any] | dict[str, Any], look: Any) -> None:
        text(line, place, text_in_a_cell(nested(value)), look)

    return {
        str: a_text,
        bool: sheet.write_boolean,
        int: number,
        float: number,
        date: a_day,
        datetime: a_moment,
        list: several,
        dict: several,
    }


def text_in_a_cell(text: str) -> str:
    """Text as far as a cell of a workbook can hold it; a line ends in one way there."""
    if not text.isprintable():  # what XML forbids is none of it printable, and most text is plain
        text = _NOT_IN_XML.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))
    text = text[:LONGEST_CELL]
    if text.startswith("<r>") and text.endswith("</r>"):
        # XlsxWriter takes this for text with looks of its own and writes it as it is, as markup.
        text = text[: LONGEST_CELL - 1] + " "
    return text
