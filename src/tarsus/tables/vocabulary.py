"""Single words of a keeper's table that come in many spellings: sex, how it was known, origin."""

from __future__ import annotations

from typing import Final

from tarsus.core.errors import MalformedInput

_SEXES: Final = {
    **dict.fromkeys(("f", "female", "hen", "♀", "0.1", "0.1.0", "fem"), "F"),
    **dict.fromkeys(("m", "male", "cock", "♂", "1.0", "1.0.0"), "M"),
    **dict.fromkeys(("u", "?", "unknown", "unsexed", "not known", "n/k", "0.0.1", "-", "", "??"), "U"),
}
_KNOWN_BY: Final = {
    **dict.fromkeys(("dna", "dna test", "feather dna", "blood dna", "lab", "laboratory"), "DNA"),
    **dict.fromkeys(("endoscopy", "endoscope", "surgical", "laparoscopy"), "endoscopy"),
    **dict.fromkeys(("plumage", "feathers", "looks", "colour"), "plumage"),
    **dict.fromkeys(("size", "bill", "measurements", "bill length"), "size"),
    **dict.fromkeys(("behaviour", "behavior", "display"), "behaviour"),
    **dict.fromkeys(("egg", "laid", "laid an egg", "eggs"), "laid an egg"),
    **dict.fromkeys(("told", "told on arrival", "papers", "sender"), "told on arrival"),
    **dict.fromkeys(("", "?", "not said", "unknown", "-"), "not said"),
}
_ORIGINS: Final = {
    **dict.fromkeys(("hatched here", "here", "own", "home bred", "bred here", "own hatch"), "hatched here"),
    **dict.fromkeys(
        (
            "hatched elsewhere",
            "elsewhere",
            "captive",
            "captive bred",
            "cb",
            "bred elsewhere",
            "captive hatched",
        ),
        "hatched elsewhere",
    ),
    **dict.fromkeys(("wild", "wild caught", "wc", "rescued", "from the wild"), "wild"),
    **dict.fromkeys(("", "?", "unknown", "-", "not known"), "unknown"),
}


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
    folded = " ".join(text.casefold().split())
    if folded not in _SEXES:
        raise UnclearWord(text, "is no sex", "write F, M or ?")
    return _SEXES[folded]


def read_known_by(text: str) -> str:
    """How the sex was known, in the register's words.

    Raises:
        UnclearWord: a way that the register has no word for.
    """
    return _one_of(_KNOWN_BY, text, "is no way of knowing a sex")


def read_origin(text: str) -> str:
    """Where the bird was hatched, in the register's words.

    Raises:
        UnclearWord: an origin that the register has no word for.
    """
    return _one_of(_ORIGINS, text, "is no origin")


def _one_of(spellings: dict[str, str], text: str, reason: str) -> str:
    folded = " ".join(text.casefold().split())
    if folded not in spellings:
        words = ", ".join(dict.fromkeys(spellings.values()))
        raise UnclearWord(text, reason, f"write one of: {words}")
    return spellings[folded]
