"""What was known then, beside what is known now of it: one report held against the other, row by row."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Final

from tarsus.core.reports.report import TOLD_SINCE, Part, Report, Row
from tarsus.core.words.cells import cell_words

NO_LONGER: Final = "no longer so"


def compared(then: Report, now: Report, known_on: date) -> Report:
    """Tell a report as it was known on a day, with what is different now beside each row.

    Args:
        then: the report made of what was written by the end of that day.
        now: the same report made of everything that is written.
        known_on: the day.

    Returns:
        The rows of `then` in their order, each with what changed of it; after them the rows that were told
        since. A row that is known no longer stays and is marked so.
    """
    later = {part.title: part for part in now.parts}
    parts = [_part(part, later.pop(part.title, None)) for part in then.parts]
    parts += [replace(part, rows=tuple(_told_since(row) for row in part.rows)) for part in later.values()]
    return replace(then, parts=tuple(parts), known_on=known_on)


def _part(then: Part, now: Part | None) -> Part:
    rows_now = {row.key: row for row in now.rows} if now is not None else {}
    rows = [replace(row, since=_since(then, row, rows_now.pop(row.key, None))) for row in then.rows]
    rows += [_told_since(row) for row in rows_now.values()]
    return replace(then, rows=tuple(rows))


def _told_since(row: Row) -> Row:
    return replace(row, since=TOLD_SINCE)


def _since(part: Part, then: Row, now: Row | None) -> str:
    if now is None:
        return NO_LONGER
    changed = [
        f"{column.name}: {cell_words(is_now, column.kind) or 'none'}"
        for column, was, is_now in zip(part.columns, then.cells, now.cells, strict=True)
        if was != is_now
    ]
    return f"now {'; '.join(changed)}" if changed else ""
