"""Whose a band on the floor may be: every bird whose record has such a band. Nobody is taken for dead.

`shared/wearers.js` is the twin of this module on the phone.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

TELLING: Final = frozenset({"lost", "worn", "faded", "unreadable"})
"""Signs on record that a band may have come off, or may soon."""


@dataclass(frozen=True, slots=True)
class BandOnRecord:
    """A band that a bird wears by the record; `flags` is what its last check found."""

    word: str
    engraving: str = ""
    flags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MayHaveLost:
    """A bird that wears such a band; `marked` where that band was noted as lost or worn."""

    bird: str
    marked: bool
    unseen_days: int


def may_have_lost(
    bird: str, bands: Iterable[BandOnRecord], unseen_days: int, word: str, number: str = ""
) -> MayHaveLost | None:
    """Say whether a band that lay loose may be a bird's, or None where it wears no such band.

    Args:
        bird: its name.
        bands: what it wears by the record.
        unseen_days: days since it was last seen.
        word: the colour of the loose band, or metal.
        number: what could be read on it, ``?`` for a sign not read; empty where nothing could.
    """
    alike = [
        band for band in bands if band.word == word and (not number or number_fits(band.engraving, number))
    ]
    if not alike:
        return None
    return MayHaveLost(bird, any(TELLING & {*band.flags} for band in alike), unseen_days)


def likeliest_first(owner: MayHaveLost) -> tuple[bool, int, str]:
    """The order: those whose band was noted as lost or worn, then those longest unseen, then names."""
    return not owner.marked, -owner.unseen_days, owner.bird


def number_fits(engraving: str, read: str) -> bool:
    """Say whether what was read of a number can be part of it; ``?`` stands for any one sign."""
    wanted, whole = _signs(read), _signs(engraving)
    pattern = "".join("." if sign == "?" else re.escape(sign) for sign in wanted)
    return bool(wanted) and re.search(pattern, whole) is not None


def _signs(text: str) -> str:
    """Signs of a number without spaces, points, strokes, accents or case."""
    plain = "".join(one for one in unicodedata.normalize("NFD", text) if not unicodedata.combining(one))
    return re.sub(r"[\s.\-/]", "", plain).upper()
