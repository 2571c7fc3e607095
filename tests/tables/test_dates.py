"""Dates of a keeper's table: as closely known as they were written, and never guessed."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils.datetime import to_excel

from tarsus.tables.dates import PartialDate, UnclearDate, read_date, slash_order

TODAY = date(2026, 6, 11)


@pytest.mark.parametrize(
    ("text", "day", "precision"),
    [
        ("2021-04-03", date(2021, 4, 3), "day"),
        ("2021-04-03 07:30", date(2021, 4, 3), "day"),
        ("3.4.2021", date(2021, 4, 3), "day"),
        (" 03. 04. 2021 ", date(2021, 4, 3), "day"),
        ("3.4.21", date(2021, 4, 3), "day"),
        ("3.4.98", date(1998, 4, 3), "day"),
        ("3 April 2021", date(2021, 4, 3), "day"),
        ("3rd Apr 2021", date(2021, 4, 3), "day"),
        ("April 3, 2021", date(2021, 4, 3), "day"),
        ("23/4/2021", date(2021, 4, 23), "day"),
        ("4/23/2021", date(2021, 4, 23), "day"),
        ("5/5/2021", date(2021, 5, 5), "day"),
        ("44289", date(2021, 4, 3), "day"),
        ("44289.5", date(2021, 4, 3), "day"),
        ("April 2021", date(2021, 4, 1), "month"),
        ("2021-04", date(2021, 4, 1), "month"),
        ("4/2021", date(2021, 4, 1), "month"),
        ("2019", date(2019, 1, 1), "year"),
        ("spring 2019", date(2019, 4, 15), "about"),
        ("Late autumn 2019", date(2019, 10, 15), "about"),
        ("about 2015", date(2015, 7, 1), "about"),
        ("c. April 2015", date(2015, 4, 15), "about"),
        ("3.4.2021?", date(2021, 4, 3), "about"),
    ],
)
def test_a_date_is_known_as_closely_as_it_was_written(text: str, day: date, precision: str) -> None:
    assert read_date(text, TODAY) == PartialDate(day, precision)


@pytest.mark.parametrize("text", ["", "?", " - ", "unknown"])
def test_no_date_is_no_date(text: str) -> None:
    assert read_date(text, TODAY) is None


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("3/4/2021", "day/month or month/day"),
        ("31.2.2021", "no day of the calendar"),
        ("2021-13-01", "no day of the calendar"),
        ("12.6.2026", "in the future"),
        ("next spring", "is no date"),
        ("12345", "is no date"),
        ("before 2010", "is no date"),
    ],
)
def test_an_unclear_date_is_refused_and_not_guessed(text: str, reason: str) -> None:
    with pytest.raises(UnclearDate) as refused:
        read_date(text, TODAY)
    assert reason in refused.value.reason
    assert refused.value.remedy


def test_the_file_itself_tells_which_way_round_its_dates_are() -> None:
    assert slash_order(["3/4/2021", "23/4/2021", "x"]) == "day first"
    assert slash_order(["3/4/2021", "4/23/2021"]) == "month first"
    assert slash_order(["3/4/2021"]) == ""
    assert slash_order(["23/4/2021", "4/23/2021"]) == ""
    assert read_date("3/4/2021", TODAY, "day first") == PartialDate(date(2021, 4, 3))
    assert read_date("3/4/2021", TODAY, "month first") == PartialDate(date(2021, 3, 4))


def test_spring_comes_in_october_south_of_the_line() -> None:
    assert read_date("spring 2019", TODAY, southern=True) == PartialDate(date(2019, 10, 15), "about")
    assert read_date("summer 2019", TODAY, southern=True) == PartialDate(date(2019, 1, 15), "about")


@given(day=st.dates(date(1950, 1, 1), TODAY))
def test_serial_numbers_are_those_of_the_spreadsheet_library(day: date) -> None:
    # openpyxl's own conversion is the outside check.
    serial = to_excel(datetime(day.year, day.month, day.day))  # noqa: DTZ001 - spreadsheets know no zones
    assert read_date(str(int(serial)), TODAY) == PartialDate(day)


@given(day=st.dates(date(1950, 1, 1), TODAY))
def test_a_date_that_is_written_out_is_read_back(day: date) -> None:
    assert read_date(str(PartialDate(day)), TODAY) == PartialDate(day)
