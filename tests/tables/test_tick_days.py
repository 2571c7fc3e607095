"""Days as they head the columns of an old sheet."""

from __future__ import annotations

from datetime import date

import pytest

from tarsus.tables.park_words import LANGUAGES, language
from tarsus.tables.tick_days import looks_like_day, written_days

TODAY = date(2026, 6, 1)


@pytest.mark.parametrize(
    ("text", "left_out"),
    [
        *(("3.4.2021", ""), ("2021-04-03", ""), ("Sat 3.4.2021", ""), ("44289", ""), ("3.4.21", "")),
        *(("3.4.", "2021"), ("3/4", "2021"), ("Sa, 3.4.", "2021"), ("3 April", "2021"), ("3-Apr", "2021")),
        *(("Apr 3", "2021"), ("4月3日", "2021"), ("3日(土)", "2021-04")),
        *(("3", "2021-04"), ("Sa 3", "2021-04"), ("3rd", "April 2021"), ("sam. 3", "2021-04")),
    ],
)
def test_a_heading_that_names_the_third_of_april_is_that_day(text: str, left_out: str) -> None:
    written = written_days([text])[text]
    assert written is not None
    assert bool(written.wants) == bool(left_out)
    found = written.read(left_out, TODAY, "day first")
    assert found is not None
    assert (found.day, found.precision) == (date(2021, 4, 3), "day")


@pytest.mark.parametrize(
    "text", ["Kelp", "WB 20417", "32", "2019", "April 2021", "7 G", "12.14.3", "Mon", ""]
)
def test_what_names_no_day_is_none(text: str) -> None:
    assert not looks_like_day(text)


def test_mar_2_is_a_tuesday_among_days_of_the_week_and_a_day_of_march_alone() -> None:
    alone = written_days(["mar 2", "mar 3"])["mar 2"]
    among = written_days(["lun 1", "mar 2", "mer 3"])["mar 2"]
    assert alone is not None
    assert among is not None
    assert (alone.wants, among.wants) == ("year", "month")


def test_every_language_has_words_for_each_meaning_and_for_days_of_the_week() -> None:
    for code in LANGUAGES:
        sections = language(code).sections
        assert set(sections["ticked"]) == {"seen", "not seen", "not looked for", "not there yet"}, code
        assert set(sections["unseen"]) == {"nobody"}, code
        assert len(sections["weekdays"]["words"]) >= 14, code
