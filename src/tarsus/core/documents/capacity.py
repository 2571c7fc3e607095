"""The answer of `tarsus capacity`, as a document and in keepers' words."""

from __future__ import annotations

from typing import Any, Final

from tarsus.core.choosing.codes.capacity import Capacity
from tarsus.core.marks.palette import BUILT_IN

_COUNTED: Final = [
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
]


def colour_names(colours: int) -> tuple[str, ...]:
    """Names for so many colours: the built-in palette's, then ``colour 14`` and so on."""
    named = BUILT_IN.names[:colours]
    return (*named, *(f"colour {i}" for i in range(len(named) + 1, colours + 1)))


def capacity_as_document(found: Capacity) -> dict[str, Any]:
    """The answer as `documents.md` has it, with `says`, the same in keepers' words, added."""
    names = colour_names(found.colours)
    return {
        "birds": found.birds,
        "upper_bound": found.upper_bound,
        "proven": found.proven,
        "method": found.method,
        "says": capacity_in_words(found),
        "combinations": [[names[symbol] for symbol in word] for word in found.combinations.tolist()],
    }


def capacity_in_words(found: Capacity) -> str:
    """What the figure means to a keeper, in one sentence or two.

    Source:
        docs/science/capacity.md.
    """
    colours, bands = _number(found.colours, "colour"), _number(found.positions, "band")
    said = f"With {colours} and {bands}, {found.birds} birds can be told apart{_despite(found.distance)}."
    if found.proven:
        return said
    return f"{said} Whether more could be, up to {found.upper_bound}, is not known here."


def _despite(distance: int) -> str:
    """What may go wrong with a reading at this distance without one bird being taken for another."""
    righted = (distance - 1) // 2
    if righted == 1:
        return " even when any one band is misread" + (
            "" if distance == 3 else ", and two misread are noticed"
        )
    if righted > 1:
        return f" even when any {_COUNTED[righted]} bands are misread"
    return (
        "; one misread band is noticed, not put right" if distance == 2 else " when every band is read right"
    )


def _number(count: int, thing: str) -> str:
    word = _COUNTED[count] if count < len(_COUNTED) else str(count)
    return f"{word} {thing}{'' if count == 1 else 's'}"
