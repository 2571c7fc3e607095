"""Letters of a palette that somebody will mistake."""

from __future__ import annotations

import pytest

from tarsus.core.marks.letter_check import letters_that_collide
from tarsus.core.marks.palette import LETTERS

OTHER, FREE = "choose another for one of them.", "give teal one letter that is free."
CLEAR = {"red": "X", "green": "T", "white": "W"}


@pytest.mark.parametrize(
    ("more", "metal", "said"),
    [
        ({}, "m", ()),
        ({"rose": "x"}, "m", (f"X (red) and x (rose) differ by their size only; {OTHER}",)),
        ({"mint": "M"}, "m", (f"M (mint) and m (metal) differ by their size only; {OTHER}",)),
        ({"olive": "O"}, "0", (f"O (olive) and 0 (metal) look alike small or worn; {OTHER}",)),
        ({"teal": "TW"}, "m", (f"TW (teal) reads as green over white too; {FREE}",)),
        ({"teal": "TE"}, "m", ()),
        ({"lime": "L"}, "m", ("L is lime: never write L for left. Write the side as a word.",)),
    ],
)  # fmt: skip
def test_what_will_be_mistaken_is_said_and_nothing_else(
    more: dict[str, str], metal: str, said: tuple[str, ...]
) -> None:
    assert letters_that_collide(CLEAR | more, metal) == said


def test_the_published_letters_are_those_of_the_sides_too() -> None:
    assert letters_that_collide({name: LETTERS[name] for name in ("red", "lime")}, "m") == (
        "R is red and L is lime: never write R for right and L for left. Write the side as a word.",
    )
