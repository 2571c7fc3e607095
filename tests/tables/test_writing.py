"""What goes out comes in again, and no cell is ever taken for a formula."""

from __future__ import annotations

import csv
import io
import json
from datetime import UTC, date, datetime
from enum import StrEnum

import openpyxl
import pytest

from tarsus.tables.book_out import write_workbook
from tarsus.tables.reading import read_table
from tarsus.tables.writing import Table, csv_text, json_text

ROWS = [
    ("Samphire", "-/YG", 3, 0.25, True, date(2021, 4, 3), datetime(2026, 6, 11, 7, 30, tzinfo=UTC), None),
    ("=cmd|'/c calc'!A1", "+m", -4, 1.5, False, None, None, 'say "shade", or\nrain'),
]


class Letters(StrEnum):
    RED = "red"


HEADINGS = ("name", "marks", "nails", "share", "tame", "hatched", "seen", "note")
DANGEROUS = ["=1+1", "+1", "-1+1", "@SUM(A1)", "\t=1", "\r=1", "-"]


def written_csv(table: Table) -> str:
    return "".join(csv_text(table))


def test_a_csv_file_says_everything_and_guards_its_signs() -> None:
    text = written_csv(Table("birds", HEADINGS, ROWS))
    assert text.startswith("\ufeff")
    first, second = list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))
    assert first["marks"] == "'-/YG"
    assert second["name"] == "'=cmd|'/c calc'!A1"
    assert (second["nails"], second["tame"], first["seen"]) == ("-4", "no", "2026-06-11T07:30:00+00:00")


@pytest.mark.parametrize("text", DANGEROUS)
def test_no_text_is_a_formula_in_csv(text: str) -> None:
    written = written_csv(Table("t", ("a", "b"), [(text, "x")])).splitlines(keepends=True)
    cell = next(csv.reader(["".join(written[1:])]))[0]
    assert cell[0] == "'"


@pytest.mark.parametrize("text", DANGEROUS)
def test_no_text_is_a_formula_in_a_workbook(text: str) -> None:
    saved = io.BytesIO()
    write_workbook([Table("t", ("a", "b"), [(text, "x")])], saved)
    cell = openpyxl.load_workbook(saved).active["A2"]
    assert cell.data_type != "f"
    assert cell.value.strip() == text.strip()


def test_a_guarded_cell_is_read_back_as_it_was() -> None:
    contents = written_csv(Table("t", ("name", "marks"), [("Kelp", "-/YG")])).encode()
    row = read_table(contents, "t.csv", lambda heading: heading in ("name", "marks")).rows[0]
    assert row.as_mapping() == {"name": "Kelp", "marks": "-/YG"}


def test_a_workbook_keeps_numbers_and_dates_as_such() -> None:
    saved = io.BytesIO()
    write_workbook([Table("birds", HEADINGS, ROWS), Table("rounds", ("at",), [])], saved)
    book = openpyxl.load_workbook(saved)
    assert book.sheetnames == ["birds", "rounds"]
    cells = [cell.value for cell in book["birds"][2]]
    assert cells[:5] == ["Samphire", "-/YG", 3, 0.25, True]
    assert cells[5].date() == date(2021, 4, 3)
    assert cells[6] == "2026-06-11T07:30:00+00:00"


def test_a_json_document_keeps_what_is_not_known_apart_from_what_is_empty() -> None:
    document = json.loads("".join(json_text([Table("birds", HEADINGS, ROWS), Table("rounds", ("at",), [])])))
    assert document["rounds"] == []
    assert document["birds"][0] | {"note": ""} != document["birds"][0]
    assert document["birds"][0]["note"] is None
    assert document["birds"][1]["name"] == "=cmd|'/c calc'!A1"


