"""Days as they head the columns of an old sheet: `3.4.2021`, `Mon 3.4.`, `3 April`, or `1` to `31`."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from tarsus.core.errors import MalformedInput
from tarsus.tables.dates import PartialDate, SlashOrder, read_date
from tarsus.tables.park_words import spellings

_ANY_DAY: Final = date(2199, 12, 31)
Wants = Literal["", "month", "year"]
_IN_BRACKETS: Final = re.compile(r"[(（\[].*?[)）\]]")
_FULL: Final = re.compile(r".*\d.*\d{2,4}.*|\d{5}|.*\d{4}年.*")
_NUMBER: Final = re.compile(r"(\d{1,2})(?:\.|日|st|nd|rd|th|er)?")
_OF_YEAR: Final = (
    (re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.?"), r"\1.\2.{year}"),
    (re.compile(r"(\d{1,2})([/-])(\d{1,2})\2?"), r"\1/\3/{year}"),
    (re.compile(r"(\d{1,2})月(\d{1,2})日?"), r"{year}-\1-\2"),
    (re.compile(r"(\d{1,2})(?:\.|st|nd|rd|th|er)?[ -]?([^\W\d_]+)\.?"), r"\1 \2 {year}"),
    (re.compile(r"([^\W\d_]+)\.?[ -]?(\d{1,2})(?:\.|st|nd|rd|th|er)?"), r"\2 \1 {year}"),
)


@dataclass(frozen=True, slots=True)
class DayWritten:
    """A day as it is written, with a place for the year or the month that it leaves out."""

    text: str
    wants: Wants = ""

    def read(self, left_out: str, today: date, slashes: SlashOrder) -> PartialDate | None:
        """The day, with what was said of the year or month.

        Raises:
            UnclearDate: it is none, may be two, or lies in the future.
        """
        if self.wants == "month":
            month = read_date(left_out, today)
            left_out = left_out if month is None else f"{month.day:%Y-%m}"
        return read_date(self.text.replace(f"{{{self.wants}}}", left_out), today, slashes)


def written_days(texts: Iterable[str]) -> dict[str, DayWritten | None]:
    """The day that each heading or cell names; nothing where it names none.

    *mar 2* is a Tuesday where others of them name days of the week as well, otherwise a day of March.
    """
    texts = tuple(texts)
    by_week = any(_weekdays(text) - spellings("months").keys() for text in texts)
    return {text: _written(text, spellings("weekdays").keys() - _months(by_week)) for text in texts}


def looks_like_day(heading: str) -> bool:
    """Whether a heading names a day, or a day without its month or year."""
    return written_days([heading])[heading] is not None


def _months(by_week: bool) -> frozenset[str]:
    return frozenset() if by_week else frozenset(spellings("months"))


def _weekdays(text: str) -> set[str]:
    words = {part.strip(".").casefold() for part in text.replace(",", " ").split()}
    return words & spellings("weekdays").keys()


def _written(text: str, weekdays: Collection[str]) -> DayWritten | None:
    parts = _IN_BRACKETS.sub(" ", text).replace(",", " ").split()
    text = " ".join(part for part in parts if part.strip(".").casefold() not in weekdays)
    if number := _NUMBER.fullmatch(text):
        return DayWritten(f"{{month}}-{int(number[1]):02}", "month") if 1 <= int(number[1]) <= 31 else None
    for pattern, whole in _OF_YEAR:
        match = pattern.fullmatch(text)
        if match and _names_a_month(match):
            return DayWritten(match.expand(whole), "year")
    try:
        found = read_date(text, _ANY_DAY, "day first") if _FULL.fullmatch(text) else None
    except MalformedInput:
        return None
    return DayWritten(text) if found is not None and found.precision == "day" else None


def _names_a_month(match: re.Match[str]) -> bool:
    words = [part for part in match.groups() if part.isalpha()]
    return all(spellings("months").get(word.casefold()) for word in words)
