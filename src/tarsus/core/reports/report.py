"""A report as plain values: its parts, their columns and rows, and how a cell is read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Final

from tarsus.core.words.days import day_words

Cell = str | int | float | date | datetime | None
"""What a cell holds. `None` and empty text are told as nothing."""


class Kind(StrEnum):
    """What a column holds, and with it how a cell of it is read and on which side it stands."""

    TEXT = "text"
    NUMBER = "number"
    DAY = "day"
    MOMENT = "moment"
    GRAMS = "grams"
    SHARE = "share"


FIGURES: Final = frozenset({Kind.NUMBER, Kind.GRAMS, Kind.SHARE})
"""Kinds whose cells stand to the right, figure under figure."""

TOLD_SINCE: Final = "told since"
"""What a row says of itself that was not known yet on the day that is asked for."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column. `wide` ones share what room is left, each by its number; `summed` ones have a total."""

    name: str
    kind: Kind = Kind.TEXT
    wide: int = 0
    summed: bool = False

    @property
    def figure(self) -> bool:
        """Whether its cells are figures."""
        return self.kind in FIGURES


@dataclass(frozen=True, slots=True)
class Row:
    """One row. `key` makes it this row and no other, from one telling to the next.

    `bird`: whom it is about, where it is about one.
    `since`: what is different now from what was known then, empty where nothing is (`compared`).
    """

    key: tuple[str, ...]
    cells: tuple[Cell, ...]
    bird: int | None = None
    since: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """One table of a report. `nothing` is said where it has no rows, so that an empty one is told."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    nothing: str

    def __post_init__(self) -> None:
        assert all(len(row.cells) == len(self.columns) for row in self.rows), self.title
        keys = [row.key for row in self.rows]
        assert len(set(keys)) == len(keys), f"{self.title}: two rows have one key"

    @property
    def total(self) -> tuple[Cell, ...]:
        """The last line: a sum under each column that has one, *all* in the first; empty where none has.

        Rows that were told since are no part of it: it is the sum as it was known then.
        """
        rows = [row for row in self.rows if row.since != TOLD_SINCE]
        if len(rows) < 2 or not any(column.summed for column in self.columns):
            return ()
        summed = tuple(
            _sum(row.cells[n] for row in rows) if column.summed else None
            for n, column in enumerate(self.columns)
        )
        return ("all", *summed[1:])

    @property
    def differs(self) -> bool:
        """Whether any row is told differently now."""
        return any(row.since for row in self.rows)


def _sum(cells: Iterable[Cell]) -> int | float:
    return sum(cell for cell in cells if isinstance(cell, int | float))


@dataclass(frozen=True, slots=True)
class Report:
    """A report as it is shown, printed and written.

    `name`: its short name. `span`: what it covers, in words. `known_on`: the past day on which it was known
    so; `None` where it is what is known now. `notes`: what a reader has to know of it.
    """

    name: str
    title: str
    span: str
    parts: tuple[Part, ...]
    notes: tuple[str, ...] = ()
    known_on: date | None = None

    @property
    def known(self) -> str:
        """As of when it is told, in words."""
        if self.known_on is None:
            return "As known now."
        differs = any(part.differs for part in self.parts)
        now = (
            "what is different now stands in the last column" if differs else "nothing of it is different now"
        )
        return f"As known at the end of {day_words(self.known_on)}; {now}."
