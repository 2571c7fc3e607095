"""Write examples/wendlebrook.xlsx and .csv: the invented park's own list, awkward as real ones are.

    .venv/bin/python scripts/write_example_spreadsheet.py

What is awkward in it, on purpose: titles and a remark above the headings, headings in two lines and merged,
species merged over several birds, a line with an exhibit's name between the birds, the headings once more
further down, blank lines and blanks at the ends of cells, `?` for a sex, dates in five forms, two birds with
the same marks, a metal number twice, two metals on one leg, a band where the species is not banded, the metal
on the other side for the sex, a misspelt colour, a letter that may be three colours, a mate of another list,
a column that no field is for, and a second sheet with other things.
"""

from __future__ import annotations

import csv
import sys
from datetime import date, datetime
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.styles import Alignment, Font

FOLDER = Path(__file__).resolve().parents[1] / "examples"
MADE = datetime(2026, 6, 1, 12)  # noqa: DTZ001 - the format keeps moments without a zone

GROUPS = ["", "", "", "", "", "", "Rings, from the body outward", "", "", "", "", ""]
HEADINGS = [
    *[
        "Bird ",
        "Species",
        "Sex",
        "Hatched",
        "Aviary",
        "With us since",
        "Left",
        " Right",
        "Ring no.",
        "Mother",
    ],
    *["Temper", "Remarks"],
]

AVIARY = "Shingle Aviary"
HOUSE = "Reed House"
POOL = "Penguin Shore"

# Bird, species, sex, hatched, aviary, with us since, left, right, ring no., mother, temper, remarks
BIRDS: list[list[Any]] = [
    [
        "Samphire",
        "Pied avocet",
        "F",
        date(2019, 5, 14),
        AVIARY,
        date(2019, 6, 20),
        "m",
        "YG",
        "WB 20417",
        "",
        "calm",
        "",
    ],
    [
        "Kelp ",
        None,
        "M",
        "17.5.2019",
        AVIARY,
        "20.6.2019",
        "Y/G",
        "m",
        "WB 20418",
        "",
        "",
        "mate of Samphire",
    ],
    ["Sedge", None, " f", "spring 2019", AVIARY, "2019", "m", "green over yellow", "WB 20419", "", "shy", ""],
    [
        "Thrift",
        None,
        "?",
        43602,
        AVIARY,
        "2020-04-01",
        "m",
        "RW",
        "WB 20420",
        "",
        "",
        "feather sample asked for",
    ],
    [
        "Marram",
        None,
        "cock",
        "2020-05-02",
        AVIARY,
        "April 2021",
        "red, blue",
        "metal",
        "WB 20421",
        "Samphire",
        "",
        "",
    ],
    [
        "Orache",
        None,
        "hen",
        "about 2018",
        AVIARY,
        "2020-04-01",
        "m",
        "R W",
        "WB 20422",
        "",
        "",
        "same colours as Thrift",
    ],
    ["Spurrey", None, "0.1", "2021-05-11", AVIARY, "2021-06-30", "m", "tael", "WB 20423", "Sedge", "", ""],
    ["Campion", None, "M", "2021-05-11", AVIARY, "2021-06-30", "OW", "m", "WB 20417", "Sedge", "", ""],
    [],
    ["Reed House"],
    [],
    ["Teasel", "Ruff", "F", "2022-06-03", HOUSE, "2022-07-15", "m", "B", "WB 31001", "", "", ""],
    [
        "Burdock",
        None,
        "M",
        "2022-06-03",
        HOUSE,
        "2022-07-15",
        "W",
        "m",
        "WB 31002",
        "",
        "bold",
        "left toe bent",
    ],
    ["Dock", None, "?", "2022-06-09", HOUSE, "2022-07-15", "m m", "L", "", "", "", "came with two metals"],
    [
        "Bistre",
        None,
        "M",
        "2022",
        HOUSE,
        "2022-07-15",
        "m",
        "V",
        "WB 31004",
        "",
        "",
        "metal on the left from its old home",
    ],
    [
        "Sorrel",
        None,
        "F",
        "2023-05-30",
        HOUSE,
        "3/4/2023",
        "m",
        "G(tie)",
        "WB 31005",
        "",
        "",
        "temporary tie, check weekly",
    ],
    ["Nettle", None, "F", "2023-05-30", HOUSE, "2023-07-01", "LT m", "P", "WB 31006", "", "", ""],
    "headings again",
    ["Lapwing's Ghost", "Ruf", "?", "", HOUSE, "2023-07-01", "-", "-", "", "", "", "unbanded"],
    [
        "",
        None,
        "F",
        "2023-06-02",
        HOUSE,
        "2023-07-01",
        "m",
        "K",
        "WB 31008",
        "Teasel",
        "",
        "no house name yet",
    ],
    [
        "Yarrow",
        "African penguin",
        "F",
        "12.3.2016",
        POOL,
        "1.9.2017",
        "OP",
        "-",
        "",
        "",
        "",
        "paired with Tansy",
    ],
    ["Tansy", None, "M", "2016-03-20", POOL, "2017-09-01", "-", "OP", "", "", "", "paired with Yarrow"],
    ["Fennel", None, "F", "2018-02-27", POOL, "2018-06-05", "RY", "-", "", "Yarrow", "", "=chick of 2018"],
    ["Dill", None, "M", "2018-02-30", POOL, "2018-06-05", "-", "RW", "", "Yarrow", "", ""],
    ["Lovage", None, "F", "", "Penguin Shroe", "2019-09-01", "YK", "-", "", "", "", ""],
]

