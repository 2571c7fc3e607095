"""What a sheet says of a bird's fate: in columns of their own, in a status, or in a remark."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from tarsus.core.errors import MalformedInput
from tarsus.tables.dates import PartialDate, UnclearDate
from tarsus.tables.fate_words import (
    GONE,
    band_trouble,
    begins_with_no,
    fate_in,
    says_no,
    says_unknown,
    says_yes,
    whole_fate,
)
from tarsus.tables.park_words import LANGUAGES, folded_word

_DATES: Final = re.compile(
    r"\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[./-]\s?\d{1,2}[./-]\s?\d{2,4}"
    r"|\d{1,2}(?:st|nd|rd|th)?\.? [^\W\d_]{3,10} \d{4}"
    r"|(?P<month>[^\W\d_]{3,10} )\d{4}(?![-./]\d)|\b\d{4}\b"
)
_SAID: Final = {"died": "died", "departed": "left", "missing": "is missing"}
_LIVING: Final = "taken as living; look whether that is so"

ReadDate = Callable[[str], PartialDate | None]


@dataclass(frozen=True, slots=True)
class Fate:
    """What became of a bird: `how` is died, departed, missing, or empty for one that lives here.

    `remarks` are (field, what should be looked at); `unclear` is the day where it can be taken in two ways,
    by its field: it has to be asked.
    """

    how: str = ""
    on: PartialDate | None = None
    told: str = ""
    went_to: str = ""
    remarks: tuple[tuple[str, str], ...] = ()
    unclear: tuple[tuple[str, UnclearDate], ...] = ()


def fate_of(cells: dict[str, str], read: ReadDate, languages: tuple[str, ...] = ("en",)) -> Fate:
    """The fate that a line tells.

    Args:
        cells: text by field: `status`, `died`, `departed`, `went to`, `note`.
        read: how a date of this file is read; raises `MalformedInput` where it is none.
        languages: those the file is written in; a remark is read in them alone.
    """
    columns = [_from_column(field, cells.get(field, ""), read, languages) for field in ("died", "departed")]
    status = _from_status(cells.get("status", ""), read, languages)
    note = _from_note(cells.get("note", ""), read, languages)
    went_to = _from_went_to(cells.get("went to", ""))
    told = (*columns, status, went_to, note)
    how = next((one for one in told if one.how), Fate())
    remarks = list(note.remarks)
    others = {one.how for one in told if one.how} - {how.how}
    if others:
        remarks.append(
            ("status", f"is told as {how.how} and as {' and '.join(sorted(others))}: {how.how} is kept")
        )
    remarks += [one for fate in (*columns, status) for one in fate.remarks]
    remarks += () if how.how else went_to.remarks
    on = next((one.on for one in told if one.on is not None), None)
    unclear = [one for fate in columns for one in fate.unclear]
    if on is None:
        unclear += [*status.unclear, *note.unclear]
    return Fate(how.how, on, how.told, went_to.went_to, tuple(dict.fromkeys(remarks)), tuple(unclear))


def _from_column(field: str, text: str, read: ReadDate, languages: tuple[str, ...]) -> Fate:
    """What a column *Died* or *Departed* says: a day, a yes, or a word of a fate; all else is living."""
    if says_no(text):
        return Fate()
    if says_yes(text):
        return Fate(field, None, text)
    if says_unknown(text):
        return _living(field, f"'{text}'")
    try:
        found = read(text)
        return Fate(field, found, text) if found else _living(field, f"'{text}'")
    except UnclearDate as unclear:
        if unclear.either_way:
            return Fate(field, None, text, unclear=((field, unclear),))
        if unclear.to_come:
            return _living(field, f"'{text}' {unclear.reason}")
        return _from_words(field, text, unclear.reason, read, languages)


def _from_words(field: str, text: str, reason: str, read: ReadDate, languages: tuple[str, ...]) -> Fate:
    """What a column says in words, with or without a day among them."""
    how = whole_fate(text, languages) or _fate_told(text, languages)
    dated = _dated(field, Fate(how if how in GONE else field, None, text), read)
    if how in GONE:
        remarks = () if dated.on else ((field, f"'{text}' {reason}; the day is not known from it"),)
        other = () if how == field else ((field, _taken_as(text, how)),)
        return replace(dated, remarks=(*remarks, *other))
    if how == "living" or begins_with_no(text):
        return _living(field, f"'{text}'")
    if dated.on or dated.unclear:
        return dated
    if _DATES.fullmatch(text):
        return replace(dated, remarks=((field, f"'{text}' {reason}; the day is not known from it"),))
    return _living(field, f"'{text}' {reason} and says nothing that is known here")


def _fate_told(text: str, languages: tuple[str, ...]) -> str:
    """The fate that a cell about fates tells; of a language that the file is not in, plain words only."""
    return fate_in(text, languages, unsure=True) or fate_in(text, unsure=False)


def _from_status(text: str, read: ReadDate, languages: tuple[str, ...]) -> Fate:
    folded = folded_word(text)
    if not folded:
        return Fate()
    whole = "departed" if folded in ("no", "nein") else whole_fate(text, languages) or whole_fate(text)
    how = whole or _fate_told(text, languages)
    if not how:
        unknown = f"'{text}' is no status that is known here; look whether it lives here"
        return Fate(remarks=(("status", unknown),))
    if how == "living":
        return Fate()
    sure = whole or fate_in(text, unsure=False) == how
    shown = () if sure else (("status", _taken_as(text, how)),)
    return _dated("status", Fate(how, None, text, remarks=shown), read)


def _from_went_to(text: str) -> Fate:
    """A bird that went somewhere left; a cell that names no place says nothing of it."""
    if says_no(text):
        return Fate()
    if says_unknown(text):
        return replace(_living("went to", f"'{text}'"), went_to=text)
    return Fate("departed", None, text, text)


def _from_note(text: str, read: ReadDate, languages: tuple[str, ...]) -> Fate:
    """A remark is always shown; only a plain word of the bird itself makes it one that does not live here."""
    if not text:
        return Fate()
    shown = [("note", f"'{text}': look at its bands")] if band_trouble().search(text) else []
    whole = whole_fate(text, languages)
    how = whole if whole in GONE else fate_in(text, languages, unsure=False)
    if how in GONE:
        return _dated("note", Fate(how, None, text, "", (*shown, ("note", _taken_as(text, how)))), read)
    spoken_of = fate_in(text, languages, unsure=True, of_any=True) in GONE
    if not shown and (spoken_of or fate_in(text, LANGUAGES, unsure=False, of_any=True) in GONE):
        shown.append(("note", f"'{text}': {_LIVING}"))
    return Fate(remarks=tuple(shown))


def _taken_as(text: str, how: str) -> str:
    return f"'{text}': taken as one that {_SAID[how]}; look whether that is so"


def _living(field: str, said: str) -> Fate:
    return Fate(remarks=((field, f"{said}: {_LIVING}"),))


def _dated(field: str, fate: Fate, read: ReadDate) -> Fate:
    """The fate with the first day that its words tell, or with the one that can be taken in two ways."""
    at = 0
    while match := _DATES.search(fate.told, at):
        # The word before a year may be a month or any other: *sold 2022* tells the year alone.
        at = match.end("month") if match["month"] else match.end()
        try:
            found = read(match[0])
        except UnclearDate as unclear:
            if unclear.either_way:
                return replace(fate, unclear=((field, unclear),))
            continue
        except MalformedInput:
            continue
        if found is not None:
            return replace(fate, on=found)
    return fate
