"""Plain frozen rows of a park, by table: what the bulk reader takes, and what an export holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class FrozenRows:
    """Rows of one table under the name an export gives it (``sex_finding``).

    `columns` are the headings of an export: references are ids (``bird_id``). Values are plain: text,
    numbers, truths, dates and moments (or their ISO text), and lists and mappings where a column holds
    JSON. `rows` may be a stream and is walked once.
    """

    table: str
    columns: tuple[str, ...]
    rows: Iterable[Sequence[Any]]


def frozen(table: str, rows: Iterable[Mapping[str, Any]]) -> FrozenRows:
    """Rows that are told as mappings; all of them name the same columns."""
    kept = tuple(rows)
    columns = tuple(kept[0]) if kept else ()
    for row in kept:
        assert tuple(row) == columns, f"rows of {table} name different columns"
    return FrozenRows(table, columns, tuple(tuple(row.values()) for row in kept))
