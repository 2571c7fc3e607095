"""What a sheet says of a bird's fate: in columns of their own, in a status, or in a remark."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Final

from tarsus.core.errors import MalformedInput
from tarsus.tables.dates import PartialDate
from tarsus.tables.park_words import LANGUAGES, bounded, folded_word, language

GONE: Final = ("died", "departed", "missing")
_NOT_SO: Final = ("", "-", "no", "n", "nein", "non", "nee", "0", "false", "いいえ")
_SO: Final = ("yes", "y", "x", "ja", "oui", "sí", "1", "true", "†", "+")
_DATES: Final = re.compile(
    r"\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[./-]\s?\d{1,2}[./-]\s?\d{2,4}"
    r"|\d{1,2}(?:st|nd|rd|th)?\.? [^\W\d_]{3,10} \d{4}|[^\W\d_]{3,10} \d{4}|\b\d{4}\b"
)
_NEAR: Final = 24

ReadDate = Callable[[str], PartialDate | None]


@dataclass(frozen=True, slots=True)
class Fate:
    """What became of a bird: `how` is died, departed, missing, or empty for one that lives here.

    `remarks` are (field, what should be looked at).
    """

    how: str = ""
    on: PartialDate | None = None
    told: str = ""
    went_to: str = ""
    remarks: tuple[tuple[str, str], ...] = ()


def fate_of(cells: dict[str, str], read: ReadDate) -> Fate:
    """The fate that a line tells.

    Args:
        cells: text by field: `status`, `died`, `departed`, `went to`, `note`.
        read: how a date of this file is read; raises `MalformedInput` where it is none.
    """
    remarks: list[tuple[str, str]] = []
    note = _from_note(cells.get("note", ""), read)
    remarks += note.remarks
    told = (
        *(_from_column(field, cells.get(field, ""), read) for field in ("died", "departed")),
        _from_status(cells.get("status", ""), read),
        Fate("departed", None, cells["went to"]) if cells.get("went to") else Fate(),
        note,
    )
    how = next((one for one in told if one.how), Fate())
    others = {one.how for one in told if one.how} - {how.how}
    if others:
        remarks.append(
            ("status", f"is told as {how.how} and as {' and '.join(sorted(others))}: {how.how} is kept")
        )
    remarks += [one for fate in told[:3] for one in fate.remarks]
    on = next((one.on for one in told if one.on is not None), None)
    return Fate(how.how, on, how.told, cells.get("went to", ""), tuple(dict.fromkeys(remarks)))


def _from_column(field: str, text: str, read: ReadDate) -> Fate:
    if folded_word(text) in _NOT_SO:
        return Fate()
    if folded_word(text) in _SO:
        return Fate(field, None, text)
    try:
        return Fate(field, read(text), text)
    except MalformedInput:
        on = _date_in(text, read)
        unread = () if on else ((field, f"'{text}' is no date; the day is not known from it"),)
        return Fate(field, on, text, "", unread)


def _from_status(text: str, read: ReadDate) -> Fate:
    folded = folded_word(text)
    if not folded:
        return Fate()
    whole = _whole().get(folded)
    how = whole if whole is not None else _found(text, ambiguous=True)
    if how is None:
        return Fate(
            remarks=(("status", f"'{text}' is no status that is known here; look whether it lives here"),)
        )
    if how == "living":
        return Fate()
    return Fate(how, _date_in(text, read), text)


def _from_note(text: str, read: ReadDate) -> Fate:
    """A remark is always shown; only a plain word of the bird itself makes it one that does not live here."""
    if not text:
        return Fate()
    shown = [("note", f"'{text}': look at its bands") for _ in range(1) if _trouble().search(text)]
    whole = _whole().get(folded_word(text), "")
    how = whole if whole in GONE else _found(text, ambiguous=False)
    if how in GONE:
        said = f"'{text}': taken as one that {_SAID[how]}; look whether that is so"
        return Fate(how, _date_in(text, read), text, "", (*shown, ("note", said)))
    if _found(text, ambiguous=True, of_others=True) in GONE and not shown:
        shown.append(("note", f"'{text}': taken as living; look whether that is so"))
    return Fate(remarks=tuple(shown))


_SAID: Final = {"died": "died", "departed": "left", "missing": "is missing"}


def _date_in(text: str, read: ReadDate) -> PartialDate | None:
    for match in _DATES.finditer(text):
        try:
            found = read(match[0])
        except MalformedInput:
            continue
        if found is not None:
            return found
    return None


def _found(text: str, *, ambiguous: bool, of_others: bool = False) -> str | None:
    """The fate that words in a text tell; the gravest first."""
    if "†" in text:
        return "died"
    for how in (*GONE, "living"):
        for match in _pattern(how, ambiguous=ambiguous).finditer(text):
            before = text[max(0, match.start() - _NEAR) : match.start()]
            if of_others or not _others().search(re.split(r"[.;,]", before)[-1]):
                return how
    return None


@cache
def _whole() -> dict[str, str]:
    words: dict[str, str] = {"†": "died", "x": "died", "+": "died", "no": "departed", "nein": "departed"}
    for code in LANGUAGES:
        for how in ("living", *GONE):
            for word in language(code).words("fates", how):
                words.setdefault(folded_word(word), how)
    return words


@cache
def _pattern(how: str, *, ambiguous: bool) -> re.Pattern[str]:
    words = {
        word
        for code in LANGUAGES
        for word in language(code).words("fates", how)
        if ambiguous or word not in language(code).words("remarks", "unsure")
    }
    return _any_of(words)


@cache
def _others() -> re.Pattern[str]:
    return _any_of({word for code in LANGUAGES for word in language(code).words("others", "words")})


@cache
def _trouble() -> re.Pattern[str]:
    return _any_of({word for code in LANGUAGES for word in language(code).words("band_trouble", "words")})


def _any_of(words: set[str]) -> re.Pattern[str]:
    return re.compile("|".join(bounded(word) for word in sorted(words, key=len, reverse=True)), re.IGNORECASE)
