"""Whatever a bird wears can be written down, in words and in letters, and is read back the same."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from tarsus.core.marks.lettering import WADER, lettering_from
from tarsus.core.marks.marks import METAL, NOT_MADE_OUT
from tarsus.core.marks.notation import parse_marks
from tarsus.core.marks.noted import Level, NotedBand, NotedMarks, UnclearMarks
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.marks.shorthand import Notation
from tarsus.core.marks.sites import SITES
from tarsus.core.marks.wording import in_letters, in_words

ENGRAVINGS = st.builds(
    lambda head, number: f"{head}{number}", st.sampled_from(("", "WB", "WB ", "Y")), st.integers(10, 999_999)
)
LEVELS: SearchStrategy[Level] = st.sampled_from(("leg", "tibia", "wing"))


@st.composite
def bands(draw: st.DrawFn) -> NotedBand:
    name = draw(st.sampled_from((METAL, NOT_MADE_OUT, *BUILT_IN.names)))
    return NotedBand(
        name,
        engraving=draw(st.just("") | ENGRAVINGS),
        tie=name != METAL and draw(st.booleans()),
        closed=draw(st.booleans()),
        condition=draw(st.sampled_from(("", "worn", "faded"))),
    )


plain_bands = st.sampled_from((METAL, *BUILT_IN.names)).map(NotedBand)


def marks_of(one: SearchStrategy[NotedBand]) -> SearchStrategy[NotedMarks]:
    stacks = st.dictionaries(st.sampled_from(SITES), st.lists(one, max_size=4), min_size=1, max_size=4)
    return stacks.map(NotedMarks.of)


@given(marks=marks_of(bands()), level=LEVELS)
def test_marks_in_words_are_read_back(marks: NotedMarks, level: Level) -> None:
    assert parse_marks(in_words(marks, level), Notation(level=level)) == marks


WORN_OVER_ON = [NotedBand(METAL, condition="worn"), NotedBand("orange"), NotedBand("black")]
"""In letters 'm(worn)ON', where ON is orange over black and not the word 'on'."""


@given(marks=marks_of(bands()), level=LEVELS)
@example(marks=NotedMarks.of({"left tibia": WORN_OVER_ON}), level="leg")
def test_marks_in_letters_are_read_back(marks: NotedMarks, level: Level) -> None:
    written = in_letters(marks, WADER, level)
    worn = {site: stack for site, stack in marks.sites if stack}
    read = {site: stack for site, stack in parse_marks(written, Notation(level=level)).sites if stack}
    assert read == worn, written


@given(marks=marks_of(plain_bands), level=LEVELS)
def test_a_reading_in_letters_keeps_unseen_from_bare(marks: NotedMarks, level: Level) -> None:
    written = in_letters(marks, WADER, level, all_told=False)
    assert parse_marks(written, Notation(level=level)).as_reading() == marks.as_reading(), written


@given(marks=marks_of(plain_bands), level=LEVELS)
def test_a_parks_own_letters_are_read_back(marks: NotedMarks, level: Level) -> None:
    park = lettering_from(["B=black", "D=blue", "Pu=purple", "Pi=pink", "G=grey", "E=green"])
    written = in_letters(marks, park, level)
    worn = {site: stack for site, stack in marks.sites if stack}
    read = {
        site: stack for site, stack in parse_marks(written, Notation(BUILT_IN, park, level)).sites if stack
    }
    assert read == worn, written


@given(text=st.text(max_size=40) | st.text("LRmYG/,;:-?()tie 0123", max_size=16))
def test_any_text_is_taken_or_refused_in_one_sentence(text: str) -> None:
    try:
        parse_marks(text)
    except UnclearMarks as refusal:
        told = refusal
    else:
        return
    assert told.reason
    assert told.remedy
    assert "\n" not in str(told)


@pytest.mark.parametrize("level", ["leg", "tibia", "wing"])
def test_left_and_right_come_back_on_their_own_sides(level: Level) -> None:
    marks = NotedMarks.of({f"left {level}": [NotedBand(METAL)], f"right {level}": [NotedBand("red")]})
    assert in_letters(marks, WADER, level) == "m/R"
    assert parse_marks("m/R", Notation(level=level)) == marks
