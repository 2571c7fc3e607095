"""Two hundred birds of long names on every paper: soon set, all there, and no name torn inside a word."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Final

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from reading import opened, words
from test_exhibit_plan import PLAN, set_plan
from test_relief_brief import BRIEF
from test_report import paper, report
from test_roll_call_sheet import sheet
from test_wall_and_hand import LONG, SAMPHIRE, board, cards, chart

from tarsus.core.reports.report import Row
from tarsus.paper.bird_record import RecordPart, bird_record
from tarsus.paper.catch_up_cards import CatchCard
from tarsus.paper.plan_on_paper import PaperPin, PaperStep
from tarsus.paper.relief_brief import BriefBird, relief_brief
from tarsus.paper.roll_call_sheet import SheetBird, SheetFlock
from tarsus.paper.visitor_board import BoardBird

SECONDS: Final = 5.0
"""Of one core; each takes under one here."""
NAMES: Final = [f"{LONG} {n}" for n in range(200)]
BIRDS: Final = tuple(SheetBird(name, "F", SAMPHIRE.marks, "WB 20423") for name in NAMES)


def a_sheet() -> bytes:
    return sheet(SheetFlock("avocet", 200, "0.200.0", BIRDS))


def some_cards() -> bytes:
    duties = ("Replace its band, left tibia.", "Weigh.")
    return cards(
        *(CatchCard(name, "Pied avocet", "F", "WB 1", SAMPHIRE.marks, duties, "318 g") for name in NAMES)
    )


def a_board() -> bytes:
    return board(*(BoardBird(name, "female", SAMPHIRE.marks, "Came in spring. " * 12) for name in NAMES))


def a_brief() -> bytes:
    missing = tuple(BriefBird(name, "3 days; north spit.", (SAMPHIRE.marks,)) for name in NAMES)
    return relief_brief(replace(BRIEF, look_for=missing))


def a_record() -> bytes:
    mates = RecordPart("Mates", tuple((name, "from 2 May 2026") for name in NAMES))
    return bird_record(
        park="Wendlebrook", bird=LONG, species="Pied avocet", printed="7 June 2026", parts=[mates]
    )


def a_month() -> bytes:
    return paper(report(*(Row((name,), (name, 300)) for name in NAMES)), signatures=True)


def a_plan() -> bytes:
    places = [f"{LONG} {n}" for n in range(30)]
    pins = tuple(PaperPin(name, n / 30, n / 30, str(n), 0.1) for n, name in enumerate(places))
    steps = tuple(PaperStep(name, "2", str(n), (f"{LONG} 3 %",) * 7) for n, name in enumerate(places))
    return set_plan(replace(PLAN, pins=pins, steps=steps), birds=200)


@pytest.mark.parametrize(
    "made",
    [
        a_sheet,
        lambda: chart(*BIRDS),
        lambda: chart(*BIRDS, size="a3"),
        some_cards,
        a_board,
        a_brief,
        a_record,
        a_month,
        a_plan,
    ],
    ids=["sheet", "chart", "chart-a3", "cards", "board", "brief", "record", "month", "plan"],
)
def test_two_hundred_long_names_are_soon_set_and_whole(made: Callable[[], bytes]) -> None:
    began = time.process_time()
    pdf = made()
    assert time.process_time() - began < SECONDS
    said = words(pdf)
    for part in LONG.split("-"):
        assert part in said, f"{part} is torn"
    assert LONG.replace("-", "") in said.replace("-", "").replace(" ", "")


def test_long_names_take_one_sheet_more_at_most() -> None:
    short = sheet(SheetFlock("avocet", 200, "0.200.0", tuple(replace(one, name="Kelp") for one in BIRDS)))
    pages = [len(opened(one).pages) for one in (short, a_sheet())]
    assert pages[1] <= pages[0] + 1, pages
