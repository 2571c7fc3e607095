"""Sites as keepers write them: *left*, *L:*, *LT*, *upper left leg*, *right wing*."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from tarsus.core.marks.noted import Level, UnclearMarks
from tarsus.core.marks.shorthand import Item, Notation, Piece

_SIDES: Final = {"left": "left", "right": "right", "lefthand": "left", "righthand": "right"}
_ONE_LETTER: Final = {"l": "left", "r": "right", "lt": "left", "rt": "right"}
_PARTS: Final = {
    "leg": "leg",
    "tibia": "tibia",
    "upper": "tibia",
    "tarsus": "tarsus",
    "lower": "tarsus",
    "wing": "wing",
    "flipper": "wing",
    "side": "",
}
_SHORT: Final = {
    "l": ("left", ""),
    "r": ("right", ""),
    "lt": ("left", "t"),
    "rt": ("right", "t"),
    "ltib": ("left", "tibia"),
    "rtib": ("right", "tibia"),
    "ltar": ("left", "tarsus"),
    "rtar": ("right", "tarsus"),
    "ltars": ("left", "tarsus"),
    "rtars": ("right", "tarsus"),
    "ul": ("left", "tibia"),
    "ur": ("right", "tibia"),
    "ll": ("left", "leg"),
    "rl": ("right", "leg"),
    "lw": ("left", "wing"),
    "rw": ("right", "wing"),
}


def site_name(side: str, part: str, notation: Notation, text: str) -> str:
    """The site that a side and a part of the limb name.

    Raises:
        UnclearMarks: a word that means two sites for birds that are banded as these are.
    """
    level = notation.level
    if part == "t":
        part = notation.t_means or ("tibia" if level == "tibia" else "")
        if not part:
            raise UnclearMarks(
                text, "may be the tibia or the tarsus", f"write '{side} tibia' or '{side} tarsus'"
            )
    if part == "leg" and level == "tibia":
        raise UnclearMarks(
            text,
            "may be the whole leg or the tarsus alone, for a bird that is banded above the joint",
            f"write '{side} tibia' or '{side} tarsus'",
        )
    return f"{side} {_level_of(part, level)}"


def _level_of(part: str, level: Level) -> str:
    return {"": level, "tarsus": "leg"}.get(part, part)


def site_at(pieces: Sequence[Piece], at: int) -> tuple[Item, int, bool] | None:
    """The site that begins at a piece: the item, how many pieces it takes, and whether it is beyond doubt.

    A site is beyond doubt when it is written in words, or when a colon follows.
    """
    found = _in_words(pieces, at) or _in_short(pieces, at)
    if found is None:
        return None
    side, part, length, sure = found
    text = " ".join(piece.text for piece in pieces[at : at + length])
    after = pieces[at + length].sign if at + length < len(pieces) else ""
    if after == "colon" or (after == "dot" and not sure):
        length, sure = length + 1, True
    return Item("site", text, (side, part)), length, sure


def _folded(pieces: Sequence[Piece], at: int) -> str:
    return pieces[at].text.casefold() if at < len(pieces) and pieces[at].sign == "word" else ""


def _in_words(pieces: Sequence[Piece], at: int) -> tuple[str, str, int, bool] | None:
    parts: list[str] = []
    end = at
    while _folded(pieces, end) in _PARTS:
        parts.append(_PARTS[_folded(pieces, end)])
        end += 1
    word = _folded(pieces, end)
    side = _SIDES.get(word, "")
    if not side and word in _ONE_LETTER and (parts or _folded(pieces, end + 1) in _PARTS):
        side = _ONE_LETTER[word]
    if not side:
        return None
    end += 1
    while _folded(pieces, end) in _PARTS:
        parts.append(_PARTS[_folded(pieces, end)])
        end += 1
    return side, _one_part(parts, pieces[at:end]), end - at, True


def _one_part(parts: Sequence[str], pieces: Sequence[Piece]) -> str:
    exact = {part for part in parts if part not in ("", "leg")}
    if len(exact) > 1:
        text = " ".join(piece.text for piece in pieces)
        raise UnclearMarks(text, "names two parts of the limb", "name one site, as in 'left tibia'")
    return next(iter(exact), "leg" if "leg" in parts else "")


def _in_short(pieces: Sequence[Piece], at: int) -> tuple[str, str, int, bool] | None:
    short = _SHORT.get(_folded(pieces, at))
    return (*short, 1, False) if short and not pieces[at].glued else None
