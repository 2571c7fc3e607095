"""What would become of every line of a list: what it tells, what is refused, what is asked once a file."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any, Final
from uuid import UUID, uuid5

from tarsus.tables.choices import Choices
from tarsus.tables.columns import Columns
from tarsus.tables.list_asked import ListLine, ListPlan, cell_question, once_asked, slashes_of, unsaid
from tarsus.tables.list_cells import Cells, NotUnderstood
from tarsus.tables.list_kinds import ListKind
from tarsus.tables.list_known import ListKnown
from tarsus.tables.list_lines import line_said
from tarsus.tables.list_said import Fact, Said, told_id
from tarsus.tables.park_words import folded_word
from tarsus.tables.questions import date_question
from tarsus.tables.rows import Refusal, Sheet
from tarsus.tables.tick_plan import plan_ticks

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
    "group",
    "unseen",
)
"""Fields of which a cell may be answered once for all that are alike."""


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
    if kind.many:
        return plan_ticks(sheet, columns, kind, choices, known, heard, progress)
    slashes = slashes_of(sheet, columns, choices)
    open_ones = unsaid(kind, columns, choices)
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
            if reason.field in open_ones and not reason.text:
                continue
            refused.append(reason.refusal(row, cells.heading(reason.field)))
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
        good_lines=tuple(one.line for one in told),
        questions=(
            *once_asked(kind, open_ones, sheet.rows),
            *date_question(either_way, next(iter(either_way.values()), "")),
            *(cell_question(field, reason, lines) for (field, _), (reason, lines) in asked.items()),
        ),
    )


def _ids(kind: ListKind, cells: Cells, said: Said) -> tuple[UUID, ...]:
    given = cells.given_id()
    if given is not None and len(said.facts) == 1:
        return (given,)
    if said.ids:
        return said.ids
    own = told_id(kind.name, *said.key)
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
            refused.append(Refusal(one.line, heading, *late, one.sheet))
        elif same in first:
            of_stock = kind.name == "stock"
            reason = f"{'is the same drawer as' if of_stock else 'says the same as'} line {first[same]}"
            refused.append(
                Refusal(one.line, "", reason, "leave one of them out, or tell them apart", one.sheet)
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
