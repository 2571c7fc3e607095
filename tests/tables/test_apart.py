"""A spreadsheet cannot stop the park: it is taken apart in a process of its own, or refused in a sentence."""

from __future__ import annotations

import io
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from tarsus.tables import apart
from tarsus.tables.apart import grids_apart
from tarsus.tables.csv_in import csv_grid
from tarsus.tables.reading import LARGEST_FILE, read_table
from tarsus.tables.rows import UnreadableTable
from tarsus.tables.xlsx_in import xlsx_grids

FIRST_LINES = b"Bird;Species;Sex\nKelp;Ruff;m\xc3\xa4nnlich\n"


def workbook(fill: Callable[[openpyxl.Workbook], None]) -> bytes:
    book, packed = openpyxl.Workbook(), io.BytesIO()
    fill(book)
    book.save(packed)
    return packed.getvalue()


def with_sheet(contents: bytes, sheet: bytes) -> bytes:
    """A workbook whose first sheet is other XML."""
    packed = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(contents)) as old,
        zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for part in old.namelist():
            new.writestr(part, sheet if part == "xl/worksheets/sheet1.xml" else old.read(part))
    return packed.getvalue()


def locked(contents: bytes) -> bytes:
    """The same workbook with its parts marked as locked by a password.

    Source:
        APPNOTE.TXT, the ZIP file format, 4.4.4: general purpose bit 0, encrypted.
    """
    changed = bytearray(contents)
    for mark, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = changed.find(mark)
        while at >= 0:
            changed[at + flags] |= 1
            at = changed.find(mark, at + 4)
    return bytes(changed)


def filled(book: openpyxl.Workbook) -> None:
    book.active.append(["Bird", "Species", "Ring no."])
    book.active.append(["Kelp", "Ruff", 42])
    book.active.merge_cells("A4:B4")
    book.active["C5"] = "=A1/0"


def test_a_process_of_its_own_reads_what_would_have_been_read_here() -> None:
    contents = workbook(filled)
    assert grids_apart(contents, "park.xlsx") == xlsx_grids(contents, "park.xlsx")
    assert grids_apart(FIRST_LINES, "park.csv") == (csv_grid(FIRST_LINES, "park.csv"),)


def many_columns(book: openpyxl.Workbook) -> None:
    book.active.append([f"column {number}" for number in range(201)])


def far_cell(book: openpyxl.Workbook) -> None:
    book.active["A1"] = "Bird"
    book.active["A1048576"] = "far below"


LAUGHS = b"""<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a "ha ha ha ha ha ha ha ha ha ha">%s]>
<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1">
<c r="A1" t="inlineStr"><is><t>&i;</t></is></c></row></sheetData></worksheet>""" % b"".join(
    b'<!ENTITY %c "%s">' % (one, b"&%c;" % (one - 1) * 10) for one in range(ord("b"), ord("j"))
)


@pytest.mark.parametrize(
    ("contents", "said"),
    [
        (workbook(many_columns), "201 columns; at most 60000 lines and 200 columns can be meant"),
        (workbook(far_cell), "has 1048576 lines"),
        (with_sheet(workbook(filled), b"<c " * 2_000_001), "has more than 2000000 cells"),
        (with_sheet(workbook(filled), LAUGHS), "cannot be read as XLSX"),
        (with_sheet(workbook(filled), b"<worksheet"), "cannot be read as XLSX"),
        (locked(workbook(filled)), "is locked by a password"),
        (workbook(filled)[:-200], "is no XLSX workbook"),
        (b"\xd0\xcf\x11\xe0" + b"\0" * 2000, "locked by a password"),
        (b"x" * (LARGEST_FILE + 1), "is larger than 40 MB"),
        (b"a;b\n" + b'"' + b"x;" * (1024 * 1024), "is no text table"),
    ],
    ids=["wide", "far", "cells", "laughs", "broken", "locked", "cut", "old", "large", "quotes"],
)
def test_what_is_hostile_broken_locked_or_too_large_is_one_sentence(contents: bytes, said: str) -> None:
    with pytest.raises(UnreadableTable) as refusal:
        read_table(contents, "park.xlsx", lambda heading: heading == "Bird")
    assert said in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_a_process_that_is_ended_is_a_sentence_about_the_file(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(apart.sys, "executable", "/bin/false")
    with pytest.raises(UnreadableTable, match="takes more time or memory than a table of birds needs"):
        grids_apart(workbook(filled), "park.xlsx")


def test_nothing_that_lies_in_the_folder_of_the_park_is_run(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "openpyxl.py").write_text("raise SystemExit(7)", encoding="utf-8")
    (tmp_path / "json.py").write_text("raise SystemExit(7)", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert grids_apart(workbook(filled), "park.xlsx")


def test_a_machine_of_many_cores_does_not_fill_the_memory_before_the_file_is_read() -> None:
    threads = "import openpyxl, os; print(len(os.listdir('/proc/self/task')))"
    told = subprocess.run(
        [sys.executable, "-c", threads], env=apart.surroundings(), capture_output=True, text=True, check=True
    )
    assert told.stdout.strip() == "1"


def test_the_process_bounds_its_own_time_memory_and_files() -> None:
    bound = "import resource as r; from tarsus.tables import apart; apart._bound_myself(); "
    asked = (
        "print(*(r.getrlimit(one)[1] for one in (r.RLIMIT_CPU, r.RLIMIT_AS, r.RLIMIT_CORE, r.RLIMIT_FSIZE)))"
    )
    told = subprocess.run([sys.executable, "-c", bound + asked], capture_output=True, text=True, check=True)
    assert told.stdout.split() == [str(apart.SECONDS), str(apart.MEMORY_BYTES), "0", "0"]
    more = "from tarsus.tables import apart; apart._bound_myself(); bytearray(apart.MEMORY_BYTES)"
    denied = subprocess.run([sys.executable, "-c", more], capture_output=True, text=True, check=False)
    assert "MemoryError" in denied.stderr
