"""Refused lines as a table that can be mended in a spreadsheet program and sent again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tarsus.tables.columns import OUR_OWN
from tarsus.tables.import_plan import ImportPlan
from tarsus.tables.rows import Refusal
from tarsus.tables.writing import Table

Waiting = tuple[int, Mapping[str, str], Sequence[Refusal]]
"""A line, its cells by heading, and every reason against it."""


def refused_table(headings: Iterable[str], waiting: Iterable[Waiting], batch_id: int) -> Table:
    """The refused lines as they stood, with why they were refused and what would mend them.

    Args:
        headings: of the table they come from; they are kept.
        waiting: the lines.
        batch_id: the import that refused them, 0 for a dry run. The list carries it, so that a line that
        comes
            back mended is no longer waited for.
    """
    kept = tuple(heading for heading in headings if heading not in OUR_OWN)
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


def waiting_of(plan: ImportPlan) -> list[Waiting]:
    """The refused lines of a plan."""
    return [
        (row.line, row.as_mapping(), [one for one in plan.refused if one.line == row.line])
        for row in plan.refused_rows
    ]
