"""Birds and refused lines of an import as the pages show them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tarsus.queries.imports import BatchTold
from tarsus.tables.bird_lines import BirdLine
from tarsus.tables.bird_remarks import marks_told
from tarsus.tables.columns import NOT_BROUGHT_IN
from tarsus.tables.rows import Refusal


@dataclass(frozen=True)
class BirdShown:
    """A bird that would go in, with what the drawing needs."""

    line: int
    called: str
    species: str
    sex: str
    exhibit: str
    fate: str
    told: str
    form: str
    marks: dict[str, list[str]]


@dataclass(frozen=True)
class CellShown:
    """One cell of a refused line: its heading, its text, and what is wrong with it."""

    heading: str
    text: str
    refusals: tuple[Refusal, ...]


@dataclass(frozen=True)
class RowShown:
    """A refused line as it can be mended; `others` are reasons against no cell in particular."""

    line: int
    called: str
    cells: tuple[CellShown, ...]
    others: tuple[Refusal, ...]

    @property
    def wrong(self) -> tuple[CellShown, ...]:
        """The cells that something is wrong with."""
        return tuple(cell for cell in self.cells if cell.refusals)

    @property
    def rest(self) -> tuple[CellShown, ...]:
        """The cells that nothing is wrong with."""
        return tuple(cell for cell in self.cells if not cell.refusals)


def birds_shown(birds: Iterable[BirdLine]) -> list[BirdShown]:
    """Birds of a plan as the page shows them."""
    return [
        BirdShown(
            line=bird.line,
            called=bird.called,
            species=bird.species.name,
            sex=bird.sex,
            exhibit=bird.exhibit,
            fate="" if bird.living else f"{bird.fate.how} {bird.fate_on}",
            told=marks_told(bird),
            form=bird.species.form,
            marks=bird.marks.as_marks().as_mapping(),
        )
        for bird in birds
    ]


def batch_shown(batch: BatchTold) -> list[RowShown]:
    """The waiting lines of an import, each with the cells that are read; the others stay as they are."""
    left_out = batch.mapping.columns if batch.mapping else {}
    rows = []
    for row in batch.waiting:
        read = [heading for heading in row.cells if left_out.get(heading) != NOT_BROUGHT_IN]
        cells = tuple(
            CellShown(heading, row.cells[heading], tuple(one for one in row.reasons if one.field == heading))
            for heading in read
        )
        others = tuple(one for one in row.reasons if one.field not in read)
        called = next((text for text in row.cells.values() if text), "")
        rows.append(RowShown(row.line, called, cells, others))
    return rows