def test_a_table_too_long_for_one_sheet_goes_on_in_the_next() -> None:
    saved = io.BytesIO()
    tables = [Table("sightings", ("n",), [(n,) for n in range(5)]), Table("rounds", ("n",), [(1,), (2,)])]
    write_workbook(tables, saved, most_rows=2)
    book = openpyxl.load_workbook(saved)
    assert book.sheetnames == ["sightings", "sightings 2", "sightings 3", "rounds"]
    assert [cell.value for name in book.sheetnames[:3] for cell in book[name]["A"][1:]] == [0, 1, 2, 3, 4]
    assert [cell.value for cell in book["rounds"]["A"]] == ["n", 1, 2]


def test_every_character_that_a_cell_may_hold_is_read_back_and_no_other_is_written() -> None:
    # Characters that XML forbids: XML 1.0, 2.2 (Char); as the standard library's parser holds it.
    text = "a\x00\x0b\x1f<b>&\"'\r\n\tü♀\U0001f426 "
    saved = io.BytesIO()
    write_workbook([Table("<&>", ("a", "b", "c"), [(text, None, 7), ("", "", "x" * 40_000)])], saved)
    sheet = openpyxl.load_workbook(saved)["<&>"]
    assert sheet["A2"].value == "a<b>&\"'\n\tü♀\U0001f426 "
    assert (sheet["B2"].value, sheet["C2"].value) == (None, 7)
    assert (sheet["A3"].value, len(sheet["C3"].value)) == (None, 32_767)


def test_a_table_without_rows_keeps_its_head_and_days_are_days() -> None:
    saved = io.BytesIO()
    days = Table("old", ("on",), [(date(1900, 3, 1),), (date(2026, 2, 28),)])
    write_workbook([Table("none", ("a",), []), days], saved)
    book = openpyxl.load_workbook(saved)
    assert [cell.value for cell in book["none"][1]] == ["a"]
    assert [row[0].date() for row in book["old"].iter_rows(min_row=2, values_only=True)] == [
        date(1900, 3, 1),
        date(2026, 2, 28),
    ]


def test_tables_of_any_name_have_a_sheet_each() -> None:
    # What a sheet's name may not hold: as openpyxl and XlsxWriter refuse it; a bird counts twice there.
    names = ["a/b:c*?[x]\\", "A b c   x", "'Sedge'", "\U0001f426" * 31, "[]", "y" * 40, "Y" * 35]
    saved = io.BytesIO()
    write_workbook([Table(name, ("n",), [(number,)]) for number, name in enumerate(names)], saved)
    book = openpyxl.load_workbook(saved)
    assert len(book.sheetnames) == len({name.lower() for name in book.sheetnames}) == len(names)
    assert [sheet["A2"].value for sheet in book] == list(range(len(names)))
    assert "Sedge" in book.sheetnames


def test_text_that_is_cut_off_where_it_looks_like_markup_is_text() -> None:
    # The format's most: 32 767 characters a cell.
    whole = "<r>&" + "x" * (32_767 - 8) + "</r>"
    saved = io.BytesIO()
    write_workbook([Table("t", ("a",), [(whole,), (f"{whole} and more",)])], saved)
    cells = openpyxl.load_workbook(saved)["t"]["A"][1:]
    assert [(cell.value[:5], len(cell.value)) for cell in cells] == [("<r>&x", 32_767)] * 2


@pytest.mark.parametrize("text", ["<r>&</r>", "<r><t>x</t></r>"])
def test_text_that_looks_like_markup_is_text(text: str) -> None:
    saved = io.BytesIO()
    write_workbook([Table("t", ("a",), [(text,)])], saved)
    assert openpyxl.load_workbook(saved)["t"]["A2"].value.strip() == text


def test_days_of_which_the_format_knows_nothing_are_text() -> None:
    saved = io.BytesIO()
    write_workbook([Table("old", ("on",), [(date(1899, 12, 30),), (date(221, 4, 3),)])], saved)
    cells = openpyxl.load_workbook(saved)["old"]["A"][1:]
    assert [cell.value for cell in cells] == ["1899-12-30", "0221-04-03"]


def test_a_word_of_a_list_of_words_is_text() -> None:
    saved = io.BytesIO()
    write_workbook([Table("t", ("a",), [(Letters.RED,)])], saved)
    assert openpyxl.load_workbook(saved)["t"]["A2"].value == "red"
