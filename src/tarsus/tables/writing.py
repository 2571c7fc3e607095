"""Tables out: a folder of CSV files, one workbook, or one JSON document, all from the same plain values."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from tarsus.tables.cells import guarded

Value = str | int | float | bool | date | datetime | list[Any] | dict[str, Any] | None
"""What a cell holds. Lists and mappings stay what they are in JSON, and are JSON text everywhere else."""


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
    return nested(value) if isinstance(value, list | dict) else value


def nested(value: list[Any] | dict[str, Any]) -> str:
    """What a cell holds that is no single value, as JSON text."""
    return json.dumps(value, ensure_ascii=False, sort_keys=True)


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
