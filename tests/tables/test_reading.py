"""Spreadsheets as parks really keep them: read to plain rows, or refused in one sentence."""

from __future__ import annotations

import io
import zipfile
from datetime import date, datetime
from typing import Any

import openpyxl
import pytest

from tarsus.tables.columns import field_of
from tarsus.tables.reading import read_table
from tarsus.tables.rows import Sheet, UnreadableTable


def known(heading: str) -> bool:
    return bool(field_of(heading))


def workbook(fill: Any) -> bytes:
    book = openpyxl.Workbook()
    fill(book.active)
    saved = io.BytesIO()
    book.save(saved)
    return saved.getvalue()


def read(contents: bytes, name: str = "park.xlsx", sheet: str = "") -> Sheet:
    return read_table(contents, name, known, sheet)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_text_tables_come_in_every_dress(encoding: str, delimiter: str) -> None:
    lines = [
        ["Bird", "Species", "Marks", "Note"],
        ["Zoë", "Pied avocet", "m/YG", 'likes "shade", and; rain | wind'],
        ["", "", "", ""],
        ["Kelp", "Ruff", "-", "first line\nsecond line"],
        ["Sedge", "Ruff", "O/m", ""],
    ]
    import csv

    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows(lines)
    sheet = read(text.getvalue().encode(encoding), "park.csv")
    assert sheet.headings == ("Bird", "Species", "Marks", "Note")
    assert [(row.line, row.as_mapping()["Bird"]) for row in sheet.rows] == [
        (2, "Zoë"),
        (4, "Kelp"),
        (6, "Sedge"),
    ]
    assert sheet.rows[0].as_mapping()["Note"] == 'likes "shade", and; rain | wind'
    assert sheet.rows[1].as_mapping()["Note"] == "first line; second line"


def test_titles_above_and_blank_lines_between_are_no_birds() -> None:
    def fill(sheet: Any) -> None:
        sheet["A1"] = "Wendlebrook Bird Garden"
        sheet.merge_cells("A1:D1")
        sheet["A2"] = "as of June"
        sheet.append([])
        sheet.append(["Bird ", " Species", "Sex", "Bands"])
        sheet.append(["Samphire", "Pied avocet", "F", "m/YG"])
        sheet.append([None, None, None, None])
        sheet["A8"] = "Ruffs"
        sheet.merge_cells("A8:D8")
        sheet.append(["Bird", "Species", "Sex", "Bands"])
        sheet.append(["Kelp", "Ruff", "?", "-"])

    sheet = read(workbook(fill))
    assert sheet.headings == ("Bird", "Species", "Sex", "Bands")
    assert [(row.line, row.cells[0][1]) for row in sheet.rows] == [(5, "Samphire"), (10, "Kelp")]
    assert [(remark.line, remark.text) for remark in sheet.passed_over] == [
        (8, "'Ruffs' stands alone in its line; passed over")
    ]


def test_merged_headings_are_taken_apart() -> None:
    def fill(sheet: Any) -> None:
        sheet.append(["Bird", "Species", "Left leg", None, "Right leg", None])
        sheet.append([None, None, "upper", "lower", "upper", "lower"])
        sheet.append(["Samphire", "Pied avocet", "m", None, "YG", None])
        for area in ("A1:A2", "B1:B2", "C1:D1", "E1:F1"):
            sheet.merge_cells(area)

    sheet = read(workbook(fill))
    assert sheet.headings[:4] == ("Bird", "Species", "Left leg upper", "Left leg lower")
    assert field_of(sheet.headings[4]) == "right tibia"
    assert sheet.rows[0].cells[2] == ("Left leg upper", "m")


def test_a_title_merged_over_half_the_table_is_not_part_of_its_headings() -> None:
    def fill(sheet: Any) -> None:
        sheet.append(["Birds of the garden", None, None, None])
        sheet.merge_cells("A1:C1")
        sheet.append(["Bird", "Species", "Sex", "Bands"])
        sheet.append(["Samphire", "Pied avocet", "F", "m/YG"])

    assert read(workbook(fill)).headings == ("Bird", "Species", "Sex", "Bands")


def test_a_cell_merged_over_several_birds_speaks_for_all_of_them() -> None:
    def fill(sheet: Any) -> None:
        sheet.append(["Bird", "Species"])
        for name, species in (("Samphire", "Pied avocet"), ("Kelp", None), ("Sedge", "Ruff")):
            sheet.append([name, species])
        sheet.merge_cells("B2:B3")

    assert [row.cells[1][1] for row in read(workbook(fill)).rows] == ["Pied avocet", "Pied avocet", "Ruff"]


