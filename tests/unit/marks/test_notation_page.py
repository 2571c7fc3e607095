"""What docs/keepers/import.md says of marks is what is done with them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tarsus.core.marks.notation import parse_marks
from tarsus.core.marks.noted import UnclearMarks
from tarsus.core.marks.shorthand import Notation
from tarsus.core.marks.wording import in_words

PAGE = (Path(__file__).resolve().parents[3] / "docs" / "keepers" / "import.md").read_text(encoding="utf-8")


def rows(heading: str) -> list[tuple[str, str]]:
    """The rows of every table below this second heading that stands in the part on marks."""
    part = PAGE.partition("## Marks")[2].partition("## Dates")[0]
    found = []
    for table in re.split(r"\n\n", part):
        if f"| {heading} |" in table.split("\n")[0]:
            found += re.findall(r"^\| `([^`]+)` \| (.+?) \|$", table, re.MULTILINE)
    return found


TAKEN, REFUSED = rows("Tarsus reads"), rows("why it is refused")


def test_the_page_has_its_examples() -> None:
    assert (len(TAKEN), len(REFUSED)) == (14, 7)


@pytest.mark.parametrize(("written", "read"), TAKEN)
def test_the_page_says_how_marks_are_read(written: str, read: str) -> None:
    assert in_words(parse_marks(written, Notation(level="leg"))) == read


@pytest.mark.parametrize(("written", "_why"), REFUSED)
def test_the_page_says_what_is_refused(written: str, _why: str) -> None:
    with pytest.raises(UnclearMarks):
        parse_marks(written, Notation(level="leg")).as_marks()
