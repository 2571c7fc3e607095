"""A park's spreadsheet, whichever way it was saved, as one table of plain rows."""

from __future__ import annotations

import difflib
from pathlib import PurePath

from tarsus.tables.apart import grids_apart
from tarsus.tables.csv_in import csv_grid
from tarsus.tables.headings import Recognise, sheet_from
from tarsus.tables.rows import Grid, Sheet, UnreadableTable

LARGEST_FILE = 40 * 1024 * 1024
_SHORT_TEXT = 1024 * 1024
"""Text of this size is read here: it can neither unpack nor take long."""


def read_table(contents: bytes, name: str, recognise: Recognise, sheet: str = "") -> Sheet:
    """The table of birds in a file.

    Args:
        contents: the file as it was saved: XLSX, or text with commas, semicolons, tabs or bars.
        name: its name, for refusals; what it is, is told from its contents.
        recognise: whether a heading is known (see `columns.field_of`).
        sheet: which sheet of a workbook; without it the one with most known headings.

    Raises:
        UnreadableTable: the file is empty, too large, of a kind that is not read, or has no such sheet.
    """
    name = PurePath(name).name or "the file"
    if not contents.strip():
        raise UnreadableTable(name, "is empty; choose the file that holds the birds")
    if len(contents) > LARGEST_FILE:
        raise UnreadableTable(name, "is larger than 40 MB; save the table of birds by itself")
    if contents.startswith(b"\xd0\xcf\x11\xe0"):
        raise UnreadableTable(
            name, "is a workbook of the old kind, or locked by a password; save it as XLSX or CSV"
        )
    if contents.startswith(b"PK"):
        return _chosen(grids_apart(contents, name), name, recognise, sheet)
    if len(contents) > _SHORT_TEXT:
        (grid,) = grids_apart(contents, name)
        return sheet_from(grid, recognise)
    return sheet_from(csv_grid(contents, name), recognise)


def _chosen(grids: tuple[Grid, ...], name: str, recognise: Recognise, wanted: str) -> Sheet:
    from dataclasses import replace

    names = [grid.name for grid in grids]
    if wanted and wanted not in names:
        near = difflib.get_close_matches(wanted, names, n=1)
        remedy = f"did you mean '{near[0]}'?" if near else f"its sheets are {', '.join(names)}"
        raise UnreadableTable(name, f"has no sheet '{wanted}'; {remedy}")
    tables = []
    for grid in grids:
        if wanted in ("", grid.name):
            try:
                tables.append(sheet_from(grid, recognise))
            except UnreadableTable:
                if wanted:
                    raise
    if not tables:
        raise UnreadableTable(
            name, "has no row of headings; name the columns in the line above the first bird"
        )
    best = max(tables, key=lambda table: sum(map(recognise, table.headings)))
    return replace(best, other_sheets=tuple(one for one in names if one != best.name))
