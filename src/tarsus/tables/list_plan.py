"""What would become of every line of a list: what it tells, what is refused, what is asked once a file."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID, uuid5

from tarsus.tables.choices import Choices
from tarsus.tables.columns import Columns
from tarsus.tables.dates import SlashOrder, slash_order
from tarsus.tables.list_cells import Cells, NotUnderstood
from tarsus.tables.list_kinds import ListKind
from tarsus.tables.list_known import ListKnown
from tarsus.tables.list_lines import Fact, Said, line_said
from tarsus.tables.park_words import folded_word
from tarsus.tables.questions import Question, date_question
from tarsus.tables.rows import Refusal, Remark, Row, Sheet

_OURS: Final = UUID("6f1d1a52-7c0b-5c8e-9a57-0d3f1c9b2e44")
"""Made once for this: ids of facts of a list follow from what its line says, so that it is told once."""
_ORDERS: Final[tuple[SlashOrder, ...]] = ("day first", "month first")
_DAYS: Final = ("on", "begun", "hatched on", "fledged on", "ended")
_ANSWERED: Final = (
    "bird",
    "exhibit",
    "species",
    "place",
    "weight",
    "where",
    "sex",
    "known by",
    "what",
    "colour",
)
"""Fields of which a cell may be answered once for all that are alike."""


@dataclass(frozen=True, slots=True)
class ListLine:
    """A line that would be told: its facts, and their ids in the same order."""

    line: int
    row: Row
    said: Said
    ids: tuple[UUID, ...]


@dataclass(frozen=True, slots=True)
class ListPlan:
    """Every line once: those that would be told, those refused, and those that were told before."""

    kind: ListKind
    lines: tuple[ListLine, ...]
    refused: tuple[Refusal, ...]
    refused_rows: tuple[Row, ...]
    remarks: tuple[Remark, ...]
    in_before: tuple[int, ...]
    questions: tuple[Question, ...]

    @property
    def pressing(self) -> tuple[Question, ...]:
        """The questions that must be answered before anything goes in."""
        return tuple(one for one in self.questions if one.pressing)


def plan_list(
    sheet: Sheet,
    columns: Columns,
    kind: ListKind,
    choices: Choices,
    known: ListKnown,
    heard: Callable[[Collection[UUID]], Collection[UUID]],
    progress: Callable[[int], None] = lambda _: None,
) -> ListPlan:
    """Say for every line what it would tell, and why not.

    Args:
        sheet: the table.
        columns: which heading is which field.
        kind: what the list is of.
        choices: how the file is written, and what was answered.
        known: the register.
        heard: which of some facts the register has.
        progress: hears 1 for each line that was read.
    """
    slashes = _slashes(sheet, columns, choices)
    unsaid = _unsaid(kind, columns, choices)
    read: list[ListLine] = []
    refused: list[Refusal] = []
    asked: dict[tuple[str, str], tuple[NotUnderstood, list[int]]] = {}
    either_way: dict[int, str] = {}
    for row in sheet.rows:
        progress(1)
        cells = Cells(row, columns, choices.cells, choices.once, known, slashes, choices.southern)
        if row.faults:
            refused += row.faults
            continue
        try:
            said = line_said(kind.name, cells)
        except NotUnderstood as reason:
            if reason.field in unsaid and not reason.text:
                continue
            refused.append(_refusal(row, cells.heading(reason.field), reason))
            if "day/month" in reason.reason:
                either_way[row.line] = reason.text
            elif reason.text and reason.field in _ANSWERED:
                key = (reason.field, folded_word(reason.text))
                asked.setdefault(key, (reason, []))[1].append(row.line)
            continue
        read.append(ListLine(row.line, row, said, _ids(kind, cells, said)))
    told, before, not_told = _sorted_out(read, kind, columns.by_field.get("on", "on"), heard)
    bad = {one.line for one in refused} | {one.line for one in not_told}
    return ListPlan(
        kind=kind,
        lines=tuple(told),
        refused=tuple(sorted([*refused, *not_told], key=lambda one: one.line)),
        refused_rows=tuple(row for row in sheet.rows if row.line in bad),
        remarks=tuple(sheet.passed_over),
        in_before=tuple(before),
        questions=(
            *_once_asked(kind, unsaid, sheet.rows),
            *date_question(either_way, next(iter(either_way.values()), "")),
            *(_cell_question(field, reason, lines) for (field, _), (reason, lines) in asked.items()),
        ),
    )


def _slashes(sheet: Sheet, columns: Columns, choices: Choices) -> SlashOrder:
    for said in _ORDERS:
        if choices.slashes == said:
            return said
    headings = [columns.by_field[field] for field in _DAYS if field in columns.by_field]
    return slash_order(row.as_mapping()[heading] for row in sheet.rows for heading in headings)


def _unsaid(kind: ListKind, columns: Columns, choices: Choices) -> tuple[str, ...]:
    """What has no column and must be said once for the whole file."""
    there = columns.by_field
    missing = [group[0] for group in kind.needs if not any(one in there for one in group)]
    wanted = (*missing, *kind.once)
    return tuple(one for one in dict.fromkeys(wanted) if one not in there and not choices.once.get(one))


def _once_asked(kind: ListKind, unsaid: Iterable[str], rows: tuple[Row, ...]) -> list[Question]:
    lines = tuple(row.line for row in rows)
    asked = []
    for field in unsaid:
        ways = tuple((way,) for way in kind.once.get(field, ()))
        example = ways[0][0] if ways else "..."
        text = f"No column says '{field}'. What holds for every line of this file?"
        asked.append(Question("once", field, field, text, lines, ways, f'--once "{field}={example}"'))
    return asked


def _cell_question(field: str, reason: NotUnderstood, lines: list[int]) -> Question:
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


def _refusal(row: Row, heading: str, reason: NotUnderstood) -> Refusal:
    text = f"'{reason.text}' " if reason.text else ""
    return Refusal(row.line, heading, f"{text}{reason.reason}", reason.remedy, row.sheet)


def _ids(kind: ListKind, cells: Cells, said: Said) -> tuple[UUID, ...]:
    given = cells.given_id()
    if given is not None and len(said.facts) == 1:
        return (given,)
    own = uuid5(_OURS, "|".join([kind.name, *map(str, said.key)]))
    # A nest's own line is told anew with what was found there since: only that is new then.
    more = (f"{one['kind']}|{one.get('event')}|{one.get('amount')}|{one['at']}" for one in said.facts[1:])
    return (own, *(uuid5(own, one) for one in more))


def _sorted_out(
    read: list[ListLine],
    kind: ListKind,
    heading: str,
    heard: Callable[[Collection[UUID]], Collection[UUID]],
) -> tuple[list[ListLine], list[int], list[Refusal]]:
    """Lines that are new, those told before, and those that may not be told: they say what another
    line of the file says, or what was overtaken since the day under `heading`.
    """
    there = set(heard([key for one in read for key in one.ids]))
    told, before, refused = [], [], []
    first: dict[Any, int] = {}
    for one in read:
        same: Any = one.said.key[:3] if kind.name == "stock" else one.ids[0]
        if there.issuperset(one.ids):
            before.append(one.line)
        elif one.said.overtaken:
            late = ("was counted or used since then", "count the drawer again, and write that day")
            refused.append(Refusal(one.line, heading, *late, one.row.sheet))
        elif same in first:
            of_stock = kind.name == "stock"
            reason = f"{'is the same drawer as' if of_stock else 'says the same as'} line {first[same]}"
            refused.append(
                Refusal(one.line, "", reason, "leave one of them out, or tell them apart", one.row.sheet)
            )
        else:
            first[same] = one.line
            told.append(one)
    return told, before, refused


def facts_of(line: ListLine, by: int) -> list[dict[str, Any]]:
    """The facts of a line as the door hears them; what leans on a nest that it begins comes after it."""

    def plain(fact: Fact, own: UUID) -> dict[str, Any]:
        return {**fact, "id": str(own), "by": by, "at": fact["at"].isoformat()}

    return [plain(fact, own) for fact, own in zip(line.said.facts, line.ids, strict=True)]
