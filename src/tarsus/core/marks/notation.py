"""Marks as keepers write them down, taken exactly or refused with a reason.

The grammar, in the order in which it is tried (`docs/keepers/import.md` tells it with examples):

    marks    = "" | "?"                     nothing is said
             | "-" | "bare"                 both sides are bare
             | short | named
    short    = side "/" side                the bird's left, then its right; no site is named
    side     = bands | bands "," bands      with a comma: above the joint, then below it (on both sides alike)
    named    = section { (";" | "," | newline) section }
    section  = { site [":"] bands } | { bands site }       *left metal right red*, or *metal left, red right*
    bands    = "-" | "bare" | band { ("over" | "under" | "/" | nothing) band }      from the body outward
    band     = colour | letter | "metal" | "?" , then  "tie" | "(" note ")" | an engraving after a metal band
    note     = "tie" | "closed" | "worn" | "faded" | an engraving

Every way to take the text is tried. One that makes sense is taken; none or two are refused.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import islice
from typing import Final

from tarsus.core.marks.bands_written import bands_from
from tarsus.core.marks.lettering import claimants
from tarsus.core.marks.noted import NotedMarks, UnclearMarks, UndecidedLetter
from tarsus.core.marks.runs import Runs, UndecidedRun, proposals
from tarsus.core.marks.sections import whole_bird
from tarsus.core.marks.shorthand import (
    Item,
    Notation,
    Piece,
    colour_at,
    nearest_colour,
    pieces_of,
    plain,
    sign_meaning,
    word_meanings,
)
from tarsus.core.marks.sites_written import site_at
from tarsus.core.marks.wording import in_words

_Sense = Callable[[Sequence[Item]], NotedMarks]

NOT_A_WORD: Final = ("is no colour, letter or side", "is no colour of the palette")
"""Why a word is refused that means nothing wherever it stands."""
NOT_READ: Final = "is not read in this file"
"""Why a run of letters is refused of which the park said so."""

_MOST_WAYS: Final = 256
_UNKNOWN: Final = ("?", "??", "unknown", "not known")


def parse_marks(text: str, notation: Notation | None = None) -> NotedMarks:
    """The marks a text notes down, for the whole bird.

    Args:
        text: marks as written in one cell or one field.
        notation: the park's palette, letters and the species' way of being banded.

    Returns:
        The sites that are written of. Empty text and `?` say nothing; `-` says that both sides are bare.

    Raises:
        UnclearMarks: it makes sense in no way, or in more than one.
        UndecidedLetter: a letter whose colour the park has not said.
    """
    notation = notation or Notation()
    text = plain(text)
    if not text or text.casefold() in _UNKNOWN:
        return NotedMarks()
    return _only_way(text, pieces_of(text), notation, lambda items: whole_bird(items, notation))


def parse_site(text: str, site: str, notation: Notation | None = None) -> NotedMarks:
    """The bands a text notes down for one site, as a column for that site holds them.

    Returns:
        Nothing said for empty text and for `?`; a bare site for `-`.

    Raises:
        UnclearMarks, UndecidedLetter: as `parse_marks`.
    """
    notation = notation or Notation()
    text = plain(text)
    if not text or text.casefold() in _UNKNOWN:
        return NotedMarks()

    def one_site(items: Sequence[Item]) -> NotedMarks:
        named = next((item for item in items if item.kind == "site"), None)
        if named is not None:
            raise UnclearMarks(named.text, f"names a site in the column of the {site}", "leave it out")
        return NotedMarks.of({site: bands_from(items, text)})

    return _only_way(text, pieces_of(text), notation, one_site)


def _only_way(text: str, pieces: Sequence[Piece], notation: Notation, sense: _Sense) -> NotedMarks:
    """The one way of taking the pieces that makes sense."""
    taken: dict[NotedMarks, None] = {}
    first_refusal: UnclearMarks | None = None
    ways = list(islice(_ways(pieces, 0, notation), _MOST_WAYS + 1))
    if len(ways) > _MOST_WAYS:
        raise UnclearMarks(text, "can be taken in too many ways", "write the sides and colours in words")
    for items in ways:
        try:
            taken[sense(items)] = None
        except UnclearMarks as refusal:
            first_refusal = first_refusal or refusal
    if len(taken) == 1:
        return next(iter(taken))
    if taken:
        one, other, *_ = (in_words(marks, notation.level) for marks in taken)
        raise UnclearMarks(text, f"may be {one}, or {other}", "write a colon after each side, as in 'R: YG'")
    assert first_refusal is not None, "there is always at least one way to take the pieces"
    raise first_refusal


def _ways(pieces: Sequence[Piece], at: int, notation: Notation) -> Iterator[tuple[Item, ...]]:
    """Every way to take the pieces from here on."""
    if at == len(pieces):
        yield ()
        return
    for item, length in _meanings(pieces, at, notation):
        for rest in _ways(pieces, at + length, notation):
            yield (item, *rest)


def _meanings(pieces: Sequence[Piece], at: int, notation: Notation) -> list[tuple[Item, int]]:
    """What may begin at a piece, with the number of pieces it takes."""
    piece = pieces[at]
    if piece.sign != "word":
        return [(sign_meaning(piece), 1)]
    site = site_at(pieces, at)
    if site is not None and site[2]:
        return [site[:2]]
    colour = colour_at(pieces, at, notation.palette)
    if notation.runs is not None and colour is None and site is None:
        said = notation.runs.said.get(piece.text.casefold())
        if said == ():
            raise UnclearMarks(piece.text, NOT_READ, "write the colours in words")
        if said is not None:
            return [(Item("bands", piece.text, said), 1)]
        _ask_of_a_run(piece, notation, notation.runs)
    alone = [(item, 1) for item in word_meanings(piece, notation)]
    spaced = _spaced_engraving(pieces, at)
    found = [*([colour] if colour else []), *alone, *([site[:2]] if site else []), *spaced]
    if not found:
        raise _unknown(piece.text, notation)
    return found


def _ask_of_a_run(piece: Piece, notation: Notation, runs: Runs) -> None:
    """Raise where a run of letters may be an abbreviated colour and is no word with a sense of its own."""
    word = piece.text.replace("-", "")
    if any(item.kind != "bands" or item.value == ("metal",) for item in word_meanings(piece, notation)):
        return
    asked = proposals(word, runs, notation.lettering, notation.palette)
    if asked:
        raise UndecidedRun(piece.text, asked)


def undecided_runs(text: str, notation: Notation) -> tuple[UndecidedRun, ...]:
    """Every run of letters of a text that must be asked about.

    Raises:
        UnclearMarks: a sign that marks are never written with.
    """
    found: list[UndecidedRun] = []
    pieces = pieces_of(plain(text))
    at = 0
    while at < len(pieces):
        try:
            at += max((length for _, length in _meanings(pieces, at, notation)), default=1)
        except UndecidedRun as asked:
            found.append(asked)
            at += 1
        except UnclearMarks:
            at += 1
    return tuple(found)


def _spaced_engraving(pieces: Sequence[Piece], at: int) -> list[tuple[Item, int]]:
    """`WB 20417` in two words: capitals, then a number."""
    run = pieces[at : at + 2]
    if len(run) < 2 or run[1].sign != "word" or not run[1].text.isdigit() or len(run[1].text) < 3:
        return []
    if not (run[0].text.isalpha() and run[0].text.isupper() and len(run[0].text) <= 4):
        return []
    text = f"{run[0].text} {run[1].text}"
    return [(Item("engraving", text, (text,)), 2)]


def _unknown(word: str, notation: Notation) -> UnclearMarks:
    """Why a word is not understood, and what may have been meant."""
    near = nearest_colour(word, notation.palette)
    if near:
        return UnclearMarks(word, NOT_A_WORD[1], f"did you mean '{near}'?")
    if word.isalpha() and len(word) <= 4:
        for letter in word:
            claimed = claimants(letter, notation.palette)
            if notation.lettering.bands_of(letter) is None and claimed:
                return UndecidedLetter(letter, claimed, word)
    return UnclearMarks(
        word,
        NOT_A_WORD[0],
        f"write left, right, metal, or {', '.join(notation.palette.names)}",
    )
