"""Bringing in a park's own list of birds: good rows go in, refused ones wait, or all or nothing."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from django.db import transaction
from django.utils import timezone

from tarsus.actions.bulk.reader import RowsRefused
from tarsus.actions.bulk.sheet import write_birds
from tarsus.actions.known import known_person, one_at_a_time
from tarsus.core.errors import MalformedInput
from tarsus.queries.days import park_today, park_zone
from tarsus.queries.imports import park_lettering, register_known
from tarsus.records.models import ColumnMapping, ImportBatch, ImportedRow, Park, Person, RefusedRow
from tarsus.tables.choices import Choices
from tarsus.tables.columns import Columns
from tarsus.tables.import_plan import ImportPlan, plan_import
from tarsus.tables.known import RegisterKnown
from tarsus.tables.rows import Refusal, Row, Sheet

MAY_IMPORT: Final = ("lead", "records", "administrator")
_REFUSED_LINE: Final = re.compile(r"(\d+)/(\d+)")


class MayNotImport(MalformedInput):
    """This person may not bring in a spreadsheet."""

    def __init__(self, name: str) -> None:
        self.name = name
        roles = ", ".join(MAY_IMPORT)
        super().__init__("by", f"{name} may not bring in a spreadsheet; ask one of: {roles}")


class NothingBroughtIn(MalformedInput):
    """All or nothing was asked for, and some lines are refused."""

    def __init__(self, refused: tuple[Refusal, ...]) -> None:
        self.refused = refused
        lines = len({(one.sheet, one.line) for one in refused})
        more = f" and {lines - 1} more" if lines > 1 else ""
        super().__init__("", f"nothing was brought in: {refused[0]}{more}")


class NotAsked(MalformedInput):
    """What can be taken in two ways and was not said; it is asked once a file, never guessed."""

    def __init__(self, plan: ImportPlan) -> None:
        self.letters, self.species = plan.letters_asked, plan.species_asked
        self.questions = plan.pressing
        parts = []
        if self.letters:
            said = [f"{letter} may be {' or '.join(bands)}" for letter, bands in self.letters.items()]
            parts.append(f"in the marks {', '.join(said)}: say which letters the park uses")
        if self.species:
            parts.append(f"say where these wear bands (leg, tibia, wing or none): {', '.join(self.species)}")
        parts += [
            f"{one.text} Say it with {one.say}" for one in self.questions if one.kind in ("run", "exhibit")
        ]
        super().__init__("", "; ".join(parts))


@dataclass(frozen=True, slots=True)
class Brought:
    """What an import did: its number, the birds by line, and its plan."""

    batch_id: int
    birds: Mapping[int, int]
    plan: ImportPlan


def planned(
    sheet: Sheet, columns: Columns, choices: Choices, progress: Callable[[int], None] = lambda _: None
) -> ImportPlan:
    """What would become of every line now; nothing is written.

    Raises:
        UnknownWord, WrongValue: a choice that is none.
    """
    return _planned(sheet, columns, choices, _register(), progress)


def known_importer(by: int) -> Person:
    """Who brings something in.

    Raises:
        Unknown: no such person.
        MayNotImport: the person's role does not allow it.
    """
    person = known_person(by)
    if person.role not in MAY_IMPORT:
        raise MayNotImport(person.display_name)
    return person


def _register() -> RegisterKnown:
    return register_known(park_today())


def _planned(
    sheet: Sheet,
    columns: Columns,
    choices: Choices,
    register: RegisterKnown,
    progress: Callable[[int], None] = lambda _: None,
) -> ImportPlan:
    today = park_today()
    writing = choices.writing(today, register.palette, park_lettering())
    return plan_import(sheet, columns, writing, register, progress)


def bring_in(
    *,
    sheet: Sheet,
    columns: Columns,
    choices: Choices,
    file_name: str,
    digest: str,
    by: int,
    mapping_id: int | None = None,
    all_or_nothing: bool = False,
    progress: Callable[[int], None] = lambda _: None,
    ends: Callable[[Brought], None] = lambda _: None,
) -> Brought:
    """Write the good lines of a table into the register, and keep the refused ones to be mended.

    Every line is looked at before the register is taken: nobody waits for that. All that is written is one
    transaction, the whole file or nothing; where another person wrote meanwhile, the plan is made anew in it.

    Args:
        sheet: the table.
        columns: which heading is which field.
        choices: how it is written.
        file_name: what it is called.
        digest: of its contents.
        by: in whose name.
        mapping_id: the mapping under which it is kept how it was read.
        all_or_nothing: whether to write nothing while any line is refused.
        progress: hears 1 for each line that was looked at.
        ends: called within the transaction with what was done, so that both are kept or neither is.

    Raises:
        MayNotImport: the person's role does not allow it.
        NotAsked: letters or species whose meaning was not said.
        NothingBroughtIn: `all_or_nothing`, and some line is refused.
    """
    known_importer(by)
    register = _register()
    plan = _planned(sheet, columns, choices, register, progress)
    with transaction.atomic():
        # Of two that bring in one file at one time the second sees what the first brought in.
        one_at_a_time(Park, 1)
        if (now_known := _register()) != register:
            plan = _planned(sheet, columns, choices, now_known)
        if plan.pressing:
            raise NotAsked(plan)
        if all_or_nothing and plan.refused:
            raise NothingBroughtIn(plan.refused)
        now = timezone.now()
        birds = written(plan, by, now)
        batch = ImportBatch.objects.create(
            file_name=file_name[:200],
            digest=digest,
            mapping_id=mapping_id,
            all_or_nothing=all_or_nothing,
            rows_in=len(birds),
            rows_refused=len(plan.refused_rows),
            warnings=[f"line {one.line}: {one.text}" for one in plan.remarks],
            by_id=by,
            at=now,
        )
        _keep_rows(batch, plan, birds)
        close_mended(sheet, birds, by, now)
        brought = Brought(batch.pk, birds, plan)
        ends(brought)
    return brought


def written(plan: ImportPlan, by: int, now: datetime) -> dict[int, int]:
    """Write the birds of a plan, within the caller's transaction.

    Returns:
        line -> the bird it became.

    Raises:
        MalformedInput: somebody wrote at this very moment what the guards now hold against.
    """
    try:
        with transaction.atomic():
            return write_birds(plan, by=by, now=now, zone=park_zone())
    except RowsRefused as reason:
        # Everything the guards hold was checked before; what is left is somebody writing at this very moment.
        raise MalformedInput("import", f"{reason}; try again") from None


def _keep_rows(batch: ImportBatch, plan: ImportPlan, birds: Mapping[int, int]) -> None:
    ImportedRow.objects.bulk_create(
        [
            ImportedRow(batch=batch, line=bird.line, row_digest=bird.digest, bird_id=birds[bird.line])
            for bird in plan.birds
        ],
        batch_size=1000,
    )
    keep_refused(batch, plan.refused, plan.refused_rows)


def keep_refused(batch: ImportBatch, refused: Iterable[Refusal], rows: Iterable[Row]) -> None:
    """Keep what was refused of an import, to be mended.

    Args:
        batch: the import.
        refused: each with its line.
        rows: the lines as they read; others may be among them.
    """
    cells = {row.line: dict(row.cells) for row in rows}
    RefusedRow.objects.bulk_create(
        [
            RefusedRow(
                batch=batch,
                sheet=one.sheet[:80],
                line=one.line,
                cells=cells[one.line],
                field=one.field[:80],
                reason=one.reason[:400],
                remedy=one.remedy[:400],
            )
            for one in refused
        ],
        batch_size=1000,
    )


def close_mended(sheet: Sheet, birds: Mapping[int, int | None], by: int, now: datetime) -> None:
    """Rows of an earlier import that came back mended wait no longer.

    Args:
        sheet: the table that came back.
        birds: line -> the bird it became, if it became one; lines that went in, and no others.
        by: who brought it in.
        now: the moment.
    """
    for row in sheet.rows:
        match = _REFUSED_LINE.fullmatch(row.as_mapping().get("refused line", ""))
        if match and row.line in birds:
            RefusedRow.objects.filter(
                batch_id=int(match[1]), line=int(match[2]), mended_at__isnull=True
            ).update(mended_at=now, mended_by_id=by, bird_id=birds[row.line])


@transaction.atomic
def save_mapping(*, name: str, columns: Columns, choices: Choices, by: int) -> int:
    """Keep which column means what, and how the file is written, under a name; the same name is overwritten.

    Returns:
        The mapping's id.
    """
    known_person(by)
    name = " ".join(name.split())[:80]
    if not name:
        raise MalformedInput("mapping", "has no name; give it one, such as the file's")
    kept = {"columns": dict(columns.columns), "letters": choices.as_mapping(), "saved_by_id": by}
    row, _ = ColumnMapping.objects.update_or_create(name=name, defaults={**kept, "saved_at": timezone.now()})
    return row.pk
