"""Whatever stands in the cells of a spreadsheet: lines that can be read, lines refused, or one sentence."""

from __future__ import annotations

import csv
import io

import pytest
from django.db import transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from fuzz import NUMBERS, SHARES, WORDS, patience, share
from refusing import _held
from tarsus.actions.imports import bring_in, planned
from tarsus.core.errors import TarsusError
from tarsus.tables.choices import Choices
from tarsus.tables.columns import columns_for, field_of
from tarsus.tables.reading import read_table
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
LINES = 5
SENSE = {
    "name": ("Tern", "Knot", "Kelp", "x", ""),
    "number": ("A-7", "", "12"),
    "species": ("Pied avocet", "ruff", "Ruff"),
    "sex": ("F", "m", "?", "female"),
    "exhibit": ("Shingle Aviary", "Reed House"),
    "since": ("2026-03-04", "2025-12-31", "3 May 2024"),
    "hatched": ("2019", "about 2019-05", "2020-06", ""),
    "marks": ("m/YB", "YB/m", "W/m", "left leg: red, blue", ""),
    "dam": ("Kelp", "", "Sedge"),
    "note": ("calm", "", "=1+1"),
}
HEADINGS = list(SENSE)
ODD = WORDS.filter(lambda word: "\x00" not in word).map(
    lambda word: word.encode("utf-8", "replace").decode()
) | NUMBERS.map(str)


def cells(heading: str) -> st.SearchStrategy[str]:
    """Mostly what such a column holds, and now and then what no column does."""
    sense = st.sampled_from(SENSE[heading])
    if heading == "species":
        # One that the park has not is asked about before anything is brought in: one sheet in ten has some.
        return st.integers(0, 50).flatmap(lambda one: ODD if one == 50 else sense)
    return st.one_of(sense, sense, sense, sense, ODD)


ROWS = st.lists(st.fixed_dictionaries({one: cells(one) for one in HEADINGS}), min_size=LINES, max_size=LINES)


def written(headings: list[str], rows: list[dict[str, str]], first: str) -> bytes:
    """The file: Python's own CSV, under these headings, the first of them perhaps called otherwise."""
    text = io.StringIO()
    lines = [[row[heading] for heading in headings] for row in rows]
    csv.writer(text).writerows([[first or headings[0], *headings[1:]], *lines])
    return text.getvalue().encode()


def test_a_hostile_sheet_is_read_line_by_line_or_refused(park: Wendlebrook) -> None:
    heard = {"cells": 0, "planned": 0, "brought": 0}
    refusals: list[str] = []
    before = _held()

    @settings(max_examples=-(-share("cells") // (LINES * len(HEADINGS))), deadline=None)
    @given(
        ROWS, st.permutations(HEADINGS), st.booleans(), st.sampled_from(["", "", "more", "\u202e", "name"])
    )
    def hold(rows: list[dict[str, str]], headings: list[str], apply: bool, first: str) -> None:
        heard["cells"] += sum(map(len, rows))
        contents = written(headings, rows, first)
        choices = Choices(letters="wader")
        try:
            with patience(contents), transaction.atomic():
                sheet = read_table(contents, "park.csv", lambda heading: bool(field_of(heading)))
                columns = columns_for(sheet.headings)
                plan = planned(sheet, columns, choices)
                heard["planned"] += 1
                assert len(plan.birds) <= LINES
                if apply:
                    said = {"file_name": "park.csv", "digest": "d", "by": park.actors.corin}
                    bring_in(sheet=sheet, columns=columns, choices=choices, **said)
                    heard["brought"] += 1
                transaction.set_rollback(True)
        except TarsusError as refusal:
            refusals.append(str(refusal))

    hold()
    assert [said for said in refusals if "\n" in said or len(said) > 1500] == []
    assert _held() == before
    assert heard["cells"] >= share("cells")
    assert heard["planned"] > 0
    assert heard["brought"] > 0 or share("cells") < SHARES["cells"], "a few sheets may all have a question"
