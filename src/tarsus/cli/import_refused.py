"""Refused lines of an import as a file beside it, to be mended there and sent again."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from tarsus.core.errors import MalformedInput
from tarsus.tables.refused_list import refused_table, waiting_of, write_refused_workbook
from tarsus.tables.rows import Refusal, Row, Sheet
from tarsus.tables.writing import csv_text


def write_refused(
    wishes: argparse.Namespace, sheet: Sheet, refused: Sequence[Refusal], rows: Sequence[Row], batch_id: int
) -> Path | None:
    """Write refused lines as a table; never over another file that nobody named.

    Args:
        wishes: what the command was told.
        sheet: the table they come from.
        refused: every reason against them.
        rows: the lines themselves.
        batch_id: the import, 0 for a look.

    Returns:
        Where they are; nothing where none is refused, or nobody asked for them at a look.

    Raises:
        MalformedInput: the file cannot be written.
    """
    if not refused or not (wishes.refused or batch_id):
        return None
    target = (
        Path(wishes.refused)
        if wishes.refused
        else _free(Path(f"{Path(wishes.file).stem or 'input'}-refused.csv"))
    )
    waiting = waiting_of(refused, rows)
    try:
        if target.suffix.lower() == ".xlsx":
            with target.open("wb") as book:
                write_refused_workbook(sheet.headings, waiting, batch_id, book)
        else:
            with target.open("w", encoding="utf-8", newline="") as out:
                out.writelines(csv_text(refused_table(sheet.headings, waiting, batch_id)))
    except OSError as reason:
        raise MalformedInput(
            str(target), f"cannot be written ({reason.strerror}); name another with --refused"
        ) from None
    return target


def _free(path: Path) -> Path:
    candidate, again = path, 2
    while candidate.exists():
        candidate = path.with_stem(f"{path.stem}-{again}")
        again += 1
    return candidate
