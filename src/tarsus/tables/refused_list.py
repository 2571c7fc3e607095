"""Refused lines as a table that can be mended in a spreadsheet program and sent again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import BinaryIO

from tarsus.tables.book_out import write_workbook
from tarsus.tables.columns import OUR_OWN, WHY, is_our_own
from tarsus.tables.rows import Refusal, Row
from tarsus.tables.writing import Table

Waiting = tuple[int, Mapping[str, str], Sequence[Refusal]]
"""A line, its cells by heading, and every reason against it."""


def refused_table(headings: Iterable[str], waiting: Iterable[Waiting], batch_id: int) -> Table:
    """The refused lines as they stood, with why they were refused and what would mend them.

    Args:
        headings: of the table they come from; they are kept.
        waiting: the lines.
        batch_id: the import that refused them, 0 for a dry run. The list carries it, so that a line that
            comes back mended is no longer waited for.
    """
    kept = tuple(heading for heading in headings if not is_our_own(heading))
    rows = [
        (
            *(cells.get(heading, "") for heading in kept),
            f"{batch_id}/{line}",
            " | ".join(one.field for one in reasons),
            " | ".join(one.reason for one in reasons),
            " | ".join(one.remedy for one in reasons),
        )
        for line, cells, reasons in waiting
    ]
    return Table("refused", (*kept, *OUR_OWN), rows)


def write_refused_workbook(
    headings: Iterable[str], waiting: Sequence[Waiting], batch_id: int, out: BinaryIO
) -> None:
    """The refused lines as a workbook, with why and the remedy right beside each cell that is to blame.

    What is against no cell in particular stands in the last column. The columns that were added are passed
    over when the workbook comes back mended, and the line is no longer waited for.

    Args:
        headings: of the table they come from; they are kept.
        waiting: the lines.
        batch_id: the import that refused them.
        out: where the workbook goes.
    """
    kept = [heading for heading in headings if not is_our_own(heading)]
    blamed = {one.field for _, _, reasons in waiting for one in reasons}
    columns = [part for one in kept for part in ((one, WHY + one) if one in blamed else (one,))]
    rows = []
    for line, cells, reasons in waiting:
        why = {
            WHY + one: _why(reason for reason in reasons if reason.field == one)
            for one in kept
            if one in blamed
        }
        others = _why(reason for reason in reasons if reason.field not in kept)
        told = [why.get(heading, cells.get(heading, "")) for heading in columns]
        rows.append((*told, others, f"{batch_id}/{line}"))
    table = Table("refused", (*columns, "why refused", "refused line"), rows)
    write_workbook([table], out, loud=lambda heading: heading.startswith("why refused"))


def _why(reasons: Iterable[Refusal]) -> str:
    return " | ".join(f"{one.reason}: {one.remedy}" for one in reasons)


def waiting_of(refused: Iterable[Refusal], rows: Iterable[Row]) -> list[Waiting]:
    """The refused lines, each with every reason against it."""
    against: dict[int, list[Refusal]] = {}
    for one in refused:
        against.setdefault(one.line, []).append(one)
    return [(row.line, row.as_mapping(), against[row.line]) for row in rows]
