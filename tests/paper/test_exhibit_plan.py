"""The plan of an exhibit as a PDF, alone and in the relief keeper's brief, read back with pypdf."""

from __future__ import annotations

import io
import re
import sys
from base64 import b64encode
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

sys.path.insert(0, str(Path(__file__).parent))
from reading import looks_like_ours, words
from test_relief_brief import BRIEF, SEDGE

from tarsus.paper.exhibit_plan import exhibit_plan
from tarsus.paper.plan_on_paper import PaperPin, PaperPlan, PaperStep
from tarsus.paper.plan_picture import made_anew
from tarsus.paper.relief_brief import BriefBird, relief_brief

PLAN = PaperPlan(
    tall=1.2,
    picture="",
    shapes=(("wall", ((0, 0), (1, 0), (1, 1))), ("water", ((0.2, 0.3), (0.5, 0.3), (0.4, 0.6)))),
    entrance=(0.1, 0.9),
    pins=(
        PaperPin("north spit", 0.3, 0.2, "2", 0.6),
        PaperPin("rail", 0.8, 0.3, "1", 0.9),
        PaperPin("reed edge", 0.8, 0.6, "", 0.0),
    ),
    steps=(
        PaperStep("rail", "2", "2", ("Kelp 81 %", "Sedge 7 %")),
        PaperStep("north spit", "5", "7", ("Sedge 41 %",)),
    ),
    says="7 minutes. 1.3 of 2 likely on this walk; the rest elsewhere.",
)


def photographed() -> str:
    """A picture of noise, as large as one may be that a phone carries."""
    out = io.BytesIO()
    Image.effect_noise((900, 1080), 120).save(out, "PNG")
    return b64encode(made_anew(out.getvalue(), "picture", "draw it").jpeg).decode()


def set_plan(plan: PaperPlan = PLAN, birds: int = 2) -> bytes:
    return exhibit_plan(
        park=BRIEF.park,
        exhibit=BRIEF.exhibit,
        day=BRIEF.day,
        printed=BRIEF.printed,
        plan=plan,
        birds=[BriefBird(f"Bird {n}", "1 day, limit 4.", (SEDGE,)) for n in range(birds)],
        colours=BRIEF.colours,
        metal_letter="m",
    )


def test_the_plan_says_in_which_order_to_look_and_who_is_likely_there() -> None:
    told = words(set_plan())
    for said in (
        *("Shingle Aviary: 2 missing", "Thursday 11 June 2026", "reed edge", "page 1 of 1"),
        "7 minutes. 1.3 of 2 likely on this walk; the rest elsewhere.",
    ):
        assert said in told, said
    table = told[told.index("Search in this order") :]
    assert re.search(r"1 rail 2 2 .*Kelp 81 %.*Sedge 7 %.*2 north spit 5 7 .*Sedge 41 %", table)


def test_it_looks_like_every_other_paper_and_nothing_is_told_by_a_colour() -> None:
    pdf = set_plan()
    looks_like_ours(pdf, "Search plan, Shingle Aviary")
    (page,) = PdfReader(io.BytesIO(pdf)).pages
    drawn = page.get_contents().get_data().decode("latin-1")  # type: ignore[union-attr]  # the page has contents
    assert not re.search(r"[\d.]+ [\d.]+ [\d.]+ (?:rg|RG|k|K)\b", drawn)


def test_a_photograph_stands_on_the_paper_as_it_is_kept() -> None:
    (page,) = PdfReader(io.BytesIO(set_plan(replace(PLAN, picture=photographed())))).pages
    assert [image.image.width > 300 for image in page.images if image.image] == [True]
    (bare,) = PdfReader(io.BytesIO(set_plan())).pages
    assert not list(bare.images)


def test_nobody_missing_leaves_a_plan_with_its_places() -> None:
    told = words(set_plan(replace(PLAN, steps=(), says="Nobody has to be looked for just now."), 0))
    assert "Nobody has to be looked for just now." in told
    assert "Search in this order" not in told
    assert "missing" not in told


@pytest.mark.parametrize("crowded", [False, True])
def test_the_brief_carries_the_plan_and_stays_on_one_page(crowded: bool) -> None:
    brief = replace(BRIEF, plan=PLAN)
    if crowded:
        many = tuple(f"line {n} of something that is due and has to be said in a sentence" for n in range(60))
        birds = tuple(BriefBird(f"{n}{'q' * 57}", "3 days, limit 3.", (SEDGE,)) for n in range(90))
        parts = tuple((f"Part {n}", many) for n in range(4))
        brief = replace(brief, look_for=birds, vet=birds, parts=parts)
    pdf = relief_brief(brief)
    assert len(PdfReader(io.BytesIO(pdf)).pages) == 1
    told = words(pdf)
    assert "1 rail, 2 min, by 2: Kelp 81 %, Sedge 7 %" in told
    assert "2 north spit, 5 min, by 7: Sedge 41 %" in told
    assert "Plan" not in words(relief_brief(BRIEF))
