"""A laboratory's list: numbers on tubes and what was found, however it is headed."""

from __future__ import annotations

import io

import pytest
from openpyxl import Workbook

from tarsus.tables.laboratory import read_results
from tarsus.tables.rows import UnreadableTable

LIST = "Lab no;Sample no.;Result\n771;S-17;female\n772;s-18;ZZ\n773;S-19;failed\n774;S-20;3\n775;;male\n"


def told(contents: bytes) -> list[tuple[int, str, str]]:
    return [(line.line, line.label, line.sex) for line in read_results(contents, "list.csv")]


def test_each_line_says_a_sample_and_a_sex_or_why_not() -> None:
    lines = read_results(LIST.encode(), "list.csv")
    assert [(one.label, one.sex) for one in lines] == [
        ("S-17", "F"),
        ("s-18", "M"),
        ("S-19", ""),
        ("S-20", ""),
        ("", ""),
    ]
    assert lines[3].trouble == "'3' is no sex; write F, M or ?"
    assert lines[4].trouble == "has a result and no sample number"
    assert not lines[2].trouble, "no answer is an answer"


def test_two_chromosomes_that_differ_are_a_female() -> None:
    """Z and W in birds: Griffiths et al. 1998, A DNA test to sex most birds (value from memory)."""
    assert told(b"Tube,Sex\nA,ZW\nB,ZZ\nC,wz\n") == [(2, "A", "F"), (3, "B", "M"), (4, "C", "F")]


def test_a_workbook_is_read_as_a_text_is() -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (("Results of June", None), ("Your ref", "DNA sex"), ("S-17", "Female"), ("S-18", "Male")):
        sheet.append(row)
    kept = io.BytesIO()
    book.save(kept)
    assert told(kept.getvalue()) == [(3, "S-17", "F"), (4, "S-18", "M")]


def test_the_surer_heading_is_taken_where_two_would_do() -> None:
    assert told(b"ID,Sample,Sex\n1,S-17,F\n") == [(2, "S-17", "F")]


@pytest.mark.parametrize(
    ("text", "missing"), [("Sample,Weight\nA,3\n", "results, headed: result"), ("Sex,Day\nF,3\n", "sample")]
)
def test_a_column_that_is_missing_is_named(text: str, missing: str) -> None:
    with pytest.raises(UnreadableTable, match=missing):
        read_results(text.encode(), "list.csv")
