"""What is computed twice passes the same cases: every module that the phone computes with has its JSON."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SHARED = ROOT / "src" / "tarsus" / "web" / "static" / "shared"
TESTS = ROOT / "tests"

TWINS = {
    "band-words.js": "js/marks-in-words.json",
    "calls.js": "published/round_cases.json",
    "certainty.js": "published/words_cases.json",
    "colour-vision.js": "published/machado_matrices.json",
    "counting.js": "published/round_cases.json",
    "days.js": "published/day_cases.json",
    "lights.js": "published/light_cases.json",
    "looking.js": "published/identification_cases.json",
    "matching.js": "published/loose_band_cases.json",
    "misfit.js": "published/misfit_cases.json",
    "misreading.js": "published/identification_cases.json",
    "missing.js": "published/short_count_cases.json",
    "naming.js": "published/round_cases.json",
    "numbers.js": "published/words_cases.json",
    "open-ends.js": "published/identification_cases.json",
    "pairing-approximate.js": "published/reconciliation_cases.json",
    "pairing-plan.js": "published/reconciliation_cases.json",
    "pairing-sums.js": "published/reconciliation_cases.json",
    "photograph-looks.js": "published/photograph_cases.json",
    "photograph.js": "published/photograph_cases.json",
    "places.js": "published/place_cases.json",
    "plumage.js": "published/plumage_cases.json",
    "reading.js": "published/identification_cases.json",
    "reconcile.js": "published/reconciliation_cases.json",
    "reconcile-in-states.js": "published/reconciliation_cases.json",
    "round.js": "published/round_cases.json",
    "search-order.js": "published/search_order_cases.json",
    "search-walk.js": "published/search_walk_cases.json",
    "second-look.js": "published/second_look_cases.json",
    "times-of-day.js": "published/time_cases.json",
    "wearers.js": "published/loose_band_cases.json",
    "weights.js": "published/weight_cases.json",
    "witnesses.js": "published/witness_cases.json",
    "words.js": "published/words_cases.json",
}
"""Modules that compute what the server computes too, with the cases that both sides pass."""

ARRANGING = {
    "band-bodies.js": "draws",
    "band-close.js": "draws",
    "band-drawing.js": "draws",
    "band-figure.js": "draws",
    "band-key.js": "draws",
    "band-parts.js": "draws",
    "band-sites.js": "says where on the drawing a site is",
    "fitting.js": "puts the steps that the pack names into the order of a fact; the server works them out",
    "deed-form.js": "fills in the declared fields of a deed; the server reads them anew, and refuses",
    "facts.js": "makes facts and their times; only a phone makes them",
    "in-hand.js": "keeps what is found while a bird is held; the server checks what it is told",
    "legkeys.js": "puts keys in an order that a thumb learns; only the phone has keys",
    "offline.js": "decides what a page without a connection is answered with",
    "open-leg.js": "leaves a leg open while it is being read; the server takes the reading as it was told",
    "holding.js": "says who holds this phone; the server asks its own hand-overs",
    "outbox.js": "decides what is said to the server next; the server has no outbox",
    "pack.js": "names the pack's keys and looks birds up in it",
    "phone-news.js": "parts a message into its title and its text; only the phone shows it",
    "photo-patch.js": "picks the pixels of a tap out of a picture; the server weighs no picture",
    "photo-scale.js": "makes a picture smaller on a canvas of the browser",
    "photo-taken.js": "reads when a picture was taken; the server takes it at its word",
    "photo-taps.js": "sets taps out for photograph.js",
    "pair.js": "says what stands where on two drawings; the server draws none",
    "pair-drawing.js": "draws",
    "palette.js": "reads the palette that the page carries",
    "plan-drawing.js": "draws",
    "practice.js": "keeps what one person practises; the answers stay on the phone",
    "practice-memory.js": "weighs what one person remembers of a practice that stays on the phone",
    "practice-sight.js": "says to one person which colours they take for each other; it is kept nowhere",
    "practice-words.js": "says how ready the person is whose phone it is",
    "report.js": "writes the keys of one kind of fact, and leaves out whom this phone has seen since",
    "rounds.js": "chooses the call that this phone goes on with out of calls.js",
    "sides.js": "sorts sites into sides",
    "tally-rule.js": "draws",
    "tiles.js": "puts tiles in an order that does not jump; only the phone has tiles",
    "together.js": "sets readings out for reconcile.js",
    "through-glasses.js": "draws",
    "told-here.js": "takes out of a pack what this phone told of; the server makes the next pack itself",
    "where.js": "takes the places looked at in vain out of a list of shares",
}
"""Modules that only arrange, and why the server has no twin of them."""


def importers(module: str) -> list[Path]:
    """The tests in JavaScript that import a module, by themselves or through another module of the folder."""
    wanted, found = {module}, True
    while found:
        more = {
            path.name
            for path in SHARED.glob("*.js")
            if path.name not in wanted
            and set(re.findall(r"from '\./([\w-]+\.js)'", path.read_text(encoding="utf-8"))) & wanted
        }
        found = bool(more)
        wanted |= more
    told = [*TESTS.glob("js/*.mjs"), *TESTS.glob("js/*.js")]
    pattern = re.compile(r"/shared/([\w-]+\.js)'")
    return [path for path in told if set(pattern.findall(path.read_text(encoding="utf-8"))) & wanted]


def test_every_module_of_the_phone_either_has_a_twin_or_says_why_it_needs_none() -> None:
    modules = {path.name for path in SHARED.glob("*.js")}
    assert not TWINS.keys() & ARRANGING.keys()
    assert modules == TWINS.keys() | ARRANGING.keys()


@pytest.mark.parametrize(("module", "cases"), TWINS.items())
def test_both_sides_pass_the_cases_of_a_twin(module: str, cases: str) -> None:
    name = Path(cases).name
    assert (TESTS / cases).is_file()
    python = [path for path in TESTS.rglob("test_*.py") if path != Path(__file__)]
    stem = name.removesuffix(".json")
    read_here = [path for path in python if re.search(rf'"{stem}(?:\.json)?"', path.read_text("utf-8"))]
    assert read_here, f"no test in Python reads {name}"
    read_there = [path for path in importers(module) if name in path.read_text("utf-8")]
    assert read_there, f"no test of {module} in JavaScript reads {name}"
