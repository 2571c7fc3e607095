"""The ticks of an old sheet, whichever way it stands: days across, birds across, or a line a tick."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, time
from typing import Final, TypeVar

from tarsus.tables.choices import Choices
from tarsus.tables.columns import Columns
from tarsus.tables.dates import SlashOrder, UnclearDate
from tarsus.tables.list_cells import Cells, NotUnderstood
from tarsus.tables.list_kinds import NOT_SEEN, TICK, TICKED
from tarsus.tables.list_known import ListBird, ListKnown, NotFound
from tarsus.tables.park_words import folded_word, spellings
from tarsus.tables.rows import Refusal, Row, Sheet
from tarsus.tables.tick_days import DayWritten, Wants, written_days

Found = TypeVar("Found", ListBird, date)
_DAY_REMEDY: Final = "write it as 2021-04-03, or leave it out"


@dataclass(frozen=True, slots=True)
class Tick:
    """What a sheet says of a bird and a day; `written` is empty for an empty cell that says something."""

    line: int
    sheet: str
    heading: str
    bird: ListBird
    day: date
    hour: time | None
    exhibit: int | None
    written: str
    means: str


@dataclass(slots=True)
class TicksRead:
    """The ticks of a sheet, and what stands against its cells.

    `wants`: the month or year that its days leave out, with lines. `unknown`: signs of which nobody said what
    they mean, and `not_understood`: cells that an answer may mend, both with their lines. `either_way`: days
    that may be two, by line.
    """

    ticks: list[Tick] = field(default_factory=list)
    refused: list[Refusal] = field(default_factory=list)
    wants: dict[Wants, list[int]] = field(default_factory=dict)
    unknown: dict[str, tuple[str, list[int]]] = field(default_factory=dict)
    not_understood: dict[tuple[str, str], tuple[NotUnderstood, list[int]]] = field(default_factory=dict)
    either_way: dict[int, str] = field(default_factory=dict)

    def refuse(self, row: Row, heading: str, reason: NotUnderstood) -> None:
        """Keep why a cell cannot be taken, and what may be asked of it."""
        self.refused.append(reason.refusal(row, heading))
        if "day/month" in reason.reason:
            self.either_way[row.line] = reason.text
        elif reason.text and reason.field in ("bird", "exhibit"):
            key = (reason.field, folded_word(reason.text))
            self.not_understood.setdefault(key, (reason, []))[1].append(row.line)

    def ask_sign(self, row: Row, written: str) -> None:
        """Keep a sign of which nobody said what it means."""
        self.unknown.setdefault(folded_word(written), (written, []))[1].append(row.line)


class _LeftOut(Exception):
    """A day leaves its month or year out, and nobody said it yet."""

    def __init__(self, wants: Wants) -> None:
        self.wants = wants
        super().__init__(wants)


@dataclass(frozen=True, slots=True)
class _Reader:
    """How one sheet is read; `birds` and `days` are what its headings were found to be, each once."""

    columns: Columns
    choices: Choices
    known: ListKnown
    slashes: SlashOrder
    written: Mapping[str, DayWritten | None]
    birds: dict[str, ListBird | NotUnderstood] = field(default_factory=dict)
    days: dict[str, date | NotUnderstood] = field(default_factory=dict)

    def cells(self, row: Row) -> Cells:
        said = self.choices
        return Cells(row, self.columns, said.cells, said.once, self.known, self.slashes, said.southern)

    def day(self, text: str, field: str) -> date:
        if text not in self.days:
            self.days[text] = self._day(text, field)
        return _unless(self.days[text])

    def _day(self, text: str, field: str) -> date | NotUnderstood:
        written = self.written.get(text)
        if written is None:
            return NotUnderstood(field, text, "is no day", _DAY_REMEDY)
        left_out = self.choices.once.get(written.wants, "")
        if written.wants and not left_out:
            raise _LeftOut(written.wants)
        try:
            found = written.read(left_out, self.known.today, self.slashes)
        except UnclearDate as reason:
            return NotUnderstood(field, text, reason.reason, _DAY_REMEDY)
        if found is None or found.precision != "day":
            return NotUnderstood(field, text, "is not known to the day", _DAY_REMEDY)
        return found.day

    def bird_of(self, heading: str) -> ListBird:
        """The bird that heads a column."""
        if heading not in self.birds:
            answers = {folded_word(one): said for one, said in self.choices.cells.get("bird", {}).items()}
            try:
                self.birds[heading] = self.known.bird(answers.get(folded_word(heading), heading))
            except NotFound as reason:
                remedy = "bring this bird in first, mend its name, or leave the column out"
                self.birds[heading] = NotUnderstood("bird", heading, reason.reason, remedy, reason.near)
        return _unless(self.birds[heading])


def _unless(found: Found | NotUnderstood) -> Found:
    if isinstance(found, NotUnderstood):
        raise found
    return found


def read_ticks(
    sheet: Sheet, columns: Columns, choices: Choices, known: ListKnown, slashes: SlashOrder
) -> TicksRead:
    """Every tick of a sheet, and what cannot be taken.

    Args:
        sheet: the table.
        columns: which heading is which field; the ticks are those of `TICK`.
        choices: what each sign means, and what an empty cell says.
        known: the register.
        slashes: which way round 3/4 is written here.
    """
    read = TicksRead()
    reader = _Reader(columns, choices, known, slashes, written_days(_day_texts(sheet, columns)))
    meanings = meanings_said(choices)
    taken: dict[tuple[int, date, time | None], tuple[int, str]] = {}
    for row in sheet.rows:
        if row.faults:
            read.refused += row.faults
            continue
        for tick in _of_row(row, reader, meanings, read):
            if tick.written and not tick.means:
                read.ask_sign(row, tick.written)
                continue
            key = (tick.bird.bird_id, tick.day, tick.hour)
            before = taken.setdefault(key, (row.line, tick.heading))
            if before == (row.line, tick.heading):
                read.ticks.append(tick)
                continue
            reason = f"is of the same bird and day as '{before[1]}' in line {before[0]}"
            read.refused.append(Refusal(row.line, tick.heading, reason, "leave one of them out", row.sheet))
    return read


def _of_row(row: Row, reader: _Reader, meanings: Mapping[str, str], read: TicksRead) -> Iterator[Tick]:
    """The ticks of a row; what is against all of it is told once, what is against a cell at its heading."""
    texts, fields = row.as_mapping(), reader.columns.by_field
    said = [(heading, texts.get(heading, "").strip()) for heading in tick_headings(reader.columns)]
    said = [(heading, text) for heading, text in said if text or meanings.get("")]
    if not said:
        return
    cells = reader.cells(row)
    try:
        bird = cells.bird() if "bird" in fields else None
        day = reader.day(cells.needed("on"), "on") if "on" in fields else None
        exhibit = cells.named("exhibit", reader.known.exhibits, "exhibit") if cells.text("exhibit") else None
        hour = cells.hour()
    except NotUnderstood as reason:
        read.refuse(row, cells.heading(reason.field), reason)
        return
    except _LeftOut as left:
        _wait_for(left, row, said, meanings, read)
        return
    for heading, text in said:
        try:
            whose = bird or reader.bird_of(heading)
            when = day or reader.day(heading, "on")
        except NotUnderstood as reason:
            if text:  # an empty cell under a day to come says nothing yet
                read.refuse(row, heading, reason)
            continue
        except _LeftOut as left:
            _wait_for(left, row, [(heading, text)], meanings, read)
            continue
        means = meanings.get(folded_word(text), "")
        yield Tick(row.line, row.sheet, heading, whose, when, hour, exhibit, text, means)


def _wait_for(
    left: _LeftOut, row: Row, said: list[tuple[str, str]], meanings: Mapping[str, str], read: TicksRead
) -> None:
    """Ask for a month or year, and with it for the signs that stand there: all at once."""
    read.wants.setdefault(left.wants, []).append(row.line)
    for _, text in said:
        if text and folded_word(text) not in meanings:
            read.ask_sign(row, text)


def tick_headings(columns: Columns) -> tuple[str, ...]:
    """The columns in which ticks stand."""
    return tuple(heading for heading, field in columns.columns if field == TICK)


def meanings_said(choices: Choices) -> dict[str, str]:
    """What each sign was said to mean, and, under no sign at all, what an empty cell says."""
    found = {}
    for sign, answer in choices.cells.get(TICK, {}).items():
        means = spellings("ticked").get(folded_word(answer), folded_word(answer))
        if means in TICKED:
            found[folded_word(sign)] = means
    return found | ({"": NOT_SEEN} if choices.once.get("blank") == NOT_SEEN else {})


def _day_texts(sheet: Sheet, columns: Columns) -> Iterator[str]:
    heading = columns.by_field.get("on")
    if heading is None:
        yield from tick_headings(columns)
        return
    for row in sheet.rows:
        yield row.as_mapping().get(heading, "").strip()
