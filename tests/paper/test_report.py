"""A report on paper, read back."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from reading import looks_like_ours, opened, tags, words

from tarsus.core.reports.compared import compared
from tarsus.core.reports.report import Column, Kind, Part, Report, Row
from tarsus.paper.report import report_paper

COLUMNS = (Column("bird", wide=1), Column("weight", Kind.GRAMS, summed=True))


def report(*rows: Row, columns: tuple[Column, ...] = COLUMNS) -> Report:
    return Report(
        "weights",
        "Weights",
        "May 2026",
        (Part("Birds", columns, rows, "No weight was told."),),
        ("Of one scale.",),
    )


def paper(told: Report, *, signatures: bool = False) -> bytes:
    return report_paper(
        told, park="Wendlebrook Bird Garden", printed="7 June 2026, 17:20", signatures=signatures
    )


KELP, SEDGE = Row(("1",), ("Kelp", 318.5)), Row(("2",), ("Sedge", 301))


def test_the_paper_says_what_the_report_says() -> None:
    pdf = paper(report(KELP, SEDGE))
    looks_like_ours(pdf, "Weights, May 2026")
    said = words(pdf)
    for told in (
        "Wendlebrook",
        "Weights May 2026. As known now.",
        "Kelp 318.5 g",
        "all 619.5 g",
        "Of one scale.",
    ):
        assert told in said, told
    assert "known now" not in said.replace("As known now", "")


def test_a_table_is_tagged_as_one_with_its_heads() -> None:
    found = tags(paper(report(KELP, SEDGE)))
    assert found.count("/TH") == 2
    assert {"/H1", "/H2", "/Table", "/TR", "/TD"} <= set(found)


def test_what_is_different_now_has_a_column_of_its_own() -> None:
    said = words(paper(compared(report(KELP, SEDGE), report(KELP), date(2026, 5, 9))))
    assert "As known at the end of 9 May 2026" in said
    assert "no longer so" in said


def test_an_empty_part_is_told() -> None:
    assert "No weight was told." in words(paper(report()))


def test_a_month_has_lines_to_sign_on() -> None:
    assert "Drawn up by, date" in words(paper(report(KELP), signatures=True))
    assert "Drawn up by, date" not in words(paper(report(KELP)))


def test_many_columns_lie_across_the_page() -> None:
    many = tuple(Column(f"column {n}") for n in range(9))
    box = opened(paper(report(Row(("1",), ("x",) * 9), columns=many))).pages[0].mediabox
    assert box.width > box.height


def test_a_long_name_stays_on_the_page_and_whole() -> None:
    long = "Rhynchopsittaciforme" * 3
    said = words(paper(report(Row(("1",), (long, 1)))))
    assert long in said.replace(" ", "")


def test_two_hundred_birds_run_over_pages_with_the_head_on_each() -> None:
    rows = [Row((str(n),), (f"Bird {n}", n)) for n in range(200)]
    pdf = paper(report(*rows))
    pages = [page.extract_text() for page in opened(pdf).pages]
    assert len(pages) > 2
    assert all("weight" in page for page in pages[:-1])
    assert "Bird 199" in words(pdf)
