"""A report as plain values: how cells are read, what is summed, what is known now of what was known then."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from tarsus.core.reports.compared import NO_LONGER, compared
from tarsus.core.reports.report import TOLD_SINCE, Column, Kind, Part, Report, Row
from tarsus.core.words.cells import cell_words

COLUMNS = (Column("bird"), Column("weight", Kind.GRAMS, summed=True), Column("seen", Kind.DAY))


def part(*rows: Row) -> Part:
    return Part("Birds", COLUMNS, rows, "No bird.")


def report(*rows: Row) -> Report:
    return Report("weights", "Weights", "May 2026", (part(*rows),))


KELP = Row(("1",), ("Kelp", 318.5, date(2026, 5, 3)))
SEDGE = Row(("2",), ("Sedge", 301, None))


@pytest.mark.parametrize(
    ("cell", "kind", "said"),
    [
        (None, Kind.GRAMS, ""),
        (318.5, Kind.GRAMS, "318.5 g"),
        (0.934, Kind.SHARE, "93 %"),
        (-2, Kind.NUMBER, "−2"),
        (0.25, Kind.NUMBER, "0.2"),
        (date(2026, 5, 3), Kind.DAY, "3 May 2026"),
        (datetime(2026, 5, 3, 6, 5, tzinfo=UTC), Kind.MOMENT, "3 May 2026, 06:05"),
    ],
)
def test_a_cell_is_read_by_the_kind_of_its_column(cell: object, kind: Kind, said: str) -> None:
    assert cell_words(cell, kind) == said  # type: ignore[arg-type]  # any cell


def test_a_total_stands_under_what_is_summed_and_only_below_several_rows() -> None:
    assert part(KELP, SEDGE).total == ("all", 619.5, None)
    assert part(KELP).total == ()


def test_what_was_told_since_is_shown_and_not_summed() -> None:
    told = compared(
        report(KELP, SEDGE), report(KELP, SEDGE, Row(("3",), ("Dock", 99, None))), date(2026, 5, 9)
    )
    assert [row.since for row in told.parts[0].rows] == ["", "", TOLD_SINCE]
    assert told.parts[0].total == ("all", 619.5, None)


def test_what_is_known_now_stands_beside_what_was_known_then() -> None:
    now = report(Row(("1",), ("Kelp", 320, None)))
    told = compared(report(KELP, SEDGE), now, date(2026, 5, 9))
    assert [row.cells[0] for row in told.parts[0].rows] == ["Kelp", "Sedge"]
    assert [row.since for row in told.parts[0].rows] == ["now weight: 320 g; seen: none", NO_LONGER]
    assert told.known == (
        "As known at the end of 9 May 2026; what is different now stands in the last column."
    )


def test_a_report_of_which_nothing_is_different_says_so() -> None:
    told = compared(report(KELP), report(KELP), date(2026, 5, 9))
    assert not told.parts[0].differs
    assert told.known.endswith("nothing of it is different now.")


def test_a_part_that_was_not_there_then_is_told_since() -> None:
    later = Part("Reed House", COLUMNS, (SEDGE,), "No bird.")
    now = Report("weights", "Weights", "May 2026", (part(KELP), later))
    told = compared(report(KELP), now, date(2026, 5, 9))
    assert [(one.title, [row.since for row in one.rows]) for one in told.parts] == [
        ("Birds", [""]),
        ("Reed House", [TOLD_SINCE]),
    ]


def test_two_rows_of_one_key_are_refused() -> None:
    with pytest.raises(AssertionError, match="two rows have one key"):
        part(KELP, KELP)
