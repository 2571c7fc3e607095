"""Rows of a spreadsheet as plain values: text beside its heading, with the line it stood in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tarsus.core.errors import MalformedInput


class UnreadableTable(MalformedInput):
    """A file that is no spreadsheet, or one in which no heading row can be found."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why one line cannot go in: the field, the reason, and what would mend it."""

    line: int
    field: str
    reason: str
    remedy: str
    sheet: str = ""

    def __str__(self) -> str:
        return f"line {self.line}, {self.field}: {self.reason}; {self.remedy}"


@dataclass(frozen=True, slots=True)
class Remark:
    """Something about a line that goes in all the same, and that somebody should look at."""

    line: int
    field: str
    text: str
    sheet: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One line below the headings. `faults` are cells that the spreadsheet itself could not give."""

    line: int
    cells: tuple[tuple[str, str], ...]
    faults: tuple[Refusal, ...] = ()
    sheet: str = ""

    def as_mapping(self) -> Mapping[str, str]:
        """Text by heading."""
        return dict(self.cells)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table: its headings in order, its rows, and what was passed over on the way."""

    name: str
    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    heading_line: int = 1
    passed_over: tuple[Remark, ...] = ()
    other_sheets: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells as they stand, before anything is known of headings: text by line and column, and merged ranges.

    `merged` holds (first line, first column, last line, last column); lines count from 1, columns from 0.
    """

    name: str
    lines: tuple[tuple[int, tuple[str, ...]], ...]
    merged: tuple[tuple[int, int, int, int], ...] = ()
    faults: tuple[tuple[int, int, str, str], ...] = ()
