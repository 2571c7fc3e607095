"""What a column of a park's spreadsheet means: our fields, and the words keepers head them with."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from tarsus.core.errors import MalformedInput, UnknownWord, WrongValue
from tarsus.tables.dates import read_date
from tarsus.tables.park_words import language, spellings
from tarsus.tables.rows import Row, Sheet

NOT_BROUGHT_IN: Final = "-"
"""In a mapping: this column stays out."""

FIELDS: Final[Mapping[str, tuple[str, ...]]] = {
    field: tuple(word for word in words if word != field)
    for field, words in language("en").sections["headings"].items()
}
"""Our fields, and what keepers head them with in English. Each language has a data file in `words/`."""

OUR_OWN: Final = ("refused line", "refused field", "why refused", "remedy")
"""Headings that a list of refused rows carries; they are passed over when it comes back mended."""

WHY: Final = "why refused: "
"""Begins the heading of a column that says what is wrong with the one before it."""

SITES_OF: Final[Mapping[str, str]] = {
    "left tibia": "left tibia",
    "left tarsus": "left leg",
    "left wing": "left wing",
    "right tibia": "right tibia",
    "right tarsus": "right leg",
    "right wing": "right wing",
}
"""Columns for one site, and the site each means. *Left* and *right* mean wherever the species is banded."""


def folded(heading: str) -> str:
    """A heading without case, dots and doubled blanks."""
    return " ".join(re.sub(r"[._:#*()\[\]?-]+", " ", heading.casefold()).split())


_BY_HEADING: Final = {folded(word): field for word, field in spellings("headings").items()}


def field_of(heading: str) -> str:
    """The field that a heading names by itself; empty where it names none."""
    return _BY_HEADING.get(folded(heading), "")


def is_our_own(heading: str) -> bool:
    """Whether a list of refused rows brought this column along."""
    return heading in OUR_OWN or heading.startswith(WHY.strip())


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column is read for which field."""

    columns: tuple[tuple[str, str], ...]

    @property
    def by_field(self) -> Mapping[str, str]:
        """The heading of each field that has a column."""
        return {field: heading for heading, field in self.columns if field != NOT_BROUGHT_IN}

    @property
    def left_out(self) -> tuple[str, ...]:
        """Headings that stay out."""
        return tuple(heading for heading, field in self.columns if field == NOT_BROUGHT_IN)


def columns_for(headings: Iterable[str], said: Mapping[str, str] | None = None) -> Columns:
    """Name the columns: as the park said, otherwise by their headings; the rest stays out.

    Args:
        headings: the table's headings.
        said: heading (in any case) to field, or to `NOT_BROUGHT_IN`.

    Raises:
        UnknownWord: a field that is none of ours, or a heading that the table does not have.
        WrongValue: two columns are said to be one field.
    """
    headings = tuple(headings)
    wished = {folded(heading): field for heading, field in (said or {}).items()}
    for heading, field in (said or {}).items():
        if field != NOT_BROUGHT_IN and field not in FIELDS:
            raise UnknownWord(f"mapping[{heading!r}]", field, "field", FIELDS)
        if folded(heading) not in {folded(one) for one in headings}:
            raise UnknownWord("mapping", heading, "column of this table", headings)
    taken: dict[str, str] = {}
    for heading in headings:
        field = wished.get(folded(heading), "")
        if field in taken:
            raise WrongValue(
                "mapping", f"'{taken[field]}' and '{heading}' are both '{field}'; keep one of them"
            )
        if field and field != NOT_BROUGHT_IN:
            taken[field] = heading
    columns = []
    for heading in headings:
        field = wished.get(folded(heading), "") or _by_itself(heading, taken)
        columns.append((heading, field))
        taken.setdefault(field, heading)
    return Columns(tuple(columns))


def columns_of(sheet: Sheet, said: Mapping[str, str] | None, today: date) -> Columns:
    """Name the columns of a table, by its headings and by what stands below them.

    A column headed *left* is the left leg's, unless dates stand in it: then it says when a bird left.

    Raises:
        UnknownWord, WrongValue: as `columns_for` does.
    """
    said = dict(said or {})
    spoken_for = {folded(heading) for heading in said}
    for heading in sheet.headings:
        mistaken = field_of(heading) == "left" and folded(heading) not in spoken_for
        if mistaken and _mostly_dates(heading, sheet.rows, today):
            said[heading] = "departed"
    return columns_for(sheet.headings, said)


def _mostly_dates(heading: str, rows: Iterable[Row], today: date) -> bool:
    texts = [text for row in rows if (text := row.as_mapping().get(heading, "")) not in ("", "-", "?")]

    def is_date(text: str) -> bool:
        try:
            return (
                any(letter.isdigit() for letter in text) and read_date(text, today, "day first") is not None
            )
        except MalformedInput:
            return False

    return bool(texts) and 2 * sum(map(is_date, texts)) > len(texts)


def still_there(saved: Mapping[str, str], headings: Iterable[str]) -> dict[str, str]:
    """Of a saved mapping, what speaks of columns that this table has."""
    there = {folded(heading) for heading in headings}
    return {heading: field for heading, field in saved.items() if folded(heading) in there}


def _by_itself(heading: str, taken: Mapping[str, str]) -> str:
    field = field_of(heading)
    return field if field and field not in taken else NOT_BROUGHT_IN


def likely_fields(heading: str) -> tuple[str, ...]:
    """Fields that a heading may mean, the likeliest first, for a person to choose from."""
    near = difflib.get_close_matches(folded(heading), _BY_HEADING, n=5, cutoff=0.6)
    return tuple(dict.fromkeys(_BY_HEADING[word] for word in near))
