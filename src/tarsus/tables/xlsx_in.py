"""Spreadsheets in (XLSX): values as they stand, stored results of formulas, merged ranges."""

from __future__ import annotations

import io
import zipfile
import zlib
from typing import Any, Final

from tarsus.tables.cells import SPREADSHEET_ERRORS, cell_text
from tarsus.tables.rows import Grid, UnreadableTable

LARGEST_UNPACKED: Final = 200 * 1024 * 1024
MOST_LINES: Final = 60_000
MOST_COLUMNS: Final = 200
MOST_CELLS: Final = 2_000_000
_CELL_MARK: Final = b"<c "
_FORMULA_MARKS: Final = (b"<f>", b"<f ", b"<f/>")


def xlsx_grids(contents: bytes, name: str) -> tuple[Grid, ...]:
    """The cells of every sheet of a workbook that holds any.

    Args:
        contents: the file.
        name: what to call the file in a refusal.

    Raises:
        UnreadableTable: it is no workbook, is locked by a password, or unpacks to more than can be meant.
    """
    has_formulas = _looked_into(contents, name)
    values = _workbook(contents, name, stored=True)
    formulas = _workbook(contents, name, stored=False) if has_formulas else None
    grids = []
    for sheet in values.worksheets:
        asked = formulas[sheet.title] if formulas is not None else None
        grid = _grid(sheet, asked)
        if any(any(cells) for _, cells in grid.lines):
            grids.append(grid)
    if not grids:
        raise UnreadableTable(name, "holds no filled sheet; save the table as the first sheet")
    return tuple(grids)


def _looked_into(contents: bytes, name: str) -> bool:
    """Refuse what would unpack to more than can be meant; say whether there are formulas."""
    try:
        with zipfile.ZipFile(io.BytesIO(contents)) as packed:
            if sum(part.file_size for part in packed.infolist()) > LARGEST_UNPACKED:
                raise UnreadableTable(name, "unpacks to more than 200 MB; save the table by itself")
            parts = [part for part in packed.namelist() if part.startswith("xl/worksheets/")]
            return _formulas_in([packed.read(part) for part in parts], name)
    except (zipfile.BadZipFile, zlib.error, RuntimeError, NotImplementedError, EOFError):
        # A part that is locked is a RuntimeError to the library, an unknown packing NotImplementedError.
        raise UnreadableTable(
            name, "is no XLSX workbook, or is locked by a password; save it again as XLSX or CSV"
        ) from None


def _formulas_in(sheets: list[bytes], name: str) -> bool:
    if sum(sheet.count(_CELL_MARK) for sheet in sheets) > MOST_CELLS:
        raise UnreadableTable(name, f"has more than {MOST_CELLS} cells; save the table of birds by itself")
    return any(mark in sheet for sheet in sheets for mark in _FORMULA_MARKS)


def _workbook(contents: bytes, name: str, *, stored: bool) -> Any:
    import warnings

    import openpyxl

    try:
        with warnings.catch_warnings():
            # Drawings, validation lists and the like, which are left out here, are warned of by the library.
            warnings.simplefilter("ignore")
            # Not its read-only mode: that one does not know which cells are merged.
            return openpyxl.load_workbook(io.BytesIO(contents), data_only=stored)
    except Exception as reason:
        # The library lets through whatever its parsers meet in a broken file.
        said = type(reason).__name__
        raise UnreadableTable(
            name, f"cannot be read as XLSX ({said}); save it again as XLSX or CSV"
        ) from None


def _grid(sheet: Any, asked: Any) -> Grid:
    if sheet.max_row > MOST_LINES or sheet.max_column > MOST_COLUMNS:
        raise UnreadableTable(
            sheet.title,
            f"has {sheet.max_row} lines and {sheet.max_column} columns; at most {MOST_LINES} lines and "
            f"{MOST_COLUMNS} columns can be meant: clear the empty cells below and beside the table",
        )
    lines: list[tuple[int, tuple[str, ...]]] = []
    faults: list[tuple[int, int, str, str]] = []
    for line, cells in enumerate(sheet.iter_rows(), start=1):
        texts = []
        for column, cell in enumerate(cells):
            text = cell_text(cell.value, getattr(cell, "number_format", ""))
            fault = _fault(text, asked.cell(line, column + 1).value if asked is not None else None)
            if fault:
                faults.append((line, column, *fault))
                text = ""
            texts.append(text)
        lines.append((line, tuple(texts)))
    merged = tuple(
        (area.min_row, area.min_col - 1, area.max_row, area.max_col - 1) for area in sheet.merged_cells.ranges
    )
    return Grid(sheet.title, tuple(lines), merged, tuple(faults))


def _fault(text: str, formula: object) -> tuple[str, str] | None:
    if text in SPREADSHEET_ERRORS:
        return f"the cell shows {text}", "mend the formula, or write the value itself"
    if not text and isinstance(formula, str) and formula.startswith("="):
        return "the formula has no stored result", "open the file in its program, save it, and send it again"
    return None
