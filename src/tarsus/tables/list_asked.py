"""What is asked once of a list, and what became of its lines: the plan of an import."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from tarsus.tables.choices import Choices
from tarsus.tables.columns import Columns
from tarsus.tables.dates import SlashOrder, slash_order
from tarsus.tables.list_cells import NotUnderstood
from tarsus.tables.list_kinds import ListKind
from tarsus.tables.list_said import Said
from tarsus.tables.questions import Question
from tarsus.tables.rows import Refusal, Remark, Row, Sheet

_ORDERS: Final[tuple[SlashOrder, ...]] = ("day first", "month first")
_DAYS: Final = ("on", "begun", "hatched on", "fledged on", "ended")


@dataclass(frozen=True, slots=True)
class ListLine:
    """What would be told together: its facts, and their ids in the same order.

    It is a line, or of ticks a day: then `line` is 0, and `cells` are line, column and sheet of each sign.
    """

    line: int
    row: Row | None
    said: Said
    ids: tuple[UUID, ...]
    cells: tuple[tuple[int, str, str], ...] = ()

    @property
    def sheet(self) -> str:
        """The sheet of a workbook that its line stands in."""
        return "" if self.row is None else self.row.sheet


@dataclass(frozen=True, slots=True)
class ListPlan:
    """Every line once: those that would be told, those refused, and those that were told before.

    `good_lines`: of which nothing is refused and something is new.
    """

    kind: ListKind
    lines: tuple[ListLine, ...]
    refused: tuple[Refusal, ...]
    refused_rows: tuple[Row, ...]
    remarks: tuple[Remark, ...]
    in_before: tuple[int, ...]
    good_lines: tuple[int, ...]
    questions: tuple[Question, ...]

    @property
    def pressing(self) -> tuple[Question, ...]:
        """The questions that must be answered before anything goes in."""
        return tuple(one for one in self.questions if one.pressing)


def slashes_of(sheet: Sheet, columns: Columns, choices: Choices) -> SlashOrder:
    """Which way round a list writes its dates: as was said, otherwise as its own dates tell."""
    for said in _ORDERS:
        if choices.slashes == said:
            return said
    headings = [columns.by_field[field] for field in _DAYS if field in columns.by_field]
    return slash_order(row.as_mapping()[heading] for row in sheet.rows for heading in headings)


def unsaid(kind: ListKind, columns: Columns, choices: Choices) -> tuple[str, ...]:
    """What has no column and must be said once for the whole file."""
    there = columns.by_field
    missing = [group[0] for group in kind.needs if not any(one in there for one in group)]
    wanted = (*missing, *kind.once)
    left = [one for one in dict.fromkeys(wanted) if one not in there and not choices.once.get(one)]
    asks = [one for one in kind.asks if not one.beside or one.beside in there]
    return (*left, *(one.field for one in asks if choices.once.get(one.field) not in one.ways))


def once_asked(kind: ListKind, unsaid: Iterable[str], rows: tuple[Row, ...]) -> list[Question]:
    """What holds for every line of the file, asked in the order of `unsaid`."""
    lines = tuple(row.line for row in rows)
    asks = {one.field: one for one in kind.asks}
    asked = []
    for field in unsaid:
        known = asks.get(field)
        ways = tuple((way,) for way in (known.ways if known else kind.once.get(field, ())))
        example = ways[0][0] if ways else "..."
        text = known.text if known else f"No column says '{field}'. What holds for every line of this file?"
        asked.append(Question("once", field, field, text, lines, ways, f'--once "{field}={example}"'))
    return asked


def cell_question(field: str, reason: NotUnderstood, lines: list[int]) -> Question:
    """What a cell means that was not understood, for all that are alike."""
    example = reason.near[0] if reason.near else "..."
    return Question(
        "cell",
        field,
        reason.text,
        f"'{reason.text}' {reason.reason}. What is meant?",
        tuple(lines),
        tuple((way,) for way in reason.near),
        f'--cell "{field}:{reason.text}={example}"',
        pressing=False,
    )
