"""A report on paper: its tables as one look, whatever it reports."""

from __future__ import annotations

from typing import Any, Final

from tarsus.core.reports.report import Part, Report
from tarsus.core.words.cells import cell_words
from tarsus.paper.typesetting import typeset

UPRIGHT: Final = 6
"""So many columns stand on a page upright; more lie across it."""
SIGNED_BY: Final = ("Drawn up by, date", "Checked by, date")


def report_paper(report: Report, *, park: str, printed: str, signatures: bool = False) -> bytes:
    """Set a report.

    Args:
        report: what is told.
        park: the park's name.
        printed: when it was printed, in words.
        signatures: whether lines to sign on stand under it.

    Returns:
        A PDF, A4 upright or across by the number of its columns, tagged, readable in black and white.

    Raises:
        PaperFailed: the template did not set.
    """
    plain = {
        "title": f"{report.title}, {report.span}",
        "name": report.title,
        "span": report.span,
        "park": park,
        "printed": printed,
        "known": report.known,
        "across": any(len(part.columns) + part.differs > UPRIGHT for part in report.parts),
        "parts": [_part(part) for part in report.parts],
        "notes": report.notes,
        "signatures": SIGNED_BY if signatures else (),
    }
    return typeset("report", report=plain)


def _part(part: Part) -> dict[str, Any]:
    kinds = [column.kind for column in part.columns]
    told = part.differs
    return {
        "title": part.title,
        "head": [column.name for column in part.columns] + (["known now"] if told else []),
        "figure": [column.figure for column in part.columns] + ([False] if told else []),
        "wide": [column.wide for column in part.columns] + ([2] if told else []),
        "rows": [
            [cell_words(cell, kind) for cell, kind in zip(row.cells, kinds, strict=True)]
            + ([row.since] if told else [])
            for row in part.rows
        ],
        "total": [cell_words(cell, kind) for cell, kind in zip(part.total, kinds, strict=False)]
        + ([""] if told and part.total else []),
        "nothing": part.nothing,
    }
