"""The words parks write in, by language: data files that a person can read and add to (`words/*.toml`)."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Final

from tarsus.core.marks.lettering import Lettering

LANGUAGES: Final = ("en", "de", "fr", "es", "nl", "ja")
"""Where two languages use one word for different things, the first of them is meant."""
_OF_MARKS: Final = (
    *("left", "right", "leg", "wing", "upper", "lower", "metal", "over", "under", "bare", "tie", "temporary"),
)
"""Our words of marks beside the colours, each a key of a language's section `marks`."""


@dataclass(frozen=True)
class Language:
    """The words of one language: section -> our word -> spellings in small letters."""

    code: str
    sections: Mapping[str, Mapping[str, tuple[str, ...]]]

    def words(self, section: str, ours: str) -> tuple[str, ...]:
        """The spellings of one of our words."""
        return self.sections.get(section, {}).get(ours, ())


@cache
def language(code: str) -> Language:
    """One language as its data file tells it."""
    text = (files("tarsus.tables") / "words" / f"{code}.toml").read_text(encoding="utf-8")
    told: dict[str, Any] = tomllib.loads(text)
    sections = {
        name: {ours: tuple(spellings) for ours, spellings in section.items()}
        for name, section in told.items()
        if isinstance(section, dict)
    }
    return Language(code, sections)


@cache
def spellings(section: str) -> Mapping[str, str]:
    """Every spelling of a section in any language -> our word."""
    found: dict[str, str] = {}
    for code in LANGUAGES:
        for ours, words in language(code).sections.get(section, {}).items():
            for word in words:
                found.setdefault(folded_word(word), ours)
    return found


def folded_word(text: str) -> str:
    """A word as spellings are compared: in small letters, without doubled blanks."""
    return " ".join(text.casefold().split())


@cache
def short_forms(codes: tuple[str, ...]) -> Mapping[str, tuple[str, ...]]:
    """Abbreviations of colours in some languages -> the colours they may stand for."""
    found: dict[str, tuple[str, ...]] = {}
    for code in codes:
        for colour, words in language(code).sections.get("short", {}).items():
            for word in words:
                found[folded_word(word)] = tuple(dict.fromkeys((*found.get(folded_word(word), ()), colour)))
    return found


def languages_of(headings: Iterable[str]) -> tuple[str, ...]:
    """The languages that a file's headings are written in; English is always among them."""
    folded = {folded_word(heading) for heading in headings}
    english = {word for words in language("en").sections["headings"].values() for word in words}
    spoken = ["en"]
    for code in LANGUAGES[1:]:
        own = {word for words in language(code).sections.get("headings", {}).values() for word in words}
        if (folded & own) - english:
            spoken.append(code)
    return tuple(spoken)


def in_our_words(text: str, lettering: Lettering, names: tuple[str, ...]) -> str:
    """Noted marks with sides, colours and joining words of other languages told in ours.

    Args:
        text: marks as written.
        lettering: the file's letters: a word in capitals that is a string of them stays as it is.
        names: the palette's own colours: each stays as it is, whatever it means in another language.
    """
    text = unicodedata.normalize("NFKC", text).replace("、", ",").replace("。", ";")
    own = {folded_word(name) for name in names}

    def told(match: re.Match[str]) -> str:
        word = match[0]
        if folded_word(word) in own or (word.isupper() and word.isalpha() and lettering.spellings(word)):
            return word
        ours = _marks_words()[folded_word(word)]
        return f" {ours} " if not word.isascii() and not word[0].isascii() else ours

    return _marks_pattern(names).sub(told, text)


@cache
def _marks_words() -> Mapping[str, str]:
    """Every spelling, folded -> our word. A short form that is made of other words stands for itself."""
    return {folded_word(word): ours for word, ours in reversed(_marks_said())}


def _marks_said() -> list[tuple[str, str]]:
    said: list[tuple[str, str]] = []
    for code in LANGUAGES:
        told = language(code)
        said += [(word, name) for name in _OF_MARKS for word in told.words("marks", name)]
        said += [(word, ours) for ours, words in told.sections.get("colours", {}).items() for word in words]
    short = [word for words in language("ja").sections.get("short", {}).values() for word in words]
    return said + [(word, word) for word in short]


@cache
def _marks_pattern(names: tuple[str, ...]) -> re.Pattern[str]:
    """Every spelling and every colour of a palette: *rose gold* is found before the *rose* in it."""
    longest_first = sorted({*names, *(word for word, _ in _marks_said())}, key=len, reverse=True)
    return re.compile("|".join(bounded(word) for word in longest_first), re.IGNORECASE)


def bounded(word: str) -> str:
    """A pattern for a word or phrase that stands by itself; Japanese is written without blanks."""
    if any(letter > "\u2fff" for letter in word):
        return re.escape(word)
    return rf"(?<!\w){re.escape(word)}(?!\w)"
