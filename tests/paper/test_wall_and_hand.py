"""The band chart for the wall and the papers of a catch-up, read back."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest
import segno

sys.path.insert(0, str(Path(__file__).parent))
from reading import looks_like_ours, opened, tags, words

from tarsus.core.care.catch_kit import BandsToTake, Kit, Tool
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN, LETTERS
from tarsus.paper.band_chart import band_chart
from tarsus.paper.bands import ColourOnPaper
from tarsus.paper.catch_up_cards import CatchCard, catch_up_cards
from tarsus.paper.roll_call_sheet import SheetBird, SheetFlock
from tarsus.paper.visitor_board import BoardBird, BoardSpecies, WayThere, visitor_board

COLOURS = {name: ColourOnPaper(LETTERS[name], value) for name, value in BUILT_IN.colours}
PRINTED = "7 June 2026, 17:20"
LONG = "Marigold-of-the-Northern-Reedbed-and-Her-Sister"


def bird(name: str, left: list[str], right: list[str], engraving: str = "", sex: str = "F") -> SheetBird:
    return SheetBird(name, sex, Marks.of({"left tibia": left, "right tibia": right}), engraving)


SAMPHIRE = bird("Samphire", ["metal"], ["red", "white"], "WB 20423")
KELP = bird("Kelp", ["yellow", "green"], ["metal"], "WB 20418", "M")
ANEMONE = bird("Anemone", ["metal"], ["yellow"])
TULLY = SheetBird("Tully", "M", Marks(), told=("nick in the bill",))


def chart(*birds: SheetBird, **changes: Any) -> bytes:
    plain: dict[str, Any] = {
        "park": "Wendlebrook Bird Garden",
        "exhibit": "Shingle Aviary",
        "printed": PRINTED,
        "flocks": (SheetFlock("avocet", len(birds), "1.2.0", birds),),
        "colours": COLOURS,
    }
    return band_chart(**(plain | changes))


def test_the_chart_stands_in_the_order_of_the_bands_so_that_a_reading_is_looked_up() -> None:
    pdf = chart(TULLY, KELP, ANEMONE, SAMPHIRE)
    looks_like_ours(pdf, "Band chart, Shingle Aviary")
    said = words(pdf)
    # Metal first, then the palette's order: red before yellow; a bird without bands comes last.
    places = [said.index(name) for name in ("Samphire", "Anemone", "Kelp", "Tully")]
    assert places == sorted(places)
    for told in ("WB 20423", "1.2.0", "nick in the bill", "R red", "m metal (hatched)"):
        assert told in said, told


@pytest.mark.parametrize(("size", "millimetres"), [("a4", (210, 297)), ("a3", (297, 420))])
def test_the_chart_comes_on_the_paper_that_is_asked_for(size: str, millimetres: tuple[int, int]) -> None:
    # A4 and A3: ISO 216; 72 points an inch of 25.4 mm.
    box = opened(chart(KELP, size=size)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx([one * 72 / 25.4 for one in millimetres])


def test_two_hundred_birds_of_any_name_are_all_on_the_chart_with_an_index() -> None:
    names = [f"{LONG} {n}" for n in range(200)]
    pdf = chart(*(bird(name, ["metal"], ["red", "blue"]) for name in names))
    said = words(pdf).replace(" ", "").replace("\u00a0", "")
    found = [said.count(name.replace(" ", "")) for name in names]
    assert min(found) >= 1
    # Once at its drawing and once in the index, of which a name may stand astride two pages.
    assert sum(times >= 2 for times in found) >= len(names) - len(opened(pdf).pages)
    assert "Byname:" in said
    assert len(opened(pdf).pages) > 4


def cards(*told: CatchCard, **changes: Any) -> bytes:
    plain: dict[str, Any] = {
        "park": "Wendlebrook Bird Garden",
        "exhibit": "Shingle Aviary",
        "day": "Thursday 11 June 2026",
        "times": "from 05:15, over by 05:35",
        "printed": PRINTED,
        "limits": ("The vet’s limits: 20 minutes from the start of catching, 25 °C.",),
        "forbidden": (),
        "caution": "Stop when a bird pants or goes limp.",
        "kit": Kit(
            (
                BandsToTake("Pied avocet", "metal", "metal", "4", ("Kelp", "Sedge"), 1),
                BandsToTake("Pied avocet", "colour", "red", "4", ("Kelp",), 11),
            ),
            (Tool("Scale"), Tool("Leg gauge", ("Kelp",))),
        ),
        "cards": told or (CARD,),
        "colours": COLOURS,
    }
    return catch_up_cards(**(plain | changes))


CARD = CatchCard(
    "Kelp", "Pied avocet", "M", "WB 20418", KELP.marks, ("Replace Kelp's band.",), "318 g, 2 May 2026"
)


def test_the_kit_comes_first_and_says_what_the_shelf_has_too_few_of() -> None:
    pdf = cards()
    looks_like_ours(pdf, "Catch-up, Shingle Aviary, Thursday 11 June 2026")
    first = " ".join(opened(pdf).pages[0].extract_text().split())
    for told in (
        "2 metal bands, size 4",
        "Kelp, Sedge",
        "1 on the shelf: too few",
        "Leg gauge: Kelp",
        "25 °C",
    ):
        assert told in first, told
    assert "11 on the shelf: too few" not in first
    assert "Stop when a bird pants" in first


def test_a_card_says_who_it_is_what_is_planned_and_has_room_for_what_was_found() -> None:
    card = " ".join(opened(cards()).pages[1].extract_text().split())
    for told in (
        "Kelp",
        "metal WB 20418",
        "Replace Kelp's band.",
        "318 g, 2 May 2026",
        "Weight, g",
        "not caught",
    ):
        assert told in card.replace("’", "'"), told


def test_what_forbids_the_catch_stands_on_its_paper() -> None:
    assert "A nest forbids it." in words(cards(forbidden=("A nest forbids it.",)))


def test_a_bird_that_left_has_a_card_that_says_so() -> None:
    assert "Lives nowhere here any more." in words(
        cards(CatchCard("Dock", "", "U", "", None, ("Weigh it.",)))
    )


def test_no_card_runs_over_a_page_however_many_there_are() -> None:
    long = CatchCard(LONG, "Pied avocet", "F", "", SAMPHIRE.marks, tuple(f"Duty {n}." for n in range(5)))
    pdf = cards(*(long for _ in range(40)))
    for page in opened(pdf).pages[1:]:
        said = page.extract_text()
        assert said.count("Duty 0.") == said.count("not caught")


def test_what_is_read_aloud_begins_with_a_heading() -> None:
    for pdf in (chart(KELP), cards()):
        assert "/H1" in tags(pdf)
        assert "/H2" in tags(pdf)


def board(*birds: BoardBird, **changes: Any) -> bytes:
    plain: dict[str, Any] = {
        "park": "Wendlebrook Bird Garden",
        "exhibit": "Shingle Aviary",
        "printed": PRINTED,
        "species": [BoardSpecies("Pied avocet", "Recurvirostra avosetta", birds)],
        "colours": COLOURS,
    }
    return visitor_board(**(plain | changes))


NODS = BoardBird("Kelp", "male, 4 years", KELP.marks, "Nods before every meal.")


def test_the_board_tells_visitors_who_is_who_and_draws_the_way_to_the_page_as_squares() -> None:
    address = "https://park.example/visitors/1/"
    code = [[bool(dot) for dot in row] for row in segno.make(address, error="m", micro=False).matrix]
    way = WayThere(address, ["".join("1" if dot else "0" for dot in row) for row in code])
    pdf, without = board(NODS, way=way), board(NODS)
    looks_like_ours(pdf, "Who's who, Shingle Aviary")
    for told in ("Kelp", "male, 4 years", "Nods before every meal.", "Recurvirostra avosetta", "G green"):
        assert told in words(pdf), told
    assert address in words(pdf)
    assert "visitors" not in words(without)
    # Each dark square is a filled path of its own; the board without the code has none of them.
    dark = sum(map(sum, code))
    drawn = [opened(one).pages[0].get_contents().get_data().split().count(b"f") for one in (pdf, without)]
    assert drawn[0] - drawn[1] == dark


@pytest.mark.parametrize(("size", "millimetres"), [("a4", (210, 297)), ("a3", (297, 420))])
def test_a_board_of_two_hundred_birds_names_each_once(size: str, millimetres: tuple[int, int]) -> None:
    birds = [BoardBird(f"{LONG} {n}", "female", SAMPHIRE.marks, "Came in spring. " * 12) for n in range(200)]
    pdf = board(*birds, size=size)
    box = opened(pdf).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx([one * 72 / 25.4 for one in millimetres])
    said = words(pdf).replace(" ", "")
    assert said.count(LONG.replace(" ", "")) == 200
    assert said.count("Cameinspring.") == 200 * 12
