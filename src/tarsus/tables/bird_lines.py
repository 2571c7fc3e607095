"""One line of a park's spreadsheet as a bird: every field read, or every reason why it cannot be."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from tarsus.core.errors import MalformedInput
from tarsus.core.marks.noted import NotedMarks, UndecidedLetter
from tarsus.core.marks.runs import UndecidedRun
from tarsus.core.presence.transponders import number_kept
from tarsus.tables.bird_days import dates_told, days_here, fate_told
from tarsus.tables.bird_marks import marks_of_row
from tarsus.tables.columns import Columns
from tarsus.tables.dates import PartialDate
from tarsus.tables.fates import Fate
from tarsus.tables.known import (
    FAINTLY_ALIKE,
    LEVELS,
    RegisterKnown,
    SpeciesKnown,
    Writing,
    loose_key,
    name_key,
    nearly,
)
from tarsus.tables.row_reading import RowReading
from tarsus.tables.rows import Refusal, Remark, Row
from tarsus.tables.said_cells import CellAsked
from tarsus.tables.vocabulary import read_known_by, read_origin, read_sex

_WHOLE_FILE: Final = {"species": "", "exhibit": ", or give one for the whole file"}


@dataclass(frozen=True, slots=True)
class BirdLine:
    """A bird as one line tells of it. `new_exhibit` says that the register has no such exhibit yet.

    `fate` says how it went (died, departed, missing), `fate_on` since when; both are empty for one that lives
    here.
    """

    line: int
    sheet: str
    digest: str
    name: str
    number: str
    species: SpeciesKnown
    sex: str
    sex_known_by: str
    hatched: PartialDate | None
    origin: str
    exhibit: str
    new_exhibit: bool
    place: str
    since: date
    arrived: date | None
    banded: date
    came_with_bands: bool
    came_from: str
    marks: NotedMarks
    transponder: str
    natural_marks: tuple[str, ...]
    dam: str
    sire: str
    mate: str
    owner: str
    certificate: str
    note: str
    fate: Fate
    fate_on: date | None

    @property
    def living(self) -> bool:
        """Whether it lives here, as far as the file tells."""
        return not self.fate.how

    @property
    def called(self) -> str:
        """How to speak of this bird: by its name, its number, its metal band, or its line."""
        metals = [band.engraving for _, band in self.marks.metals() if band.engraving]
        said = [self.name, self.number, *metals, self.transponder]
        return next((word for word in said if word), f"the bird of line {self.line}")


@dataclass(frozen=True, slots=True)
class LineRead:
    """What became of a line: a bird, or the reasons against it; remarks; letters, runs and dates to be asked.

    A line whose runs have to be asked about is held up, and not refused.
    """

    row: Row
    bird: BirdLine | None
    refusals: tuple[Refusal, ...] = ()
    remarks: tuple[Remark, ...] = ()
    asked: tuple[UndecidedLetter, ...] = ()
    runs: tuple[UndecidedRun, ...] = ()
    dates_asked: tuple[tuple[str, str], ...] = ()
    exhibit: str = ""
    cells_asked: tuple[CellAsked, ...] = ()


def read_line(row: Row, columns: Columns, writing: Writing, known: RegisterKnown) -> LineRead:
    """Read one row as a bird.

    Args:
        row: cells by heading.
        columns: which heading is which field.
        writing: how this file is written.
        known: species, exhibits and palette of the register.

    Returns:
        A bird and its remarks, or every reason why this line cannot go in.
    """
    reading = RowReading(row, columns, writing.cells)
    species = _species(reading, writing, known)
    exhibit, is_new = _exhibit(reading, writing, known)
    dates = dates_told(reading, writing)
    fields = {
        **{name: reading.text(name) for name in ("name", "number", "place", "dam", "sire")},
        "transponder": number_kept(reading.text("transponder")),
        **{name: reading.text(name) for name in ("mate", "owner", "certificate", "note")},
        "came_from": reading.text("came from"),
        "natural_marks": _several(reading.text("natural marks")),
        "sex": reading.take("sex", read_sex, "U"),
        "sex_known_by": reading.take("sex known by", read_known_by, "not said"),
        "origin": reading.take("origin", read_origin, "unknown"),
    }
    marks = NotedMarks()
    if species is not None:
        try:
            notation = writing.notation(species, known.palette, known.bands_per_leg)
            marks = marks_of_row(reading.cells, reading.columns, notation)
        except MalformedInput as refusal:
            reading.refuse_error(refusal.place or "marks", refusal)
    if not reading.runs:
        _told_apart(reading, fields, marks)
    fate = fate_told(reading, writing)
    fields["note"] = "; ".join(part for part in (fields["note"], *reading.to_note) if part)
    bird = None
    if species is not None and not reading.refusals and not reading.runs:
        days = days_here(reading, fields["origin"], dates, fate, writing.today)
        if not reading.refusals:
            bird = BirdLine(
                line=row.line,
                sheet=row.sheet,
                digest=row_digest(row, columns),
                species=species,
                exhibit=exhibit,
                new_exhibit=is_new,
                hatched=dates["hatched"],
                marks=marks,
                fate=fate,
                **days,
                **fields,
            )
    return LineRead(
        row,
        bird,
        tuple(reading.refusals),
        tuple(reading.remarks),
        tuple(reading.asked),
        tuple(reading.runs),
        tuple(reading.dates_asked),
        exhibit if is_new else "",
        tuple(reading.cells_asked),
    )


def row_digest(row: Row, columns: Columns) -> str:
    """What tells two rows apart: a digest of the cells that are brought in, by field."""
    cells = row.as_mapping()
    told = {field: cells.get(heading, "") for field, heading in sorted(columns.by_field.items())}
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def _several(text: str) -> tuple[str, ...]:
    return tuple(part.strip()[:160] for part in text.split(";") if part.strip())


def _species(reading: RowReading, writing: Writing, known: RegisterKnown) -> SpeciesKnown | None:
    text = reading.text("species")
    if not text:
        reading.refuse("species", "no species is named", "write the species" + _WHOLE_FILE["species"])
        return None
    by_name = {name_key(one.name): one for one in known.species}
    if name_key(text) in by_name:
        return by_name[name_key(text)]
    forms = {name_key(name): (name, form) for name, form in writing.forms.items()}
    if name_key(text) in forms:
        name, form = forms[name_key(text)]
        return new_species(name, form)
    near = nearly(text, [*(one.name for one in known.species), *writing.forms], FAINTLY_ALIKE)
    if near:
        reading.refuse(
            "species",
            f"'{text}' is no species of this park",
            f"did you mean '{near}'? otherwise say where its birds wear bands",
        )
        reading.ask("species", text, "is no species of this park")
    else:
        reading.refuse(
            "species",
            f"'{text}' is not known yet",
            "say where its birds wear bands: leg, tibia, wing or none",
        )
    return None


def new_species(name: str, form: str) -> SpeciesKnown:
    """A species that the register does not have yet, banded where its form says."""
    level = LEVELS[form]
    sites = () if form == "told" else (f"left {level}", f"right {level}")
    return SpeciesKnown(name, form, name_key(name)[:40], sites, is_new=True)


def _exhibit(reading: RowReading, writing: Writing, known: RegisterKnown) -> tuple[str, bool]:
    text = reading.text("exhibit") or writing.exhibit
    text = writing.exhibits.get(text, text)
    if not text:
        reading.refuse("exhibit", "no exhibit is named", "write the exhibit" + _WHOLE_FILE["exhibit"])
        return "", False
    by_name = {name_key(name): name for name in known.exhibits}
    if name_key(text) in by_name:
        return by_name[name_key(text)], False
    near = nearly(text, known.exhibits)
    spoken_for = text in (*writing.exhibits.values(), *writing.cells.get("exhibit", {}).values())
    if near and not spoken_for and loose_key(near) != loose_key(text):
        reading.refuse("exhibit", f"'{text}' is no exhibit of this park", f"did you mean '{near}'?")
        reading.ask("exhibit", text, "is no exhibit of this park")
    return text, True


def _told_apart(reading: RowReading, fields: dict[str, Any], marks: NotedMarks) -> None:
    numbered = any(band.engraving for _, band in marks.metals())
    worn = any(bands for _, bands in marks.sites)
    told = fields["name"] or fields["number"] or fields["transponder"] or numbered or worn
    if not told and not reading.refusals:
        reading.refuse("name", "nothing tells which bird this is", "write its name, number or marks")
