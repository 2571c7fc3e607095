"""Single words of a keeper's table that come in many spellings: sex, how it was known, origin."""

from __future__ import annotations

from typing import Final

from tarsus.core.errors import MalformedInput
from tarsus.tables.park_words import folded_word, spellings

_SEX_SIGNS: Final = {
    **dict.fromkeys(("♀", "0.1", "0.1.0"), "F"),
    **dict.fromkeys(("♂", "1.0", "1.0.0"), "M"),
    **dict.fromkeys(("?", "0.0.1", "-", "", "??"), "U"),
}
_NOT_SAID: Final = ("", "?", "-")


class UnclearWord(MalformedInput):
    """A word that none of the known spellings matches."""

    def __init__(self, text: str, reason: str, remedy: str) -> None:
        self.text = text
        self.reason = reason
        self.remedy = remedy
        super().__init__("", f"'{text}' {reason}; {remedy}")


def read_sex(text: str) -> str:
    """`F`, `M` or `U` from the ways keepers write it; an empty cell and `?` are not known.

    Raises:
        UnclearWord: a word that is no sex; a bare number means different things in different houses.
    """
    folded = folded_word(text)
    # *1,0* and *0,0,1* are written with decimal commas where those are usual.
    sign = _SEX_SIGNS.get(folded.replace(",", "."))
    found = sign or spellings("sexes").get(folded)
    if found is None:
        raise UnclearWord(text, "is no sex", "write F, M or ?")
    return found


def read_known_by(text: str) -> str:
    """How the sex was known, in the register's words.

    Raises:
        UnclearWord: a way that the register has no word for.
    """
    return _one_of("sex_known_by", text, "is no way of knowing a sex", "not said")


def read_origin(text: str) -> str:
    """Where the bird was hatched, in the register's words.

    Raises:
        UnclearWord: an origin that the register has no word for.
    """
    return _one_of("origins", text, "is no origin", "unknown")


def _one_of(section: str, text: str, reason: str, otherwise: str) -> str:
    folded = folded_word(text)
    if folded in _NOT_SAID:
        return otherwise
    known = spellings(section)
    if folded not in known:
        raise UnclearWord(text, reason, f"write one of: {', '.join(dict.fromkeys(known.values()))}")
    return known[folded]
