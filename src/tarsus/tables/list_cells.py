"""The cells of one line of a list, each read as what its column means, or refused with its place."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Final
from uuid import UUID

from tarsus.tables.columns import Columns, folded
from tarsus.tables.dates import SlashOrder, UnclearDate, read_date
from tarsus.tables.list_kinds import ID, TIME_NOT_KNOWN
from tarsus.tables.list_known import ListBird, ListKnown, NotFound, nearest, one_named
from tarsus.tables.park_words import folded_word, spellings
from tarsus.tables.rows import Refusal, Row

_TIME: Final = re.compile(r"(\d{1,2})[:.h時](\d{2})?(?::\d{2})?分?(?:\s*uhr)?", re.I)
_TIME_FOLLOWS: Final = re.compile(r"(?<=\d)T(?=\d)")
"""Between the day and the time of a moment; any other T is a letter of a month."""
_NUMBER: Final = re.compile(r"([\d\s'.,]*\d)\s*([a-zµ]*)\.?", re.I)
_THOUSANDS: Final = re.compile(r"\d{1,3}[.,]\d{3}")
_UNITS: Final = {"": 0.0, "g": 1.0, "gr": 1.0, "gram": 1.0, "grams": 1.0, "gramm": 1.0, "kg": 1000.0}
_KILOGRAMS: Final = re.compile(r"\b(kgs?|kilos?|kilograms?|kilogramm|kilogrammes?|kilogramos?)\b|体重kg")
_POUNDS: Final = re.compile(r"\b(lbs?|oz|pounds?|ounces?)\b")
_ROWS_OF_AN_EXPORT: Final = (
    frozenset({"exhibit_id", "species_id", "from_on", "forbids_chase"}),
    frozenset({"colour_id", "order_below"}),
)
"""Headings by which tables of nests and of stock are an export's: their own ids are whole numbers."""
_FACTS_OF_AN_EXPORT: Final = frozenset({"happened_at", "recorded_at", "recorded_by_id"})
_EMPTY: Final = ("", "-", "?")


def day_and_hour(day: date, hour: time | None) -> str:
    """A day with its time, as it is shown and as the ids of facts follow from it."""
    return f"{day} {hour.isoformat('minutes') if hour else ''}".strip()


class NotUnderstood(Exception):
    """A cell that cannot be taken as its column means: why, what mends it, and what may be meant."""

    def __init__(self, field: str, text: str, reason: str, remedy: str, near: tuple[str, ...] = ()) -> None:
        self.field, self.text, self.reason, self.remedy, self.near = field, text, reason, remedy, near
        super().__init__(reason)

    def refusal(self, row: Row, heading: str) -> Refusal:
        """Why the row of the cell under a heading is refused."""
        text = f"'{self.text}' " if self.text else ""
        return Refusal(row.line, heading, f"{text}{self.reason}", self.remedy, row.sheet)


