"""What a docstring or a page refers to is there: pages, and the equations they number."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAGE = re.compile(r"docs/[a-z]+/[\w.-]+\.md")
EQUATION = re.compile(r"(docs/science/[\w-]+\.md),\s+eqs?\.\s+(\d+)")
# Papers that only the founders had, and section numbers of them: nobody who reads the code can look there.
NOWHERE = re.compile(r"\b(?:Design \d+\.\d+|References,? section \d+)", re.IGNORECASE)


def told() -> dict[str, str]:
    """Every text of ours in which somebody may be sent to a page, by its path."""
    names = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard", "*.py", "*.js", "*.mjs", "*.md", "*.html"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split("\n")
    paths = [name for name in names if name and (ROOT / name).exists() and "/vendor/" not in name]
    return {name: (ROOT / name).read_text("utf-8") for name in paths if not name.startswith("tests/habits/")}


def test_each_page_of_the_guide_is_listed_and_has_its_screen_small_and_taken_by_the_script() -> None:
    guide = ROOT / "docs" / "keepers"
    pages = {page.stem for page in guide.glob("*.md")} - {"README"}
    index = (guide / "README.md").read_text("utf-8")
    assert set(re.findall(r"\(([\w-]+)\.md\)", index)) == pages
    script = (ROOT / "scripts" / "guide_pictures.py").read_text("utf-8")
    assert set(re.findall(r'Screen\("([\w-]+)"', script)) == pages
    for page in pages:
        assert f"../images/guide/{page}.png" in (guide / f"{page}.md").read_text("utf-8"), page
        assert 5_000 < (ROOT / "docs" / "images" / "guide" / f"{page}.png").stat().st_size <= 60_000, page


def test_every_page_that_is_referred_to_is_there() -> None:
    gone = [
        f"{name}: {page}"
        for name, text in told().items()
        for page in sorted(set(PAGE.findall(text)))
        if not (ROOT / page).exists()
    ]
    for name, text in told().items():
        if name.startswith("docs/"):
            folder = (ROOT / name).parent
            beside = re.findall(r"`((?:\.\./)?[\w/-]+\.md)`", text)
            gone += [
                f"{name}: {page}" for page in beside if not any((f / page).exists() for f in (folder, ROOT))
            ]
    assert gone == []


def test_every_equation_that_is_referred_to_is_numbered_on_its_page() -> None:
    missing = [
        f"{name}: {page}, eq. {number}"
        for name, text in told().items()
        for page, number in EQUATION.findall(re.sub(r"\n\s*#?\s*", " ", text))
        if not re.search(rf"\({number}\)|^{number}\. ", (ROOT / page).read_text("utf-8"), re.MULTILINE)
    ]
    assert missing == []


def test_nobody_is_sent_to_a_paper_that_is_not_in_the_house() -> None:
    sent = [f"{name}: {hit}" for name, text in told().items() for hit in NOWHERE.findall(text)]
    assert sent == []
