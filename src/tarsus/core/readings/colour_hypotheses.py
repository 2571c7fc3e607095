"""What may make colours look otherwise than the reader was thought to see them.

Bands fade one colour at a time; mud, dusk and a keeper's eyes change all of them at once. Each is a table of
confusions derived as the reader's own is, so that a few checks can tell which one is at work. Array axes:
G causes that all colours share, F states of one colour, C words.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.colour_vision import NORMAL, ColourVision
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import Reader

FADED: Final = (0.0, 0.25, 0.5, 0.75)
"""How far a colour has gone towards a pale one. Ours: bands were not measured."""

_PALE: Final = "#e9e5da"
_MUD: Final = "#6b5a45"
_DUSK: Final = "#3c3f45"
UNFORESEEN: Final = 0.04
"""Share of a colour's mistakes kept for what no cause foresees, metal among it."""

_LEAST: Final = 5e-4
"""Least odds of a mistake over a whole row: what a reader is said never to do may still be learned."""

Real = NDArray[np.float64]


@dataclass(frozen=True)
class SharedCause:
    """One cause that changes all colours: `words` say it to people."""

    words: str
    towards: str = ""
    share: float = 0.0
    eyes: ColourVision = NORMAL


CAUSES: Final = (
    SharedCause("as thought"),
    SharedCause("mud", _MUD, 0.25),
    SharedCause("mud", _MUD, 0.5),
    SharedCause("poor light", _DUSK, 0.3),
    SharedCause("poor light", _DUSK, 0.6),
    SharedCause("red and green hard to tell apart", eyes=ColourVision("deutan", 0.6)),
    SharedCause("red and green hard to tell apart", eyes=ColourVision("deutan", 1.0)),
    SharedCause("red and green hard to tell apart", eyes=ColourVision("protan", 1.0)),
    SharedCause("blue and yellow hard to tell apart", eyes=ColourVision("tritan", 1.0)),
)


@dataclass(frozen=True, eq=False)
class Hypotheses:
    """`odds` ``(G, F, C, C)``: of each cause and state, how often a word is read as another against how often
    as itself; 0 on the diagonal. The first cause and state are the reader as thought."""

    causes: tuple[SharedCause, ...]
    faded: tuple[float, ...]
    odds: Real


def hypotheses(before: Misreading, palette: Palette | None = None) -> Hypotheses:
    """Lay out what may be at work.

    Args:
        before: the observer as it was thought to be.
        palette: the colours as their names mean them; without it only the observer's own table is laid out.

    Returns:
        The odds of every cause and state; every word keeps some chance of being read as any other.

    Source:
        docs/science/learning.md, eq. 3.
    """
    own = _odds(before.table)
    colour = float(1.0 - np.diagonal(before.table)[1:].mean()) if len(before.words) > 1 else 0.0
    if palette is None or palette.names != before.words[1:] or not 0.0 < colour < 0.5:
        return Hypotheses(CAUSES[:1], FADED[:1], own[None, None])
    derived = _derived(palette, round(colour, 6))
    # A cause changes what was thought of this observer as it changes what follows from the colours alone.
    as_new = derived[0, 0] + np.eye(len(own))
    return Hypotheses(CAUSES, FADED, np.asarray(own * derived / as_new))


def odds_under(before: Misreading, palette: Palette, cause: int) -> Real | None:
    """``(C, C)`` the odds of `hypotheses` under one of `CAUSES`, no colour faded further, without the others.

    Returns:
        `None` where the palette is not the observer's, or where nothing can be derived from it.

    Source:
        docs/science/learning.md, eq. 3.
    """
    colour = float(1.0 - np.diagonal(before.table)[1:].mean()) if len(before.words) > 1 else 0.0
    if palette.names != before.words[1:] or not 0.0 < colour < 0.5:
        return None
    colour = round(colour, 6)
    as_new = _derived_one(palette, colour, 0) + np.eye(len(before.words))
    return np.asarray(_odds(before.table) * _derived_one(palette, colour, cause) / as_new)


@lru_cache(maxsize=256)
def _derived_one(palette: Palette, colour: float, cause: int) -> Real:
    return _odds(_table(Reader(0.0, 0.0, colour, 0.0, 0.0), palette, CAUSES[cause], FADED[0]))


@lru_cache(maxsize=64)
def _derived(palette: Palette, colour: float) -> Real:
    reader = Reader(0.0, 0.0, colour, 0.0, 0.0)
    return np.array([[_odds(_table(reader, palette, cause, share)) for share in FADED] for cause in CAUSES])


def _table(reader: Reader, palette: Palette, cause: SharedCause, faded: float) -> Real:
    def looks(hexed: str) -> str:
        return between(between(hexed, _PALE, faded), cause.towards or hexed, cause.share)

    return Misreading.of(reader, palette, looks=changed(palette, looks), vision=cause.eyes).table


def changed(palette: Palette, looks: Callable[[str], str]) -> Palette:
    """The same names with every colour changed."""
    return Palette(tuple((name, looks(hexed)) for name, hexed in palette.colours))


def between(new: str, other: str, share: float) -> str:
    """A colour so far on the straight way in sRGB from one to another, 0 to 1."""
    share = min(1.0, max(0.0, share))
    pairs = ((int(new[at : at + 2], 16), int(other[at : at + 2], 16)) for at in (1, 3, 5))
    return "#" + "".join(f"{round(a * (1 - share) + b * share):02x}" for a, b in pairs)


def _odds(table: Real) -> Real:
    """Odds of each mistake, with a little for what was not foreseen."""
    words = len(table)
    right = np.diagonal(table)[:, None]
    odds = table / np.maximum(right, 0.02)
    np.fill_diagonal(odds, 0.0)
    whole = np.maximum(odds.sum(axis=1, keepdims=True), _LEAST)
    even = (1.0 - np.eye(words)) / max(words - 1, 1)
    to_metal = np.zeros((words, words))
    to_metal[1:, 0] = 1.0
    to_metal[0] = even[0]
    foreseen = np.where(odds.any(axis=1, keepdims=True), odds, whole * even)
    return np.asarray((1.0 - UNFORESEEN) * foreseen + UNFORESEEN / 2 * whole * (even + to_metal))
