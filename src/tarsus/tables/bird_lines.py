"""One line of a park's spreadsheet as a bird: every field read, or every reason why it cannot be."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from tarsus.core.errors import MalformedInput
from tarsus.core.marks.noted import NotedMarks, UndecidedLetter
from tarsus.tables.bird_marks import marks_of_row
from tarsus.tables.columns import Columns
from tarsus.tables.dates import PartialDate, read_date
from tarsus.tables.known import FAINTLY_ALIKE, LEVELS, RegisterKnown, SpeciesKnown, Writing, name_key, nearly
from tarsus.tables.rows import Refusal, Remark, Row
from tarsus.tables.vocabulary import read_known_by, read_origin, read_sex

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
}
_WHOLE_FILE: Final = {"species": "", "exhibit": ", or give one for the whole file"}


@dataclass(frozen=True, slots=True)
class BirdLine:
    """A bird as one line tells of it. `new_exhibit` says that the register has no such exhibit yet."""

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

    @property
    def called(self) -> str:
        """How to speak of this bird: by its name, its number, its metal band, or its line."""
        metals = [band.engraving for _, band in self.marks.metals() if band.engraving]
        said = [self.name, self.number, *metals, self.transponder]
        return next((word for word in said if word), f"the bird of line {self.line}")


@dataclass(frozen=True, slots=True)
class LineRead:
    """What became of a line: a bird, or the reasons against it; remarks; letters that must be asked for."""

    row: Row
    bird: BirdLine | None
    refusals: tuple[Refusal, ...] = ()
    remarks: tuple[Remark, ...] = ()
    asked: tuple[UndecidedLetter, ...] = ()


class _Reading:
    """Fields of one row, taken one by one; what cannot be taken is kept as a refusal."""

    def __init__(self, row: Row, columns: Columns) -> None:
        self.row = row
        self.cells = row.as_mapping()
        self.columns = columns.by_field
        self.refusals: list[Refusal] = [fault for fault in row.faults if fault.field in self.columns.values()]
        self.remarks: list[Remark] = []
        self.asked: list[UndecidedLetter] = []

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
        """Keep a refusal that a reader raised, and the letter it asks for."""
        if isinstance(refusal, UndecidedLetter):
            self.asked.append(refusal)
        part = getattr(refusal, "part", None) or getattr(refusal, "text", "")
        reason = getattr(refusal, "reason", refusal.message)
        remedy = getattr(refusal, "remedy", "mend it")
        self.refuse(field, f"'{part}' {reason}" if part else reason, remedy)


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
    reading = _Reading(row, columns)
    species = _species(reading, writing, known)
    exhibit, is_new = _exhibit(reading, writing, known)
    dates = _dates(reading, writing)
    fields = {
        **{name: reading.text(name) for name in ("name", "number", "place", "transponder", "dam", "sire")},
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
            marks = marks_of_row(reading.cells, reading.columns, writing.notation(species, known.palette))
        except MalformedInput as refusal:
            reading.refuse_error(refusal.place or "marks", refusal)
    _told_apart(reading, fields, marks)
    bird = None
    if species is not None and not reading.refusals:
        since, arrived, banded = _days(reading, fields["origin"], dates, writing.today)
        if not reading.refusals:
            bird = BirdLine(
                line=row.line,
                sheet=row.sheet,
                digest=row_digest(row, columns),
                species=species,
                exhibit=exhibit,
                new_exhibit=is_new,
                hatched=dates["hatched"],
                since=since,
                arrived=arrived,
                banded=banded or since,
                came_with_bands=bool(banded and arrived and banded < arrived),
                marks=marks,
                **fields,
            )
    return LineRead(row, bird, tuple(reading.refusals), tuple(reading.remarks), tuple(reading.asked))


def row_digest(row: Row, columns: Columns) -> str:
    """What tells two rows apart: a digest of the cells that are brought in, by field."""
    cells = row.as_mapping()
    told = {field: cells.get(heading, "") for field, heading in sorted(columns.by_field.items())}
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def _several(text: str) -> tuple[str, ...]:
    return tuple(part.strip()[:160] for part in text.split(";") if part.strip())


def _species(reading: _Reading, writing: Writing, known: RegisterKnown) -> SpeciesKnown | None:
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


def _exhibit(reading: _Reading, writing: Writing, known: RegisterKnown) -> tuple[str, bool]:
    text = reading.text("exhibit") or writing.exhibit
    if not text:
        reading.refuse("exhibit", "no exhibit is named", "write the exhibit" + _WHOLE_FILE["exhibit"])
        return "", False
    by_name = {name_key(name): name for name in known.exhibits}
    if name_key(text) in by_name:
        return by_name[name_key(text)], False
    near = nearly(text, known.exhibits)
    if near:
        reading.refuse("exhibit", f"'{text}' is no exhibit of this park", f"did you mean '{near}'?")
    return text, True


def _dates(reading: _Reading, writing: Writing) -> dict[str, PartialDate | None]:
    def read(text: str) -> PartialDate | None:
        return read_date(text, writing.today, writing.slashes, southern=writing.southern)

    return {field: reading.take(field, read, None) for field in ("hatched", "since", "arrived", "banded")}


def _days(
    reading: _Reading, origin: str, dates: dict[str, PartialDate | None], today: date
) -> tuple[date, date | None, date | None]:
    """Since when the bird is in its exhibit, when it arrived, and when it was banded."""
    hatched, since, arrived, banded = (dates[key] for key in ("hatched", "since", "arrived", "banded"))
    for field, told in (("since", since), ("arrived", arrived), ("banded", banded)):
        if told is not None and told.precision != "day":
            reading.remark(field, f"{told} is recorded as {told.day:%-d %B %Y}")
        if told is not None and hatched is not None and _before(told, hatched):
            reading.refuse(field, f"{told} is before it hatched, {hatched}", "mend one of the two dates")
    begins = since or arrived
    if begins is None and hatched is not None and origin == "hatched here" and hatched.precision == "day":
        begins = hatched
    day = begins.day if begins else today
    if since and arrived and arrived.day < since.day:
        reading.remark(
            "since",
            f"counted here from its arrival on {arrived}: where it was before {since} is not told",
        )
        day = arrived.day
    return day, arrived.day if arrived else None, banded.day if banded else None


def _before(told: PartialDate, hatched: PartialDate) -> bool:
    if hatched.precision == "day" and told.precision == "day":
        return told.day < hatched.day
    return told.day.year < hatched.day.year and hatched.precision != "about"


def _told_apart(reading: _Reading, fields: dict[str, Any], marks: NotedMarks) -> None:
    numbered = any(band.engraving for _, band in marks.metals())
    worn = any(bands for _, bands in marks.sites)
    told = fields["name"] or fields["number"] or fields["transponder"] or numbered or worn
    if not told and not reading.refusals:
        reading.refuse("name", "nothing tells which bird this is", "write its name, number or marks")