@dataclass(frozen=True, slots=True)
class Cells:
    """One line: its texts by field, after what was answered of cells and said for the whole file."""

    row: Row
    columns: Columns
    answers: Mapping[str, Mapping[str, str]]
    once: Mapping[str, str]
    known: ListKnown
    slashes: SlashOrder
    southern: bool

    def heading(self, field: str) -> str:
        """The heading of a field's column; the field itself where it has none."""
        return self.columns.by_field.get(field, field)

    def text(self, field: str) -> str:
        """What stands for a field; empty for an empty cell, a dash and a question mark."""
        heading = self.columns.by_field.get(field)
        text = "" if heading is None else self.row.as_mapping().get(heading, "").strip()
        text = "" if text in _EMPTY else text
        meant = {folded_word(one): instead for one, instead in self.answers.get(field, {}).items()}
        return meant.get(folded_word(text), text) or self.once.get(field, "")

    def needed(self, field: str) -> str:
        """What stands for a field that must be said.

        Raises:
            NotUnderstood: nothing does.
        """
        if not (text := self.text(field)):
            raise NotUnderstood(field, "", "is empty", "say it in this cell, or leave the line out")
        return text

    def given_id(self) -> UUID | None:
        """The id that an export gave this fact; none in a park's own list."""
        try:
            return UUID(self.text(ID))
        except ValueError:
            return None

    def by_id(self, field: str, text: str) -> bool:
        """Whether a cell says the register's own id, as a table of an export does.

        A park's own `bird_id` is the park's number: an id is one only beside what an export alone has.

        Raises:
            NotUnderstood: it is a table of an export from which the ids of its lines were taken out.
        """
        if not (self.heading(field).endswith("_id") and text.isdecimal()):
            return False
        headings = {heading for heading, _ in self.columns.columns}
        rows = any(own <= headings for own in _ROWS_OF_AN_EXPORT)
        if self.given_id() is not None or (rows and ID in headings):
            return True
        if rows or headings >= _FACTS_OF_AN_EXPORT:
            raise NotUnderstood(
                *(field, text, "is a number of the register's own, and its line has no id"),
                "leave the column 'id' of the export as it is",
            )
        return False

    def bird(self) -> ListBird:
        """The bird of the line.

        Raises:
            NotUnderstood: no bird is meant, or one of several.
        """
        text = self.needed("bird")
        try:
            if self.by_id("bird", text):
                return self.known.bird_by_id(int(text))
            return self.known.bird(text)
        except NotFound as reason:
            remedy = "write its number" if reason.near else "bring this bird in first, or mend its name"
            raise NotUnderstood("bird", text, reason.reason, remedy, reason.near) from None

    def day(self, field: str = "on") -> date:
        """The day of the line.

        Raises:
            NotUnderstood: it is none, lies ahead, or is not known to the day.
        """
        text = self.needed(field)
        try:
            found = read_date(
                _TIME_FOLLOWS.split(text)[0], self.known.today, self.slashes, southern=self.southern
            )
        except UnclearDate as reason:
            raise NotUnderstood(field, text, reason.reason, reason.remedy) from None
        if found is None or found.precision != "day":
            raise NotUnderstood(field, text, "is not known to the day", "write the day, as in 2021-04-03")
        return found.day

    def optional_day(self, field: str) -> date | None:
        """A day that need not be said."""
        return self.day(field) if self.text(field) else None

    def moment(self) -> tuple[datetime, str]:
        """When it was, and how that is said: a moment of an export, or a day with its time or without.

        Raises:
            NotUnderstood: it is none.
        """
        text = self.needed("on")
        if re.match(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d", text):
            try:
                exactly = datetime.fromisoformat(text)
            except ValueError:
                raise NotUnderstood("on", text, "is no moment", "write it as 2021-04-03 14:30") from None
            at = exactly if exactly.tzinfo else exactly.replace(tzinfo=self.known.zone)
            here = at.astimezone(self.known.zone).replace(tzinfo=None)
            return at, here.isoformat(" ", "seconds").removesuffix(":00")
        day, hour = self.day(), self.hour()
        return self.known.moment(day, hour), day_and_hour(day, hour)

    def hour(self) -> time | None:
        """The time of day; nothing where none is said, or is said not to be known.

        Raises:
            NotUnderstood: it is none.
        """
        text = self.text("time")
        if not text or folded_word(text) == TIME_NOT_KNOWN:
            return None
        match = _TIME.fullmatch(text.strip())
        try:
            return time(int(match[1]), int(match[2] or 0)) if match else time.fromisoformat(text)
        except ValueError:
            raise NotUnderstood("time", text, "is no time of day", "write it as 14:30") from None

    def word(self, field: str, among: tuple[str, ...]) -> str:
        """One of our words, in any spelling of any language.

        Raises:
            NotUnderstood: it is none of them.
        """
        text = self.needed(field)
        ours = spellings("told").get(folded_word(text), folded_word(text))
        if ours not in among:
            raise NotUnderstood(field, text, f"is none of: {', '.join(among)}", "write one of them", among)
        return ours

    def flag(self, field: str) -> bool | None:
        """Yes, no, or not said.

        Raises:
            NotUnderstood: it is neither.
        """
        return self.word(field, ("yes", "no")) == "yes" if self.text(field) else None

    def whole(self, field: str) -> int:
        """A whole number, none of them negative.

        Raises:
            NotUnderstood: it is none.
        """
        text = self.needed(field).removesuffix(".0")
        if not text.isdecimal() or len(text) > 9:
            raise NotUnderstood(field, text, "is no whole number", "write digits alone, as in 12")
        return int(text)

    def grams(self, field: str) -> float:
        """A weight in grams: by its own unit, otherwise by that of its heading, otherwise grams.

        Raises:
            NotUnderstood: it is no number, or may be two.
        """
        text = self.needed(field)
        match = _NUMBER.fullmatch(text)
        unit = match[2].casefold() if match else ""
        if match is None or unit not in _UNITS:
            raise NotUnderstood(field, text, "is no weight", "write it as 850, 850 g or 0.85 kg")
        # Folded, as it was known by: `weight_kg` is one word to a search for words.
        heading = folded(self.heading(field))
        if not unit and _POUNDS.search(heading):
            raise NotUnderstood(
                field, text, "stands under a heading in pounds or ounces", "write it in g or kg"
            )
        factor = _UNITS[unit] or (1000.0 if _KILOGRAMS.search(heading) else 1.0)
        digits = "".join(match[1].replace("'", "").split())
        if _THOUSANDS.fullmatch(digits) and factor == 1.0:
            ways = (re.sub(r"[.,]", "", digits), f"{float(digits.replace(',', '.')):g}")
            raise NotUnderstood(
                field, text, f"may be {ways[0]} g or {ways[1]} g", "write it without a point or comma", ways
            )
        try:
            number = float(digits.replace(",", "."))
        except ValueError:
            raise NotUnderstood(field, text, "is no number", "write it as 850 or 850.5") from None
        return round(number * factor, 3)

    def named(self, field: str, names: Mapping[str, int], what: str) -> int:
        """The id of what a cell names; a column of ids of an export says the id itself.

        Raises:
            NotUnderstood: nothing has this name.
        """
        text = self.needed(field)
        if self.by_id(field, text) and int(text) in names.values():
            return int(text)
        try:
            return one_named(text, names, what)
        except NotFound as reason:
            remedy = f"write the name of the {what}"
            raise NotUnderstood(field, text, reason.reason, remedy, reason.near) from None

    def colour(self) -> str:
        """A colour of the palette, in any language; empty where none is said.

        Raises:
            NotUnderstood: the palette has no such colour.
        """
        text = self.text("colour")
        if not text:
            return ""
        if self.by_id("colour", text) and int(text) in self.known.colours:
            return self.known.colours[int(text)]
        names = {folded_word(name): name for name in self.known.palette.names}
        ours = names.get(folded_word(text)) or names.get(spellings("colours").get(folded_word(text), ""))
        if ours is None:
            near = nearest(text, self.known.palette.names)
            raise NotUnderstood("colour", text, "is no colour of the palette", "write one of them", near)
        return ours
