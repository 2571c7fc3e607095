"""Keeping what a row said before it was changed.

Decision 0005.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from tarsus.records.models import Change


def note_changes(
    table: str, key: object, before: Mapping[str, Any], after: Mapping[str, Any], by: int | None
) -> bool:
    """Write one line for each field that is different now: what it was, what it is, by whom.

    Returns:
        Whether anything was different.
    """
    lines = [
        Change(
            table=table,
            key=str(key),
            field=field,
            before=_plain(before.get(field)),
            after=_plain(value),
            by_id=by,
        )
        for field, value in after.items()
        if before.get(field) != value
    ]
    Change.objects.bulk_create(lines)
    return bool(lines)


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date | datetime) else value
