"""Dates as they stand in spreadsheets, with how closely they are known."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Literal

from tarsus.core.errors import MalformedInput
from tarsus.tables.park_words import spellings

Precision = Literal["day", "month", "year", "about"]
SlashOrder = Literal["", "day first", "month first"]

# The middle month of a season as the northern half of the world has it; six months later in the southern.
_SEASONS: Final = {"spring": 4, "summer": 7, "autumn": 10, "winter": 1}
_ABOUT_WORDS: Final = "|".join(
    re.escape(word)
    for word in sorted(spellings("dates"), key=len, reverse=True)
    if spellings("dates")[word] == "about"
)
_ABOUT: Final = re.compile(
    rf"(?:c\.?|ca\.?|circa|approx\.?|~|est\.?|約)\s*(.+)|(?:{_ABOUT_WORDS})\s+(.+)", re.I
)
_WORD: Final = r"[^\W\d_]{3,12}"
# Day 1 of the serial numbers of spreadsheet programs is 1 January 1900, with a 29 February 1900 that never
# was; so from March 1900 on they count from this day.
_SERIAL_ZERO: Final = date(1899, 12, 30)
_SERIALS: Final = range(18_000, 80_000)
_YEARS: Final = range(1900, 2200)
_REMEDY: Final = "write it as 2021-04-03, or as 2021 or 'about 2021' where it is not known closer"


class UnclearDate(MalformedInput):
    """A date that cannot be taken, may be two (`either_way`) or lies in the future (`to_come`)."""

    def __init__(
        self,
        text: str,
        reason: str,
        remedy: str = _REMEDY,
        *,
        either_way: bool = False,
        to_come: bool = False,
    ) -> None:
        self.either_way = either_way
        self.to_come = to_come
        self.text = text
        self.reason = reason
        self.remedy = remedy
        super().__init__("", f"'{text}' {reason}; {remedy}")


@dataclass(frozen=True, slots=True)
class PartialDate:
    """A day, and how closely it is known: a month stands at its first day, a year at its first of January."""

    day: date
    precision: Precision = "day"

    def __str__(self) -> str:
        if self.precision == "month":
            return f"{self.day:%Y-%m}"
        if self.precision == "year":
            return f"{self.day:%Y}"
        return f"about {self.day:%Y-%m}" if self.precision == "about" else self.day.isoformat()


def read_date(
    text: str, today: date, slashes: SlashOrder = "", *, southern: bool = False
) -> PartialDate | None:
    """The date that a cell says.

    Args:
        text: `2021-04-03`, `3.4.2021`, `3 April 2021`, a spreadsheet's serial number, `April 2021`, `2021`,
            `spring 2019`, `about 2015`.
        today: no date may lie beyond it; it also says which century `21` is of.
        slashes: how `3/4/2021` is written here; without it such a date is refused where both ways are
        possible.
        southern: whether the seasons are those of the southern half of the world.

    Returns:
        `None` for an empty cell, `?` and `unknown`.

    Raises:
        UnclearDate: it is no date, is possible in two ways, or lies in the future.
    """
    text = _plain(text)
    if text.casefold() in ("", "?", "-") or spellings("dates").get(text.casefold()) == "unknown":
        return None
    about = _ABOUT.fullmatch(text)
    guess = (about[1] or about[2]) if about else text.removesuffix("?").strip()
    found = _exact(guess, today, slashes) or _month_or_year(guess) or _season(guess, southern=southern)
    if found is None:
        raise UnclearDate(text, "is no date")
    if about or text.endswith("?"):
        found = PartialDate(_middle(found), "about")
    if found.day > today:
        raise UnclearDate(text, "lies in the future", to_come=True)
    return found


def _plain(text: str) -> str:
    """The text with plain blanks, without the little words of other languages between day, month and year."""
    text = re.sub(r"(\d{4})年\s?(\d{1,2})月\s?(\d{1,2})日", r"\1-\2-\3", text)
    text = re.sub(r"(\d{4})年\s?(\d{1,2})月", r"\1-\2", text)
    text = re.sub(r"(\d{4})年(?:の)?([春夏秋冬])", r"\2 \1", text).replace("年", "")
    return " ".join(re.sub(r"(?<=\w) (?:de|del|d')\s?(?=\w)", " ", text).split())


def _middle(found: PartialDate) -> date:
    if found.precision == "year":
        return found.day.replace(month=7)
    return found.day.replace(day=15) if found.precision == "month" else found.day


def _exact(text: str, today: date, slashes: SlashOrder) -> PartialDate | None:
    text = re.sub(r"[T ]\d\d:\d\d(:\d\d)?$", "", text)
    if match := re.fullmatch(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})", text):
        return _day(text, int(match[1]), int(match[2]), int(match[3]))
    if match := re.fullmatch(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4}|\d{2})", text):
        return _day(text, _century(match[3], today), int(match[2]), int(match[1]))
    if match := re.fullmatch(r"(\d{1,2})[/-](\d{1,2})[/-](\d{4}|\d{2})", text):
        first, second = int(match[1]), int(match[2])
        day, month = _in_order(text, first, second, slashes)
        return _day(text, _century(match[3], today), month, day)
    if match := re.fullmatch(
        rf"(\d{{1,2}})(?:st|nd|rd|th|er)?\.?[ -]({_WORD})\.?,?[ -](\d{{4}}|\d{{2}})", text, re.I
    ):
        month = _month(match[2])
        return _day(text, _century(match[3], today), month, int(match[1])) if month else None
    if match := re.fullmatch(rf"({_WORD})\.? (\d{{1,2}})(?:st|nd|rd|th)?,? (\d{{4}})", text, re.I):
        month = _month(match[1])
        return _day(text, int(match[3]), month, int(match[2])) if month else None
    if re.fullmatch(r"\d{5}(\.\d+)?", text) and int(float(text)) in _SERIALS:
        return PartialDate(_SERIAL_ZERO + timedelta(days=int(float(text))))
    return None


def _in_order(text: str, first: int, second: int, slashes: SlashOrder) -> tuple[int, int]:
    """Day and month of a date written with slashes."""
    if first > 12 or first == second:
        return first, second
    if second > 12:
        return second, first
    if not slashes:
        raise UnclearDate(
            text,
            "may be day/month or month/day",
            "say which way round dates are written in this file, or write 2021-04-03",
            either_way=True,
        )
    return (first, second) if slashes == "day first" else (second, first)


def slash_order(texts: Iterable[str]) -> SlashOrder:
    """Which way round a file writes its dates; empty where its own dates do not tell, or disagree."""
    orders: set[SlashOrder] = set()
    for text in texts:
        match = re.fullmatch(r"(\d{1,2})[/-](\d{1,2})[/-]\d{2,4}", text.strip())
        if match and int(match[1]) > 12:
            orders.add("day first")
        elif match and int(match[2]) > 12:
            orders.add("month first")
    return orders.pop() if len(orders) == 1 else ""


def _day(text: str, year: int, month: int, day: int) -> PartialDate:
    if not 1 <= month <= 12 or not 1 <= day <= monthrange(year, month)[1] or year not in _YEARS:
        raise UnclearDate(text, "is no day of the calendar")
    return PartialDate(date(year, month, day))


def _century(year: str, today: date) -> int:
    number = int(year)
    if len(year) == 4:
        return number
    return number + (today.year // 100) * 100 - (100 if number > today.year % 100 else 0)


def _month(word: str) -> int:
    return int(spellings("months").get(word.casefold(), 0))


def _month_or_year(text: str) -> PartialDate | None:
    if re.fullmatch(r"\d{4}", text) and int(text) in _YEARS:
        return PartialDate(date(int(text), 1, 1), "year")
    year = month = 0
    if match := re.fullmatch(r"(\d{4})[-/.](\d{1,2})", text):
        year, month = int(match[1]), int(match[2])
    elif match := re.fullmatch(r"(\d{1,2})[/.](\d{4})", text):
        year, month = int(match[2]), int(match[1])
    elif match := re.fullmatch(rf"({_WORD})\.?,? (\d{{4}})", text, re.I):
        year, month = int(match[2]), _month(match[1])
    if year in _YEARS and 1 <= month <= 12:
        return PartialDate(date(year, month, 1), "month")
    return None


def _season(text: str, *, southern: bool) -> PartialDate | None:
    """A season is known to about a quarter of a year: it stands at the middle of its middle month."""
    match = re.fullmatch(r"([^\W\d_]+) (\d{4})", text)
    season = spellings("seasons").get(match[1].casefold()) if match else None
    if match is None or season is None or int(match[2]) not in _YEARS:
        return None
    month = _SEASONS[season]
    return PartialDate(date(int(match[2]), (month + 5) % 12 + 1 if southern else month, 15), "about")
