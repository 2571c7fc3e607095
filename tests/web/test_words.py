"""The words in the page and the words of the drawing are the same: both read tests/js/marks-in-words.json."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace

import pytest

from tarsus.web.templatetags.birds import band_drawing, chance, in_100, marks_in_words

CASES = json.loads((Path(__file__).parents[1] / "js" / "marks-in-words.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES, ids=[case["words"] for case in CASES])
def test_the_server_says_marks_as_the_drawing_does(case: dict) -> None:
    assert marks_in_words(case["marks"], case["form"]) == case["words"]


def test_a_drawing_carries_its_marks_as_data_and_its_words_inside() -> None:
    bird = SimpleNamespace(
        form="tall", marks={"left tibia": ["pale blue"]}, flags={"left tibia": ["worn"]}, pins=()
    )
    html = band_drawing(bird, at="figure", name='The "Duke"', quiet=True)
    assert 'marks="{&quot;left tibia&quot;:[&quot;pale blue&quot;]}"' in html
    assert 'flags="{&quot;left tibia&quot;:[&quot;worn&quot;]}"' in html
    assert 'name="The &quot;Duke&quot;"' in html
    assert ' quiet=""' in html
    assert ">pale blue on the left, bare on the right</band-drawing>" in html


def test_a_page_says_chances_in_whole_per_cent_and_nothing_for_none() -> None:
    assert [chance(value) for value in (0.0217, 0.976, None)] == ["2 %", "98 %", ""]


@pytest.mark.parametrize(
    ("value", "said"), [(0.0121, "1.2"), (0.01, "1"), (0.004, "0.40"), (0.155, "16"), (0.96, "96")]
)
def test_so_many_of_a_hundred(value: float, said: str) -> None:
    assert in_100(value) == said
