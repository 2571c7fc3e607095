"""Fields of one row, taken one by one; what cannot be taken is kept beside them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from tarsus.core.errors import MalformedInput
from tarsus.core.marks.noted import UndecidedLetter
from tarsus.core.marks.runs import UndecidedRun
from tarsus.tables.bird_marks import UndecidedRuns
from tarsus.tables.columns import Columns
from tarsus.tables.dates import UnclearDate
from tarsus.tables.rows import Refusal, Remark, Row
from tarsus.tables.said_cells import CellAsked, Said, asked_of, cells_said

_LENGTHS: Final = {
    "name": 60,
    "number": 40,
    "exhibit": 80,
    "place": 60,
    "species": 80,
    "transponder": 30,
    "note": 2000,
    "came from": 120,
    "owner": 120,
    "certificate": 80,
    "natural marks": 400,
    "went to": 120,
}


class RowReading:
    """Fields of one row, taken one by one; what cannot be taken is kept as a refusal."""

    def __init__(self, row: Row, columns: Columns, said: Said) -> None:
        self.row = row
        self.cells, self.to_note = cells_said(row, columns, said)
        self.columns = columns.by_field
        self.refusals: list[Refusal] = [fault for fault in row.faults if fault.field in self.columns.values()]
        self.remarks: list[Remark] = []
        self.asked: list[UndecidedLetter] = []
        self.runs: list[UndecidedRun] = []
        self.dates_asked: list[tuple[str, str]] = []
        self.cells_asked: list[CellAsked] = []

    def text(self, field: str) -> str:
        """The text of a field; one that is too long is refused."""
        text = self.cells.get(self.columns.get(field, ""), "").strip()
        longest = _LENGTHS.get(field, 400)
        if len(text) > longest:
            self.refuse(field, f"is {len(text)} characters long", f"shorten it to {longest}")
            return ""
        return text

    def refuse(self, field: str, reason: str, remedy: str) -> None:
        """Keep a reason against this row; the field is told by the park's own heading."""
        heading = self.columns.get(field, field)
        self.refusals.append(Refusal(self.row.line, heading, reason, remedy, self.row.sheet))

    def remark(self, field: str, text: str) -> None:
        """Keep something that somebody should look at."""
        self.remarks.append(Remark(self.row.line, self.columns.get(field, field), text, self.row.sheet))

    def take(self, field: str, read: Callable[[str], Any], otherwise: Any) -> Any:
        """The field through a reader, or `otherwise` with the refusal kept."""
        try:
            return read(self.text(field))
        except MalformedInput as refusal:
            self.refuse_error(field, refusal)
            return otherwise

    def refuse_error(self, field: str, refusal: MalformedInput) -> None:
        """Keep a refusal that a reader raised, and the letter or the date it asks for."""
        if isinstance(refusal, UndecidedRuns):
            self.runs += refusal.runs
            return
        if isinstance(refusal, UndecidedLetter):
            self.asked.append(refusal)
        either_way = isinstance(refusal, UnclearDate) and refusal.either_way
        if either_way:
            self.dates_asked.append((field, getattr(refusal, "text", "")))
        part = getattr(refusal, "part", None) or getattr(refusal, "text", "")
        reason = getattr(refusal, "reason", refusal.message)
        remedy = getattr(refusal, "remedy", "mend it")
        self.refuse(field, f"'{part}' {reason}" if part else reason, remedy)
        if part and not either_way and not isinstance(refusal, UndecidedLetter):
            self.ask(field, part, reason)

    def ask(self, field: str, part: str, reason: str) -> None:
        """Keep the cell of a field as one that was not understood, to be asked about."""
        asked = asked_of(field, self.text(field), part, reason)
        if asked is not None and field in self.columns:
            self.cells_asked.append(asked)
