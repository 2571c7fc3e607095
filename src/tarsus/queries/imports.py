"""What an import must know of the register, and how earlier imports went."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from tarsus.core.errors import UnknownWord
from tarsus.core.marks.lettering import Lettering
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN, LETTERS, METAL_LETTER, Palette
from tarsus.queries.flock import birds_everywhere
from tarsus.queries.marks import on_day
from tarsus.records.models import (
    Band,
    Bird,
    Colour,
    ColumnMapping,
    Exhibit,
    ImportBatch,
    ImportedRow,
    Park,
    Place,
    RefusedRow,
    Species,
    Stay,
    Transponder,
)
from tarsus.tables.known import BirdKnown, RegisterKnown, SpeciesKnown
from tarsus.tables.rows import Refusal


@dataclass(frozen=True, slots=True)
class SavedMapping:
    """How a spreadsheet is to be read: heading to field, and `writing` as `tables.choices` takes it."""

    mapping_id: int
    name: str
    columns: dict[str, str]
    writing: dict[str, Any]


@dataclass(frozen=True, slots=True)
class WaitingRow:
    """A refused row that waits to be mended: its cells, and every reason against it."""

    line: int
    sheet: str
    cells: dict[str, str]
    reasons: tuple[Refusal, ...]


@dataclass(frozen=True, slots=True)
class BatchTold:
    """One import as it went: what came in, what still waits, and what was warned of."""

    batch_id: int
    file_name: str
    digest: str
    at: datetime
    by: str
    rows_in: int
    warnings: tuple[str, ...]
    mapping: SavedMapping | None
    waiting: tuple[WaitingRow, ...]


def register_known(day: date) -> RegisterKnown:
    """The register as an import must know it, in a constant number of queries.

    Args:
        day: the park's day; marks are those of this day, numbers those of all time.
    """
    park = Park.objects.values("female_side", "male_side", "bands_per_leg").first()
    sides = {} if park is None else {"female_side": park["female_side"], "male_side": park["male_side"]}
    return RegisterKnown(
        species=species_known(),
        exhibits=exhibits_known(),
        palette=park_palette(),
        bands_per_leg=park["bands_per_leg"] if park else 2,
        birds=_birds(day),
        metals=_metals(),
        transponders=_transponders(),
        rows_in=frozenset(ImportedRow.objects.values_list("row_digest", flat=True)),
        **sides,
    )


def park_palette() -> Palette:
    """The park's palette; the built-in one until the park has colours of its own."""
    colours = dict(Colour.objects.order_by("order", "id").values_list("name", "hex"))
    return Palette.of(colours) if colours else BUILT_IN


def park_lettering() -> Lettering:
    """The park's own letters; the published ones until it has chosen."""
    colours = dict(Colour.objects.order_by("order", "id").values_list("name", "letter"))
    metal = Park.objects.values_list("metal_letter", flat=True).first() or METAL_LETTER
    return Lettering.of({**(colours or LETTERS), "metal": metal}, park_palette())


def saved_mappings() -> tuple[SavedMapping, ...]:
    """Every saved mapping, by name."""
    return tuple(_mapping(row) for row in ColumnMapping.objects.order_by("name"))


def saved_mapping(name: str) -> SavedMapping:
    """The mapping of this name.

    Raises:
        UnknownWord: the register has none.
    """
    row = ColumnMapping.objects.filter(name=name).first()
    if row is None:
        known = ColumnMapping.objects.values_list("name", flat=True)
        raise UnknownWord("mapping", name, "saved mapping", known)
    return _mapping(row)


def list_names() -> dict[str, tuple[str, ...]]:
    """What may hold for every line of a list: the register's own exhibits and species, by the field."""
    return {
        "exhibit": tuple(Exhibit.objects.order_by("order", "name").values_list("name", flat=True)),
        "species": tuple(Species.objects.order_by("name").values_list("name", flat=True)),
    }


def batch_told(batch_id: int) -> BatchTold | None:
    """How one import went, with the rows that still wait; nothing where there was no such import."""
    batch = ImportBatch.objects.filter(pk=batch_id).select_related("mapping", "by").first()
    return None if batch is None else _batch(batch)


def batches_told(limit: int = 20) -> tuple[BatchTold, ...]:
    """The latest imports, the newest first."""
    rows = ImportBatch.objects.select_related("mapping", "by").order_by("-at", "-id")[:limit]
    return tuple(_batch(batch) for batch in rows)


def _mapping(row: ColumnMapping) -> SavedMapping:
    return SavedMapping(row.pk, row.name, dict(row.columns), dict(row.letters))


def _batch(batch: ImportBatch) -> BatchTold:
    by_line: dict[tuple[str, int], list[RefusedRow]] = defaultdict(list)
    for row in RefusedRow.objects.filter(batch=batch, mended_at__isnull=True).order_by("line", "id"):
        by_line[row.sheet, row.line].append(row)
    waiting = tuple(
        WaitingRow(
            line,
            sheet,
            dict(rows[0].cells),
            tuple(Refusal(line, row.field, row.reason, row.remedy, sheet) for row in rows),
        )
        for (sheet, line), rows in by_line.items()
    )
    return BatchTold(
        batch_id=batch.pk,
        file_name=batch.file_name,
        digest=batch.digest,
        at=batch.at,
        by=batch.by.display_name,
        rows_in=batch.rows_in,
        warnings=tuple(batch.warnings),
        mapping=_mapping(batch.mapping) if batch.mapping else None,
        waiting=waiting,
    )


def species_known() -> tuple[SpeciesKnown, ...]:
    """The species of the register by name, in two queries."""
    return tuple(
        SpeciesKnown(
            name=row.name,
            form=row.form,
            lookalike=row.lookalike,
            sites=tuple(row.sites),
            excluded=tuple(colour.name for colour in row.excluded_colours.all()),
        )
        for row in Species.objects.prefetch_related("excluded_colours").order_by("name")
    )


def exhibits_known() -> dict[str, tuple[str, ...]]:
    """The places of each exhibit, in two queries."""
    places: dict[int, list[str]] = defaultdict(list)
    for exhibit, name in Place.objects.order_by("order", "id").values_list("exhibit_id", "name"):
        places[exhibit].append(name)
    named = Exhibit.objects.order_by("order", "name").values_list("id", "name")
    return {name: tuple(places[key]) for key, name in named}


def _birds(day: date) -> tuple[BirdKnown, ...]:
    """Every bird of the register with where it lives and what it wears, gone ones among them."""
    here = {bird.bird_id: bird for bird in birds_everywhere(day)}
    homes = dict(Stay.objects.filter(on_day(day)).values_list("bird_id", "exhibit__name"))
    return tuple(
        BirdKnown(
            bird_id=row.pk,
            name=row.house_name or row.number,
            number=row.number,
            species=row.species.name,
            lookalike=row.species.lookalike,
            exhibit=homes.get(row.pk, ""),
            marks=here[row.pk].marks if row.pk in here else Marks(),
        )
        for row in Bird.objects.select_related("species").order_by("id")
    )


def _transponders() -> dict[str, str]:
    rows = Transponder.objects.filter(taken_back_at__isnull=True).select_related("bird")
    return {row.number: str(row.bird) for row in rows}


def _metals() -> dict[str, str]:
    rows = Band.objects.filter(taken_back_at__isnull=True).exclude(engraving_key="").select_related("bird")
    return {row.engraving_key: str(row.bird) for row in rows if row.kind in ("metal", "closed")}