def test_dates_numbers_and_leading_noughts_are_read_as_they_are_shown() -> None:
    def fill(sheet: Any) -> None:
        sheet.append(["Bird", "Species", "Hatched", "Ring no", "Since"])
        sheet.append(
            ["Samphire", "Pied avocet", date(2019, 4, 3), 417, datetime.fromisoformat("2021-04-03 07:30")]
        )
        sheet["D2"].number_format = "00000"
        sheet.append(["Kelp", "Ruff", 43558, 20417.0, "3.4.2021"])

    first, second = read(workbook(fill)).rows
    assert [text for _, text in first.cells[2:]] == ["2019-04-03", "00417", "2021-04-03 07:30"]
    assert [text for _, text in second.cells[2:]] == ["43558", "20417", "3.4.2021"]


def test_the_stored_result_of_a_formula_counts_and_a_missing_one_is_told() -> None:
    contents = workbook(
        lambda sheet: [
            sheet.append(["Bird", "Species", "Note"]),
            sheet.append(["Samphire", "Pied avocet", "=1+1"]),
            sheet.append(["Kelp", "Ruff", "=A3"]),
        ]
    )
    # A formula as a spreadsheet program saves it: with its result beside it.
    with zipfile.ZipFile(io.BytesIO(contents)) as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    page = parts["xl/worksheets/sheet1.xml"].replace(b"<f>1+1</f><v></v>", b"<f>1+1</f><v>2</v>")
    parts["xl/worksheets/sheet1.xml"] = page.replace(b"<f>1+1</f><v />", b"<f>1+1</f><v>2</v>")
    again = io.BytesIO()
    with zipfile.ZipFile(again, "w") as packed:
        for name, part in parts.items():
            packed.writestr(name, part)
    first, second = read(again.getvalue()).rows
    assert first.cells[2] == ("Note", "2")
    assert first.faults == ()
    assert [(fault.field, fault.reason) for fault in second.faults] == [
        ("Note", "the formula has no stored result")
    ]


def test_the_sheet_with_the_birds_is_found_and_the_others_are_told_of() -> None:
    def fill(sheet: Any) -> None:
        sheet.title = "Read me"
        sheet["A1"] = "how to use this file"
        birds = sheet.parent.create_sheet("Birds 2026")
        birds.append(["Bird", "Species"])
        birds.append(["Samphire", "Pied avocet"])

    contents = workbook(fill)
    sheet = read(contents)
    assert (sheet.name, sheet.other_sheets) == ("Birds 2026", ("Read me",))
    with pytest.raises(UnreadableTable, match="did you mean 'Birds 2026'"):
        read(contents, sheet="Birds 2025")


def test_a_sign_guarded_against_formulas_comes_back_without_its_guard() -> None:
    sheet = read(b"Bird,Species,Marks,Note\nKelp,Ruff,'-/YG,'tis a note\n", "park.csv")
    assert sheet.rows[0].as_mapping() == {
        "Bird": "Kelp",
        "Species": "Ruff",
        "Marks": "-/YG",
        "Note": "'tis a note",
    }


def test_headings_that_are_missing_or_alike_are_told_apart() -> None:
    sheet = read(b"Bird,Species,,Note,Note\nKelp,Ruff,x,one,two\n", "park.csv")
    assert sheet.headings == ("Bird", "Species", "column C", "Note", "Note (2)")


def bomb() -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as book:
        for part in range(5):
            book.writestr(f"xl/worksheets/sheet{part}.xml", b" " * (50 * 1024 * 1024))
    return packed.getvalue()


@pytest.mark.parametrize(
    ("contents", "said"),
    [
        (b"", "is empty"),
        (b"PK\x03\x04 broken", "is no XLSX workbook"),
        (b"\xd0\xcf\x11\xe0 old", "old kind"),
        (b"\x00\x01\x02\x03", "no text table"),
        (b'Bird,Species\n"Kelp,Ruff\n', "line 2: is no text table"),
        (b"just a line\nand another\n", "no row of headings"),
    ],
)
def test_what_is_no_table_is_refused_in_one_sentence(contents: bytes, said: str) -> None:
    with pytest.raises(UnreadableTable, match=said):
        read(contents, "park.csv")


def test_a_file_that_unpacks_to_far_more_than_it_is_is_refused() -> None:
    with pytest.raises(UnreadableTable, match="unpacks to more than 200 MB"):
        read(bomb())


def test_a_workbook_without_a_filled_cell_is_refused() -> None:
    with pytest.raises(UnreadableTable, match="no filled sheet"):
        read(workbook(lambda sheet: None))
