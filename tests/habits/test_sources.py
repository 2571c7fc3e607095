"""What is computed says where it comes from; what comes from memory says so on its page; figures are made."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CORE = ROOT / "src" / "tarsus" / "core"
SCIENCE = ROOT / "docs" / "science"

TRANSLATE = ("deeds", "documents", "words")
"""Folders that translate and phrase: nothing is computed there that has a source of its own."""

ARITHMETIC = (ast.Mult, ast.Div, ast.Pow, ast.MatMult)
FUNCTIONS = {
    *("log", "exp", "sqrt", "einsum", "logsumexp", "log1p", "betaln", "gammaln", "betainc", "brentq", "milp"),
    *("beta", "gamma", "binomial", "multinomial", "median", "quantile", "average", "std", "mean"),
}

WITHOUT = {
    "care/duties/standing.py": {"next_recheck"},
    "choosing/assignment_layout.py": {"laid_out"},
    "choosing/assignment_one.py": {"sides_listable"},
    "choosing/assignment_standing.py": {"Standing.cost"},
    "choosing/codes/words.py": {"all_words"},
    "choosing/reading_rows.py": {"finest_cut"},
    "marks/candidates.py": {"drawn_marks"},
    "presence/fold.py": {"RoundTold.moment"},
    "presence/simulation.py": {"share_flagged"},
    "presence/watch.py": {"hours_of"},
    "readings/colour_hypotheses.py": {"between"},
    "readings/identification.py": {"Posterior.straight", "Posterior.crossed"},
    "readings/learning.py": {"Learned.colour"},
}
"""Sums that count, cut or carry and rest on nothing that could be cited."""

MADE_BY = {
    "assignment": ("assignment", "marks_in_the_field", "marks_speed"),
    "band-life": ("band_life",),
    "capacity": ("page_figures",),
    "catch-up": ("page_figures",),
    "clashes": ("clashes",),
    "learning": ("false_earned", "learning_worlds"),
    "photographs": ("photographs",),
    "practice": ("practice_ready",),
    "presence": ("watch", "watch_changes"),
    "reading": ("identify", "lights", "page_figures"),
    "reconciliation": ("reconciliation",),
    "search-order": ("search_order",),
    "study": ("page_figures",),
    "weights": ("weights",),
}
"""Which benchmarks print the figures of each page."""

NOTHING_MEASURED = {"cautions", "inventory"}


def computing() -> Iterator[tuple[str, str, str]]:
    """File, name and docstring of every public function of the core that does arithmetic."""
    for path in sorted(CORE.rglob("*.py")):
        if path.relative_to(CORE).parts[0] in TRANSLATE:
            continue
        for node in ast.parse(path.read_text("utf-8")).body:
            inside: list[tuple[str, ast.FunctionDef]] = []
            if isinstance(node, ast.FunctionDef):
                inside = [(node.name, node)]
            elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                inside = [(f"{node.name}.{f.name}", f) for f in node.body if isinstance(f, ast.FunctionDef)]
            for name, function in inside:
                if not function.name.startswith("_") and _computes(function):
                    yield path.relative_to(CORE).as_posix(), name, ast.get_docstring(function) or ""


def _computes(function: ast.FunctionDef) -> bool:
    for node in ast.walk(function):
        if isinstance(node, ast.BinOp) and isinstance(node.op, ARITHMETIC):
            return True
        if isinstance(node, ast.Call):
            called = node.func
            name = called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")
            if name in FUNCTIONS:
                return True
    return False


def test_every_public_function_that_computes_says_its_source() -> None:
    silent = [
        f"{path}: {name}"
        for path, name, said in computing()
        if "Source:" not in said and name not in WITHOUT.get(path, set())
    ]
    assert silent == []


def test_nobody_is_excused_who_says_a_source_or_is_gone() -> None:
    without = {(path, name) for path, name, said in computing() if "Source:" not in said}
    excused = {(path, name) for path, names in WITHOUT.items() for name in names}
    assert excused - without == set()


def test_what_a_source_has_from_memory_is_marked_on_the_page_that_shows_it() -> None:
    unmarked = []
    for path in sorted(CORE.rglob("*.py")):
        for source in re.findall(r"Source:\n((?:.+\n)+)", path.read_text("utf-8")):
            if "memory" not in source:
                continue
            unmarked += [
                f"{path.name}: {page}"
                for page in re.findall(r"docs/science/([\w-]+)\.md", source)
                if "from memory" not in (SCIENCE / f"{page}.md").read_text("utf-8")
            ]
    assert unmarked == []


@pytest.mark.parametrize("page", sorted(path.stem for path in SCIENCE.glob("*.md")))
def test_the_figures_of_a_page_are_made_by_a_benchmark_that_it_names(page: str) -> None:
    if page in NOTHING_MEASURED:
        assert page not in MADE_BY
        return
    text = (SCIENCE / f"{page}.md").read_text("utf-8")
    for name in MADE_BY[page]:
        assert (ROOT / "benchmarks" / f"{name}.py").exists()
        assert f"benchmarks/{name}.py" in text
