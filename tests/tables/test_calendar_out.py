"""A calendar held against the text of RFC 5545."""

from __future__ import annotations

from datetime import UTC, date, datetime

from tarsus.tables.calendar_out import CalendarDay, calendar_text

MADE = datetime(2026, 6, 11, 6, 41, tzinfo=UTC)


def lines_of(text: str) -> list[str]:
    """Content lines, unfolded: a line break and one space after it are taken out (RFC 5545, 3.1)."""
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    for line in text.split("\r\n"):
        assert len(line.encode()) <= 75, line
    return text.removesuffix("\r\n").replace("\r\n ", "").split("\r\n")


def told(*days: CalendarDay) -> list[str]:
    return lines_of(calendar_text("Due, Wendlebrook", days, MADE))


def test_a_calendar_has_what_the_standard_asks_for() -> None:
    # RFC 5545, 3.6: PRODID and VERSION once; 3.6.1: UID and DTSTAMP in every event, DTEND after DTSTART.
    event = CalendarDay("1@tarsus", date(2026, 12, 31), "Weigh Kelp.", category="Today")
    lines = told(event)
    assert (lines[0], lines[-1]) == ("BEGIN:VCALENDAR", "END:VCALENDAR")
    assert [line for line in lines if line.startswith(("VERSION", "PRODID"))] == [
        "VERSION:2.0",
        "PRODID:-//Tarsus//Duties//EN",
    ]
    begins, ends = lines.index("BEGIN:VEVENT"), lines.index("END:VEVENT")
    assert lines[begins + 1 : ends] == [
        "UID:1@tarsus",
        "DTSTAMP:20260611T064100Z",
        "DTSTART;VALUE=DATE:20261231",
        "DTEND;VALUE=DATE:20270101",
        "SUMMARY:Weigh Kelp.",
        "CATEGORIES:Today",
        "TRANSP:TRANSPARENT",
    ]


def test_text_is_escaped_as_in_the_standards_own_example() -> None:
    # RFC 5545, 3.3.11: "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared."
    words = "Project XYZ Final Review\nConference Room - 3B\r\nCome Prepared."
    lines = told(CalendarDay("1", MADE.date(), "a;b,c\\d", words))
    assert r"DESCRIPTION:Project XYZ Final Review\nConference Room - 3B\nCome Prepared." in lines
    assert r"SUMMARY:a\;b\,c\\d" in lines


def test_a_long_line_is_folded_and_no_letter_is_cut_in_two() -> None:
    name = "Wäldchen ♀ 🐦 " * 40
    assert f"SUMMARY:{name}" in told(CalendarDay("1", MADE.date(), name))


def test_nothing_in_a_name_ends_its_line() -> None:
    lines = told(CalendarDay("1", MADE.date(), "Kelp\r\nEND:VCALENDAR\x00\x0b"))
    assert r"SUMMARY:Kelp\nEND:VCALENDAR" in lines
    assert lines.count("END:VCALENDAR") == 1
