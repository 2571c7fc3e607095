"""The pieces that noted marks are made of: words, letters, numbers and signs, each with all it may mean.

A piece may mean several things (`R` is *right* or *red*), and pieces may belong together (*pale blue*, *left
tibia*). `notation` tries every way to take a whole text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from tarsus.core.marks.lettering import WADER, Lettering
from tarsus.core.marks.noted import Level, UnclearMarks
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.marks.runs import Runs

Kind = Literal[
    "site",
    "bands",
    "break",
    "slash",
    "over",
    "under",
    "and",
    "bare",
    "unseen",
    "note",
    "tie",
    "engraving",
    "filler",
]
TMeans = Literal["", "tibia", "tarsus"]


@dataclass(frozen=True)
class Notation:
    """How one park writes marks down.

    `level` says what a bare *left* means for this species; `t_means` what the T of `LT` stands for: the tibia
    or the tarsus. Where it is left empty it is the tibia for birds that are banded there, and is asked for
    all others. Without `runs` every run of letters is taken letter by letter.
    """

    palette: Palette = BUILT_IN
    lettering: Lettering = WADER
    level: Level = "leg"
    t_means: TMeans = ""
    runs: Runs | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """One stretch of the text as it stands there; `sign` tells what sort of stretch it is.

    A `glued` piece follows a band without a blank between.
    """

    sign: str
    text: str
    glued: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """One meaning of one or several pieces; `value` holds a site, bands, a note or an engraving."""

    kind: Kind
    text: str
    value: tuple[str, ...] = ()


_PIECES: Final = re.compile(
    r"""(?P<bracket>\([^()]*\)|\[[^\[\]]*\])
      | (?P<word>[^\W_]+(?:[-'][^\W_]+)*)
      | (?P<break>[,;\n]+)
      | (?P<slash>[/|\\])
      | (?P<colon>[:=])
      | (?P<dot>\.)
      | (?P<dash>-+)
      | (?P<and>[+&])
      | (?P<unclear>\?)
      | (?P<number>\#)
      | (?P<blank>\s+)""",
    re.VERBOSE,
)
_SAME: Final = str.maketrans({"–": "-", "—": "-", "−": "-", "\u00a0": " ", "’": "'", "‘": "'"})
_JOINT: Final = {
    re.compile(r"\babove the (?:joint|ankle|knee|hock)\b", re.I): "tibia",
    re.compile(r"\bbelow the (?:joint|ankle|knee|hock)\b", re.I): "tarsus",
    re.compile(r"\bno (?:bands?|rings?|marks?)\b", re.I): "bare",
    re.compile(r"\bnot (?:seen|looked at)\b", re.I): "unseen",
    re.compile(r"\bcable[ -]ties?\b", re.I): "tie",
    re.compile(r"\b(?:no\.|nr\.?) ?(?=[A-Z]{0,4} ?\d)", re.I): "",
}


def plain(text: str) -> str:
    """The text with one sort of dash, blank and quote, without blanks at its ends."""
    return " ".join(text.translate(_SAME).split())


def pieces_of(text: str) -> tuple[Piece, ...]:
    """Cut a text into pieces; blanks are dropped.

    Raises:
        UnclearMarks: a sign that marks are never written with.
    """
    for pattern, word in _JOINT.items():
        text = pattern.sub(word, text)
    found: list[Piece] = []
    at, before = 0, ""
    while at < len(text):
        match = _PIECES.match(text, at)
        if match is None:
            raise UnclearMarks(text[at], "is no sign that marks are written with", "leave it out")
        if match.lastgroup not in ("blank", "number"):
            glued = before in ("word", "bracket", "unclear")
            found.append(Piece(match.lastgroup or "", match.group(), glued))
        at, before = match.end(), match.lastgroup or ""
    return tuple(found)


_SIGNS: Final[dict[str, Kind]] = {"break": "break", "dot": "break", "slash": "slash", "and": "and"}
_WORDS: Final[dict[str, Kind]] = {
    **dict.fromkeys(("over", "above", "then"), "over"),
    **dict.fromkeys(("under", "below", "beneath"), "under"),
    **dict.fromkeys(("and", "or"), "and"),
    **dict.fromkeys(("bare", "none", "nil", "nothing", "unbanded", "unringed"), "bare"),
    **dict.fromkeys(("unseen", "hidden"), "unseen"),
    **dict.fromkeys(("closed", "seamless", "worn", "faded", "temporary"), "note"),
    **dict.fromkeys(
        ("on", "the", "its", "a", "an", "of", "with", "band", "bands", "ring", "rings"), "filler"
    ),
    **dict.fromkeys(("bird's", "own", "colour", "color", "engraved", "number"), "filler"),
    "tie": "tie",
}
_METAL_WORDS: Final = ("metal", "steel", "aluminium", "aluminum", "alloy", "incoloy")
_OTHER_NAMES: Final = {
    "light blue": "pale blue",
    "sky blue": "pale blue",
    "gray": "grey",
    "light green": "lime",
}
_NUMBER: Final = re.compile(r"[^\W\d_]{0,4}-?\d{3,}[^\W\d_]?")


def word_meanings(piece: Piece, notation: Notation) -> Iterator[Item]:
    """What a single word, letter string or number may mean by itself."""
    word = piece.text
    folded = word.casefold()
    kind = _WORDS.get(folded)
    shouted = word.isupper()
    # 'A' alone, and 'ON' right behind a band, are letters of colours.
    if kind is not None and not (kind == "filler" and (word == "A" or (piece.glued and shouted))):
        yield Item(kind, word, (folded,))
        if not shouted:
            return
    if folded in _METAL_WORDS:
        yield Item("bands", word, ("metal",))
        return
    glued = re.fullmatch(r"([^\W\d_])(\d{2,})", word)
    if glued and notation.lettering.bands_of(glued[1]) == "metal":
        yield Item("bands", word, ("metal", "#" + glued[2]))
    elif _NUMBER.fullmatch(word):
        yield Item("engraving", word, (word,))
    letters = word.replace("-", "")
    if letters.isalpha() and not _misspelt(word, notation.palette):
        for bands in notation.lettering.spellings(letters):
            yield Item("bands", word, bands)


def _misspelt(word: str, palette: Palette) -> str:
    """The colour that a word in small letters is close to; such a word is no string of letters."""
    if not word[1:].islower() or len(word) < 3:
        return ""
    return nearest_colour(word, palette)


def nearest_colour(word: str, palette: Palette) -> str:
    """The colour's name that a word is close to, or nothing."""
    import difflib

    near = difflib.get_close_matches(word.casefold(), palette.names, n=1, cutoff=0.7)
    return near[0] if near else ""


def colour_at(pieces: Sequence[Piece], at: int, palette: Palette) -> tuple[Item, int] | None:
    """The longest colour's name that begins here, with the number of its pieces."""
    for length in (3, 2, 1):
        run = pieces[at : at + length]
        if len(run) < length or any(piece.sign != "word" for piece in run):
            continue
        text = " ".join(piece.text for piece in run)
        name = text.casefold().replace("-", " ")
        name = name if name in palette.names else _OTHER_NAMES.get(name, name)
        if name in palette.names:
            return Item("bands", text, (name,)), length
        if text.casefold() in palette.names:
            return Item("bands", text, (text.casefold(),)), length
    return None


def sign_meaning(piece: Piece) -> Item:
    """What a sign means; a bracket holds a note or an engraving."""
    if piece.sign == "bracket":
        return Item("note", piece.text, (piece.text[1:-1].strip(),))
    if piece.sign == "dash":
        return Item("bare", piece.text)
    if piece.sign == "unclear":
        return Item("bands", "?", ("?",))
    if piece.sign == "colon":
        raise UnclearMarks(piece.text, "follows no side", "write it after the side, as in 'left: metal'")
    return Item(_SIGNS[piece.sign], piece.text)
