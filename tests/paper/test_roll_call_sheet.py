"""The roll-call sheet as a PDF, read back with pypdf."""

from __future__ import annotations

import datetime as dt
import io
import sys
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

sys.path.insert(0, str(Path(__file__).parent))
from reading import looks_like_ours

from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN, LETTERS
from tarsus.paper.bands import DARKEST_WHITE_LETTER, ColourOnPaper, luminance
from tarsus.paper.roll_call_sheet import SheetBird, SheetFlock, roll_call_sheet
from tarsus.paper.typesetting import PaperFailed, typeset

COLOURS = {name: ColourOnPaper(LETTERS[name], value) for name, value in BUILT_IN.colours}
SAMPHIRE = SheetBird(
    "Samphire", "F", Marks.of({"left tibia": ["metal"], "right tibia": ["red", "white"]}), "WB 20423"
)
TULLY = SheetBird("Tully", "M", Marks(), told=("nick in the bill", "white toe"))


def sheet(*flocks: SheetFlock, **changes: Any) -> bytes:
    plain: dict[str, Any] = {
        "park": "Wendlebrook Bird Garden",
        "exhibit": "Shingle Aviary",
        "monday": dt.date(2026, 6, 8),
        "printed": "7 June 2026, 17:20",
        "flocks": flocks or (SheetFlock("avocet", 1, "0.1.0", (SAMPHIRE,)),),
        "colours": COLOURS,
    }
    return roll_call_sheet(**(plain | changes))


def words(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


def test_the_sheet_names_the_week_the_birds_and_their_numbers() -> None:
    (page,) = words(sheet())
    for said in ("Week 24", "8 June to 14 June 2026", "Mo 8", "Su 14", "Samphire", "WB 20423", "0.1.0"):
        assert said in page
    assert "Counted, of 1" in page
    assert "Seen is not well" in page


def test_the_sheet_has_the_look_of_every_paper() -> None:
    looks_like_ours(sheet(), "Roll call, Shingle Aviary, week 24")


def test_twenty_nine_birds_and_the_key_stand_on_one_sheet() -> None:
    birds = tuple(SheetBird(f"Bird {n}", "F", SAMPHIRE.marks, f"WB {n}") for n in range(29))
    (page,) = words(sheet(SheetFlock("avocet", 29, "0.29.0", birds)))
    assert "Seen is not well" in page


def test_bands_carry_their_letters_in_black_and_white() -> None:
    (page,) = words(sheet())
    assert "R\nW" in page or "R W" in page.replace("\n", " ")
    assert "m" in page


def test_a_bird_without_bands_is_told_by_its_natural_marks() -> None:
    (page,) = words(sheet(SheetFlock("kea", 1, "1.0.0", (TULLY,))))
    assert "nick in the bill; white" in page.replace("\n", " ")
    assert "In the bands" not in page


def test_each_flock_has_pages_of_its_own() -> None:
    pages = words(
        sheet(SheetFlock("avocet", 1, "0.1.0", (SAMPHIRE,)), SheetFlock("kea", 1, "1.0.0", (TULLY,)))
    )
    assert len(pages) == 2
    assert "Samphire" not in pages[1]


def test_the_same_sheet_is_the_same_to_the_byte() -> None:
    assert sheet() == sheet()


def test_the_dark_colours_of_the_built_in_palette_are_printed_solid() -> None:
    dark = {name for name, value in BUILT_IN.colours if luminance(value) < DARKEST_WHITE_LETTER}
    assert dark == {"blue", "purple", "black", "brown"}


def test_luminance_is_that_of_the_published_definition() -> None:
    # WCAG 2.2: white is 1, black 0; #777777 on white misses 4.5 to 1 narrowly, at 4.48 (from memory).
    assert (luminance("#ffffff"), luminance("#000000")) == (pytest.approx(1.0), 0.0)
    assert 1.05 / (luminance("#777777") + 0.05) == pytest.approx(4.48, abs=0.005)


def test_a_name_that_would_be_code_is_only_a_name() -> None:
    bird = SheetBird('#panic("x") *bold* $x$ "', "F", SAMPHIRE.marks)
    (page,) = words(sheet(SheetFlock("avocet", 1, "0.1.0", (bird,))))
    assert '#panic("x")' in page.replace("\n", " ").replace("”", '"').replace("“", '"')


def test_a_value_that_the_template_needs_and_does_not_get_fails_loudly() -> None:
    with pytest.raises(PaperFailed, match="roll_call_sheet"):
        typeset("roll_call_sheet", sheet={"title": "only a title"})
