"""A report as a workbook, read back: real numbers and dates, text that stays text, what it is beside it."""

from __future__ import annotations

import io
from datetime import UTC, date, datetime

import openpyxl

from tarsus.core.reports.compared import compared
from tarsus.core.reports.report import Column, Kind, Part, Report, Row
from tarsus.tables.report_book import write_report

COLUMNS = (
    Column("bird", wide=1),
    Column("seen", Kind.SHARE),
    Column("on", Kind.DAY),
    Column("at", Kind.MOMENT),
)
KELP = Row(("1",), ("=SUM(A1)", 0.4, date(2026, 5, 3), datetime(2026, 5, 3, 6, 5, tzinfo=UTC)))


def report(*rows: Row, titles: tuple[str, ...] = ("Birds",)) -> Report:
    parts = tuple(Part(title, COLUMNS, rows, "No bird.") for title in titles)
    return Report("presence", "Presence", "May 2026", parts, ("Seen is not well.",))


def book(told: Report) -> openpyxl.Workbook:
    out = io.BytesIO()
    write_report(told, park="Wendlebrook", printed="7 June 2026", out=out)
    return openpyxl.load_workbook(io.BytesIO(out.getvalue()))


def test_figures_and_days_are_real_ones_and_text_is_no_formula() -> None:
    sheet = book(report(KELP))["Birds"]
    assert [cell.value for cell in sheet[1]] == ["bird", "seen", "on", "at"]
    name, seen, on, at = sheet[2]
    assert (name.value, name.data_type) == ("=SUM(A1)", "s")
    assert (seen.value, seen.number_format) == (0.4, "0%")
    assert on.value == datetime(2026, 5, 3)  # noqa: DTZ001  # the format knows no zones
    assert at.value == datetime(2026, 5, 3, 6, 5)  # noqa: DTZ001  # as above
    assert sheet.freeze_panes == "A2"


def test_a_day_of_which_the_format_knows_nothing_is_text() -> None:
    old = Row(("1",), ("Kelp", 0.4, date(221, 4, 3), datetime(1899, 5, 3, 6, 5, tzinfo=UTC)))
    _, _, on, at = book(report(old))["Birds"][2]
    assert (on.value, at.value) == ("0221-04-03", "1899-05-03 06:05")


def test_the_book_says_what_it_is() -> None:
    said = {tuple(cell.value for cell in row) for row in book(report())["About"].iter_rows()}
    assert {("park", "Wendlebrook"), ("of", "May 2026"), ("known", "As known now.")} <= said
    assert {("note", "Seen is not well."), ("empty", "Birds: No bird.")} <= said


def test_exhibits_of_any_name_have_a_sheet_each() -> None:
    # What a sheet's name may not hold, and its 31 characters: as openpyxl and XlsxWriter hold it.
    long = "The aviary of the waders by the northern pond"
    names = book(report(KELP, titles=(long, f"{long} [old]", "About", "a/b:c*?"))).sheetnames
    assert len(names) == len({name.lower() for name in names}) == 5
    assert all(len(name) <= 31 for name in names)


def test_what_is_different_now_has_a_column_of_its_own() -> None:
    sheet = book(compared(report(KELP), report(), date(2026, 5, 9)))["Birds"]
    assert [cell.value for cell in sheet["E"]] == ["known now", "no longer so"]
