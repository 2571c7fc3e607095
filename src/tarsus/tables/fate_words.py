"""The words that tell a bird's fate, by language: which of them a text says, and of whom."""

from __future__ import annotations

import re
from functools import cache
from typing import Final

from tarsus.tables.park_words import LANGUAGES, bounded, folded_word, language, spellings

GONE: Final = ("died", "departed", "missing")
_CROSS: Final = "†"
_NO_AT_FIRST: Final = ("no", "nein", "non", "nee", "none", "n/a")
_NO: Final = (*_NO_AT_FIRST, "", "-", "--", "–", "—", "n.a.", "na", "n", "0", "false", "いいえ")
_YES: Final = ("yes", "y", "x", "ja", "oui", "sí", "1", "true", _CROSS, "+")
_UNKNOWN: Final = ("?", "??", "???")
_NEAR: Final = 24


def says_no(text: str) -> bool:
    """Whether a whole cell says that nothing of the kind happened: a dash, *no*, *not yet*, *alive*."""
    folded = folded_word(text)
    if folded in _NO or folded in _negations():
        return True
    return not says_yes(text) and whole_fate(text) == "living"


def says_yes(text: str) -> bool:
    """Whether a whole cell says no more than that it happened."""
    return folded_word(text) in _YES


def says_unknown(text: str) -> bool:
    """Whether a whole cell says that nobody knows."""
    folded = folded_word(text)
    known = spellings("dates").get(folded) == "unknown" and folded not in _NO
    return folded in _UNKNOWN or known


def begins_with_no(text: str) -> bool:
    """Whether a longer text begins with a *no*, a *not yet* or a *never*."""
    return bool(_any_of(_negations() | {*_NO_AT_FIRST}).match(text.strip()))


def whole_fate(text: str, languages: tuple[str, ...] = LANGUAGES) -> str:
    """The fate that a whole text is a word of, in some languages; empty where it is none."""
    return _whole(languages).get(folded_word(text), "")


def fate_in(text: str, languages: tuple[str, ...] = LANGUAGES, *, unsure: bool, of_any: bool = False) -> str:
    """The fate that words within a text tell of this bird; the gravest first, empty where none does.

    Args:
        text: what was written.
        languages: those whose words count.
        unsure: whether words count that mean too many things in a free remark.
        of_any: whether words count that are denied, or said of another bird, too.
    """
    for how in (*GONE, "living"):
        for match in _pattern(how, languages, unsure=unsure).finditer(text):
            before = re.split(r"[.;,]", text[: match.start()])[-1]
            if of_any or not (_others().search(before[-_NEAR:]) or _denied().search(before)):
                return how
    return ""


@cache
def _whole(languages: tuple[str, ...]) -> dict[str, str]:
    words = {_CROSS: "died"}
    for code in languages:
        for how in ("living", *GONE):
            for word in language(code).words("fates", how):
                words.setdefault(folded_word(word), how)
    return words


@cache
def _pattern(how: str, languages: tuple[str, ...], *, unsure: bool) -> re.Pattern[str]:
    words = {
        word
        for code in languages
        for word in language(code).words("fates", how)
        if unsure or word not in language(code).words("remarks", "unsure")
    }
    pattern = _any_of(frozenset(words)).pattern
    return re.compile(f"{pattern}|{_CROSS}" if how == "died" else pattern, re.IGNORECASE)


@cache
def _negations() -> frozenset[str]:
    return frozenset(word for code in LANGUAGES for word in language(code).words("remarks", "not"))


@cache
def _denied() -> re.Pattern[str]:
    """A negation that stands right before a word, with one word between at most: *not yet dead*."""
    return re.compile(rf"(?:{_any_of(_negations()).pattern})\s*(?:\w+\s+)?$", re.IGNORECASE)


@cache
def _others() -> re.Pattern[str]:
    words = {word for code in LANGUAGES for word in language(code).words("others", "words")}
    return _any_of(frozenset(words))


@cache
def band_trouble() -> re.Pattern[str]:
    """What a remark may say of bands that somebody should look at, in any language."""
    words = {word for code in LANGUAGES for word in language(code).words("band_trouble", "words")}
    return _any_of(frozenset(words))


@cache
def _any_of(words: frozenset[str]) -> re.Pattern[str]:
    longest_first = sorted(words, key=len, reverse=True)
    # An empty alternation would be found everywhere.
    return re.compile("|".join(map(bounded, longest_first)) or r"(?!)", re.IGNORECASE)
