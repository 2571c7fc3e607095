"""The plan of a sheet of ticks: what each sign means is asked first, then each day of an exhibit is told."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from tarsus.tables.choices import Choices
from tarsus.tables.columns import Columns
from tarsus.tables.dates import slash_order
from tarsus.tables.list_asked import ListLine, ListPlan, cell_question, once_asked, slashes_of, unsaid
from tarsus.tables.list_kinds import TICK, TICKED, ListKind
from tarsus.tables.list_known import ListKnown
from tarsus.tables.park_words import LANGUAGES, language
from tarsus.tables.questions import Question, date_question
from tarsus.tables.rows import Sheet
from tarsus.tables.tick_days import Wants
from tarsus.tables.tick_days_told import DaysTold, Heard, days_told
from tarsus.tables.ticks import TicksRead, read_ticks, tick_headings

MOST_SIGNS: Final = 40
"""So many signs are asked about at once, those first that stand in most lines."""
_EXAMPLES: Final = {"month": "2021-04", "year": "2021"}
_LEFT_OPEN: Final = {"month": "YYYY-MM", "year": "YYYY"}
_DAYS_AS: Final = {"month": "1 to 31", "year": "3.4."}


def plan_ticks(
    sheet: Sheet,
    columns: Columns,
    kind: ListKind,
    choices: Choices,
    known: ListKnown,
    heard: Heard,
    progress: Callable[[int], None],
) -> ListPlan:
    """Say what every day of an old sheet would tell, which cells are refused, and what is asked once.

    Args:
        sheet: the table.
        columns: which heading is which field.
        kind: the kind of such lists.
        choices: how the file is written, and what its signs mean.
        known: the register.
        heard: which of some facts the register has.
        progress: hears 1 for each line that was read.
    """
    slashes = slashes_of(sheet, columns, choices) or slash_order(tick_headings(columns))
    read = read_ticks(sheet, columns, choices, known, slashes)
    progress(len(sheet.rows))
    questions = tuple(_questions(read, sheet, columns, kind, choices))
    held_up = any(one.pressing for one in questions)
    # What one sign means may change every day: nothing is told before all is answered.
    told = DaysTold() if held_up else days_told(read.ticks, known, heard, sheet.heading_line)
    refused = sorted([*read.refused, *told.refused], key=lambda one: one.line)
    bad = {one.line for one in refused}
    before = tuple(line for line in told.lines_before if line not in bad)
    return ListPlan(
        kind=kind,
        lines=tuple(ListLine(0, None, one.said, one.said.ids, one.cells) for one in told.days),
        refused=tuple(refused),
        refused_rows=tuple(row for row in sheet.rows if row.line in bad),
        remarks=(*sheet.passed_over, *told.remarks),
        in_before=before,
        good_lines=tuple(row.line for row in sheet.rows if row.line not in {*bad, *before}),
        questions=questions,
    )


def _questions(
    read: TicksRead, sheet: Sheet, columns: Columns, kind: ListKind, choices: Choices
) -> Iterator[Question]:
    yield from once_asked(kind, unsaid(kind, columns, choices), sheet.rows)
    for wants, lines in read.wants.items():
        yield _left_out(wants, sorted(set(lines)), sheet)
    signs = sorted(read.unknown.values(), key=lambda one: -len(one[1]))
    for sign, lines in signs[:MOST_SIGNS]:
        yield _sign(sign, sorted(set(lines)))
    yield from date_question(read.either_way, next(iter(read.either_way.values()), ""))
    for (field, _), (reason, lines) in read.not_understood.items():
        yield cell_question(field, reason, sorted(set(lines)))


def _left_out(wants: Wants, lines: list[int], sheet: Sheet) -> Question:
    text = f"Days are written as {_DAYS_AS[wants]}. Of which {wants} are they? Say it as {_EXAMPLES[wants]}."
    say = f'--once "{wants}={_LEFT_OPEN[wants]}"'  # what is copied as it stands is refused, and is no month
    return Question("once", wants, sheet.name, text, tuple(lines), (), say)


def _sign(sign: str, lines: list[int]) -> Question:
    ways = sorted(TICKED, key=lambda means: sign.casefold() not in _SPELLINGS[means])
    text = f"What does '{sign}' say of a bird on a day?"
    say = f'--cell "{TICK}:{sign}={ways[0]}"'
    return Question("cell", TICK, sign, text, tuple(lines), tuple((way,) for way in ways), say)


_SPELLINGS: Final = {
    means: frozenset(word for code in LANGUAGES for word in language(code).words("ticked", means))
    for means in TICKED
}
