"""The fields of a deed: what each holds, and its limits, for every face and the register alike."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Any, Final

Choice = tuple[str, str]
"""A word of a closed list, and how a form says it."""


class Kind(StrEnum):
    """What a field holds."""

    LINE = "line"
    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole"
    FLAG = "flag"
    DAY = "day"
    MOMENT = "moment"
    CHOICE = "choice"
    CHOICES = "choices"
    WORDS = "words"
    ID = "id"
    READING = "reading"
    MARKS = "marks"
    PART = "part"
    PARTS = "parts"
    DOCUMENT = "document"
    SECRET = "secret"
    PICTURE = "picture"
    # a row of the register, by its number
    BIRD = "bird"
    BIRDS = "birds"
    EXHIBIT = "exhibit"
    EXHIBITS = "exhibits"
    PLACE = "place"
    SPECIES = "species"
    PERSON = "person"
    PEOPLE = "people"
    BAND = "band"
    CASE = "case"
    NEST = "nest"
    PAIR = "pair"
    NATURAL_MARK = "natural mark"
    NOT_LOOKED_FOR = "spell"
    PLANNED_MARKS = "planned marks"
    STOCK = "stock"
    CATCH_UP = "catch-up"
    COLOUR_ROW = "colour"
    DEVICE = "device"
    # a fact, by the id its teller chose
    ROUND = "round"
    FACT = "fact"
    SIGHTING = "sighting"
    DEATH = "death"
    BAND_FOUND = "band found"
    REPORT = "report"
    SEX_TEST = "sample"
    HANDLING = "handling"
    TREATMENT = "treatment"
    # a word of the park's own
    COLOUR = "colour of the palette"
    LOOKALIKE = "look-alike group"


BY_NUMBER: Final = frozenset(
    {
        Kind.BIRD, Kind.EXHIBIT, Kind.PLACE, Kind.SPECIES, Kind.PERSON, Kind.BAND, Kind.CASE, Kind.NEST,
        Kind.PAIR, Kind.NATURAL_MARK, Kind.NOT_LOOKED_FOR, Kind.PLANNED_MARKS, Kind.STOCK, Kind.CATCH_UP,
        Kind.COLOUR_ROW, Kind.DEVICE,
    }
)  # fmt: skip
SEVERAL: Final = {Kind.BIRDS: Kind.BIRD, Kind.EXHIBITS: Kind.EXHIBIT, Kind.PEOPLE: Kind.PERSON}
BY_ID: Final = frozenset(
    {
        Kind.ID, Kind.ROUND, Kind.FACT, Kind.SIGHTING, Kind.DEATH, Kind.BAND_FOUND, Kind.SEX_TEST,
        Kind.HANDLING, Kind.REPORT, Kind.TREATMENT,
    }
)  # fmt: skip
TEXTS: Final = frozenset({Kind.LINE, Kind.TEXT, Kind.SECRET, Kind.PICTURE, Kind.COLOUR, Kind.LOOKALIKE})
LISTS: Final = frozenset({*SEVERAL, Kind.WORDS, Kind.CHOICES, Kind.PARTS})
MOST: Final = 1000
"""How many entries a list of a deed may have."""
LARGEST_ID: Final = 2**62
FIRST_DAY: Final = date(1900, 1, 1)
"""No day of a deed lies before it: no bird that lives today had hatched."""
FIRST_PLAN: Final = date(2000, 1, 1)
"""No plan was for a day before it; a plan that reaches the register late may be for a day that is over."""
TOMORROW: Final = 1
"""Days after today that may be named of what has been: the teller's day may have begun before the park's."""
TWO_YEARS: Final = 731
"""Days after today that may be planned for."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a deed.

    `longest`: characters of a text. `low`, `high`: range of a number. `first`: the earliest day,
    `ahead`: how many days after today the latest lies, of a day or a moment. `choices`: the words of a
    closed list. `parts`: fields of an object within. `column`: where the register keeps it, if that is called
    otherwise than the field; ``-`` where no column is its own. `initial`: what a form begins with.
    `on_form`: a generic form asks for it. `about`: birds and exhibits that it names are what the deed is
    about. `noun`: what a word of the list is called where another one is refused. `instead_of`: a field
    without which this one is asked for. `apart`: it is kept in a table of its own, from which it may be
    taken, and never in the ledger.
    """

    name: str
    kind: Kind
    label: str
    required: bool = False
    longest: int = 0
    low: float | None = None
    high: float | None = None
    first: date | None = None
    ahead: int | None = None
    choices: tuple[Choice, ...] = ()
    unit: str = ""
    hint: str = ""
    initial: Any = None
    parts: tuple[Field, ...] = field(default=())
    column: str = ""
    on_form: bool = True
    noun: str = "word for this"
    instead_of: str = ""
    about: bool = True
    apart: bool = False

    @property
    def absent(self) -> Any:
        """What a deed hears where the field is left out."""
        if self.kind in LISTS:
            return ()
        if self.kind is Kind.FLAG:
            return None if self.initial == "unsaid" else False
        if self.kind in (Kind.NUMBER, Kind.WHOLE):
            return self.initial
        return "" if self.kind in TEXTS or self.kind is Kind.CHOICE else None

    @property
    def words(self) -> tuple[str, ...]:
        """The words of a closed list, without how a form says them."""
        return tuple(word for word, _ in self.choices)


def line(name: str, label: str, longest: int, **more: Any) -> Field:
    """One line of text."""
    return Field(name, Kind.LINE, label, longest=longest, **more)


def text(name: str, label: str, longest: int = 4000, **more: Any) -> Field:
    """A text of several lines."""
    return Field(name, Kind.TEXT, label, longest=longest, **more)


def number(name: str, label: str, low: float, high: float, **more: Any) -> Field:
    """A number within a range."""
    return Field(name, Kind.NUMBER, label, low=low, high=high, **more)


def whole(name: str, label: str, low: int, high: int, **more: Any) -> Field:
    """A whole number within a range."""
    return Field(name, Kind.WHOLE, label, low=low, high=high, **more)


def choice(name: str, label: str, *choices: str | Choice, **more: Any) -> Field:
    """One word of a closed list; a choice is a word, or a word and how a form says it."""
    said = tuple((word, word) if isinstance(word, str) else word for word in choices)
    return Field(name, Kind.CHOICE, label, choices=said, **more)


def flag(name: str, label: str, **more: Any) -> Field:
    """Yes or no. With ``initial="unsaid"`` a third: not said."""
    return Field(name, Kind.FLAG, label, **more)


def day_that_was(name: str, label: str, **more: Any) -> Field:
    """A calendar day of what has been."""
    return Field(name, Kind.DAY, label, first=FIRST_DAY, ahead=TOMORROW, **more)


def planned_day(name: str, label: str, *, first: date = FIRST_PLAN, **more: Any) -> Field:
    """A calendar day for which something is planned, or from which it holds."""
    return Field(name, Kind.DAY, label, first=first, ahead=TWO_YEARS, **more)


def moment_that_was(name: str, label: str, **more: Any) -> Field:
    """A moment of what has been."""
    return Field(name, Kind.MOMENT, label, first=FIRST_DAY, ahead=TOMORROW, **more)


def of(kind: Kind, label: str = "", name: str = "", **more: Any) -> Field:
    """A row of the register, or any other kind that needs no limit of its own."""
    return Field(name or kind.value, kind, label or kind.value.capitalize(), **more)