MERGED_SPECIES = [(0, 7), (11, 16), (20, 24)]


def lines() -> list[list[Any]]:
    """Every line of the sheet from the first title on."""
    head = [
        ["Wendlebrook Bird Garden: who wears what"],
        ["as of 1 June 2026; an invented park"],
        [],
        GROUPS,
        HEADINGS,
    ]
    return head + [HEADINGS if line == "headings again" else list(line) for line in BIRDS]


def write_workbook(path: Path) -> None:
    """The workbook, with its merged cells and its second sheet."""
    book = openpyxl.Workbook()
    book.properties.created = book.properties.modified = MADE
    book.properties.creator = "Wendlebrook Bird Garden (invented)"
    sheet = book.active
    assert sheet is not None
    sheet.title = "Birds 2026"
    for line in lines():
        sheet.append(line)
    sheet.merge_cells("A1:L1")
    sheet.merge_cells("G4:H4")
    for column in "ABCDEFIJKL":
        sheet[f"{column}4"] = sheet[f"{column}5"].value
        sheet[f"{column}5"] = None
        sheet.merge_cells(f"{column}4:{column}5")
    first = len(lines()) - len(BIRDS) + 1
    for begins, ends in MERGED_SPECIES:
        sheet.merge_cells(f"B{first + begins}:B{first + ends}")
    section = first + 9
    sheet.merge_cells(f"A{section}:L{section}")
    dress(sheet, first)
    feed = book.create_sheet("Feed")
    feed.append(["Aviary", "Morning", "Evening"])
    feed.append([AVIARY, "pellets, 400 g", "pellets, 300 g"])
    book.save(path)


def dress(sheet: Any, first: int) -> None:
    """Bold headings, widths, dates as the park shows them; a remark that begins with = stays a remark."""
    for row in sheet.iter_rows(min_row=1, max_row=5):
        for cell in row:
            cell.font = Font(bold=True)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
    for column, width in zip("ABCDEFGHIJKL", (16, 18, 7, 13, 17, 13, 10, 18, 11, 11, 8, 34), strict=True):
        sheet.column_dimensions[column].width = width
    for row in sheet.iter_rows(min_row=first):
        for cell in row:
            if isinstance(cell.value, str) and cell.value.startswith("="):
                cell.data_type = "s"
            if isinstance(cell.value, date):
                cell.number_format = "dd/mm/yyyy"


def write_csv(path: Path) -> None:
    """The same list as an old spreadsheet program saves it: semicolons, Windows-1252, no merged cells."""
    species = ""
    with path.open("w", encoding="cp1252", newline="") as out:
        table = csv.writer(out, delimiter=";")
        for line in lines():
            if line and line != HEADINGS and line != GROUPS and len(line) > 2:
                species = line[1] or species
                line[1] = species
            table.writerow(value.strftime("%d.%m.%Y") if isinstance(value, date) else value for value in line)


def main() -> int:
    """Write both files."""
    FOLDER.mkdir(exist_ok=True)
    write_workbook(FOLDER / "wendlebrook.xlsx")
    write_csv(FOLDER / "wendlebrook.csv")
    print(f"wrote {FOLDER}/wendlebrook.xlsx and .csv")
    return 0


if __name__ == "__main__":
    sys.exit(main())
