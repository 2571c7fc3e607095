"""The relief keeper's brief as a PDF, read back with pypdf."""

from __future__ import annotations

import io
import re
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader

sys.path.insert(0, str(Path(__file__).parent))
from reading import looks_like_ours

from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN, LETTERS
from tarsus.paper.bands import ColourOnPaper
from tarsus.paper.relief_brief import BriefBird, BriefCount, ReliefBrief, relief_brief

SEDGE = Marks.of({"left tibia": ["metal"], "right tibia": ["yellow", "green"]})
BRIEF = ReliefBrief(
    park="Wendlebrook Bird Garden",
    exhibit="Shingle Aviary",
    day="Thursday 11 June 2026",
    printed="11 June 2026, 06:40",
    counts=(BriefCount("avocet", 29, "12.14.3", 3), BriefCount("ruff", 14, "7.4.3", 0)),
    look_for=(BriefBird("Sedge", "3 days, limit 3; north spit, then reed edge.", (SEDGE,), urgent=True),),
    vet=(BriefBird("Thrift", "Lame, right. Keepers: does it feed?"),),
    parts=(("Due", ("Weigh Tansy again (today).",)), ("New since 1 June", ()), ("Notes", ("gate sticks",))),
    colours={name: ColourOnPaper(LETTERS[name], value) for name, value in BUILT_IN.colours},
    metal_letter="m",
)


def pages(brief: ReliefBrief) -> list[str]:
    read = PdfReader(io.BytesIO(relief_brief(brief))).pages
    return [" ".join(page.extract_text().replace("\u200b", "").split()) for page in read]


def test_the_brief_says_whom_to_count_look_for_and_watch_on_one_page() -> None:
    (page,) = pages(BRIEF)
    for said in (
        *("Shingle Aviary", "Thursday 11 June 2026", "avocet 29 12.14.3 3", "ruff 14 7.4.3 0"),
        *("Sedge · SEARCH", "north spit, then reed edge", "Thrift", "Keepers: does it feed?"),
        *(
            "Weigh Tansy again",
            "gate sticks",
            "Seen is not well",
            "printed 11 June 2026, 06:40",
            "page 1 of 1",
        ),
    ):
        assert said in page, said
    assert page.count("SEARCH") == 1
    assert "New since" not in page, "a part without lines is left out"


def test_bands_are_letters_so_that_black_and_white_will_do() -> None:
    (page,) = PdfReader(io.BytesIO(relief_brief(BRIEF))).pages
    assert re.search(r"Y\s+G", page.extract_text())
    spaces = [space.get_object() for space in page["/Resources"]["/ColorSpace"].values()]
    assert [space[1].get_object()["/N"] for space in spaces] == [1], "one space, of one component: grey"
    drawn = page.get_contents().get_data().decode("latin-1")
    assert not re.search(r"[\d.]+ [\d.]+ [\d.]+ (?:rg|RG|scn|SCN|k|K)\b", drawn), (
        "nothing is told by a colour"
    )


def test_it_looks_like_every_other_paper() -> None:
    looks_like_ours(relief_brief(BRIEF), "Relief keeper's brief, Shingle Aviary")


@pytest.mark.parametrize("letters", [8, 60])
def test_two_hundred_birds_with_long_names_stay_on_one_page_and_what_is_cut_is_counted(letters: int) -> None:
    birds = tuple(
        BriefBird(
            f"{n}{'q' * (letters - len(str(n)))}", "3 days, limit 3; north spit.", (SEDGE,), urgent=True
        )
        for n in range(100)
    )
    lines = tuple(f"Weigh number {n} again: it was {'very ' * 12}light." for n in range(100))
    full = replace(BRIEF, look_for=birds, vet=birds, parts=(("Due", lines), ("Notes", lines)))
    (page,) = pages(full)
    shown = len(re.findall(r"SEARCH", page)) // 2
    assert shown >= 6
    assert f"and {100 - shown} more to look for: look at Today." in page
    assert f"and {100 - shown} more with the vet" in page
    kept = page.count("Weigh number 0 again"), page.count("Weigh number 2 again")
    assert kept == (2, 2)


def test_the_same_brief_gives_the_same_paper() -> None:
    assert relief_brief(BRIEF) == relief_brief(BRIEF)
