"""The cells of a report as page and paper tell them."""

from __future__ import annotations

from datetime import date, datetime

from tarsus.core.reports.report import Cell, Kind
from tarsus.core.words.days import day_words


def cell_words(cell: Cell, kind: Kind) -> str:
    """A cell as page and paper tell it; a workbook takes the value itself.

    Args:
        cell: the value; a moment is told by the clock that it carries.
        kind: of its column.
    """
    if cell is None or cell == "":
        return ""
    if isinstance(cell, datetime):
        return f"{day_words(cell)}, {cell:%H:%M}"
    if isinstance(cell, date):
        return day_words(cell)
    if isinstance(cell, str):
        return cell
    if kind is Kind.SHARE:
        return f"{100 * cell:.0f} %"
    if kind is Kind.GRAMS:
        return f"{cell:g} g"
    return f"{cell:.1f}".replace("-", "−") if isinstance(cell, float) else str(cell).replace("-", "−")
