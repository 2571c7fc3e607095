"""What programs are told in reports, as types."""

from __future__ import annotations

from datetime import date, datetime

from ninja import Schema


class ReportKindOut(Schema):
    """A report that may be asked for."""

    name: str
    title: str
    tells: str


CellOut = str | int | float | date | datetime | None


class ReportColumnOut(Schema):
    """A column of a report."""

    name: str
    kind: str


class ReportRowOut(Schema):
    """A row; `since` says what is different now from what was known then."""

    cells: list[CellOut]
    bird: int | None
    since: str


class ReportPartOut(Schema):
    """One table of a report; `nothing` is said where it has no rows."""

    title: str
    columns: list[ReportColumnOut]
    rows: list[ReportRowOut]
    total: list[CellOut]
    nothing: str


class ReportOut(Schema):
    """A report as the page, the paper and the workbook tell it."""

    name: str
    title: str
    span: str
    known: str
    known_on: date | None
    notes: list[str]
    parts: list[ReportPartOut]
