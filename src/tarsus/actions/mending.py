"""Mending what an import refused: a line is tried again as it now reads, or left out."""

from __future__ import annotations

from collections.abc import Mapping

from django.db import transaction
from django.utils import timezone

from tarsus.actions.imports import MAY_IMPORT, MayNotImport, planned, written
from tarsus.actions.known import known, known_person
from tarsus.actions.lists import planned_list, refuse_stranger, tell_lines
from tarsus.core.errors import MalformedInput
from tarsus.records.models import ImportBatch, ImportedRow, RefusedRow
from tarsus.tables.choices import Choices
from tarsus.tables.columns import columns_for, still_there
from tarsus.tables.list_kinds import KINDS, list_columns
from tarsus.tables.rows import Refusal, Row, Sheet


@transaction.atomic
def mend_line(*, batch_id: int, line: int, cells: Mapping[str, str], by: int) -> tuple[Refusal, ...]:
    """Try a refused line of an import again with mended cells, whatever the import was of.

    Args:
        batch_id: the import it was refused in.
        line: its line in the file.
        cells: text by heading, as the line now reads.
        by: who mended it.

    Returns:
        Nothing where it went in; otherwise why it still cannot, and it waits on as it now reads.

    Raises:
        MayNotImport: the person's role does not allow it.
        Unknown: there was no such import.
        MalformedInput: no row of this line waits.
    """
    batch = known(ImportBatch, batch_id, "import")
    choices = Choices.of(batch.mapping.letters if batch.mapping else {})
    if choices.what not in KINDS:
        return mend_row(batch_id=batch_id, line=line, cells=cells, by=by)
    kind = KINDS[choices.what]
    refuse_stranger(by, kind)
    waiting = RefusedRow.objects.filter(batch=batch, line=line, mended_at__isnull=True)
    first = waiting.order_by("id").first()
    if first is None:
        raise MalformedInput(f"line {line}", "does not wait any more; look at the list again")
    texts = tuple((heading, cells.get(heading, text)) for heading, text in first.cells.items())
    row = Row(line, texts, sheet=first.sheet)
    headings = tuple(first.cells)
    columns = list_columns(headings, kind, batch.mapping.columns if batch.mapping else {})
    plan = planned_list(Sheet(first.sheet, headings, (row,)), columns, kind, choices)
    again = plan.refused
    if plan.in_before:
        again = (Refusal(line, "", "this line was told before", "leave the line out", first.sheet),)
    elif plan.lines:
        again = tuple(tell_lines(plan.lines, kind, columns, by, lambda _: None)[1])
    waiting.update(mended_at=timezone.now(), mended_by_id=by)
    if again:
        _wait_again(batch, row, again)
    return again


@transaction.atomic
def mend_row(*, batch_id: int, line: int, cells: Mapping[str, str], by: int) -> tuple[Refusal, ...]:
    """Try a refused row again with mended cells.

    Args:
        batch_id: the import it was refused in.
        line: its line in the file.
        cells: text by heading, as the row now reads.
        by: who mended it.

    Returns:
        Nothing where the bird went in; otherwise why it still cannot, and the row waits on as it now reads.

    Raises:
        MayNotImport: the person's role does not allow it.
        Unknown: there was no such import.
        MalformedInput: no row of this line waits.
    """
    person = known_person(by)
    if person.role not in MAY_IMPORT:
        raise MayNotImport(person.display_name)
    batch = known(ImportBatch, batch_id, "import")
    waiting = RefusedRow.objects.filter(batch=batch, line=line, mended_at__isnull=True)
    first = waiting.order_by("id").first()
    if first is None:
        raise MalformedInput(f"line {line}", "does not wait any more; look at the list again")
    row = Row(
        line,
        tuple((heading, cells.get(heading, text)) for heading, text in first.cells.items()),
        sheet=first.sheet,
    )
    kept = batch.mapping
    headings = tuple(heading for heading, _ in row.cells)
    columns = columns_for(headings, still_there(kept.columns, headings) if kept else None)
    choices = Choices.of(kept.letters if kept else {})
    plan = planned(Sheet(first.sheet, headings, (row,)), columns, choices)
    now = timezone.now()
    if not plan.birds:
        asked = tuple(
            Refusal(
                line, one.field, one.text, f"write it otherwise, such as {' over '.join(one.proposals[0])}"
            )
            for one in plan.questions
            if line in plan.held_up and line in one.lines
        )
        again = (
            plan.refused or asked or (Refusal(line, "", "this bird went in before", "leave the line out"),)
        )
        waiting.update(mended_at=now, mended_by_id=by)
        _wait_again(batch, row, again)
        return again
    birds = written(plan, by, now)
    waiting.update(mended_at=now, mended_by_id=by, bird_id=birds[line])
    ImportedRow.objects.create(batch=batch, line=line, row_digest=plan.birds[0].digest, bird_id=birds[line])
    return ()


def _wait_again(batch: ImportBatch, row: Row, again: tuple[Refusal, ...]) -> None:
    RefusedRow.objects.bulk_create(
        RefusedRow(
            batch=batch,
            sheet=row.sheet,
            line=row.line,
            cells=dict(row.cells),
            field=one.field[:80],
            reason=one.reason[:400],
            remedy=one.remedy[:400],
        )
        for one in again
    )


@transaction.atomic
def leave_out(*, batch_id: int, line: int, by: int) -> None:
    """Let a refused row wait no longer: it is no bird of this park, or was brought in another way."""
    known_person(by)
    waiting = RefusedRow.objects.filter(batch_id=batch_id, line=line, mended_at__isnull=True)
    waiting.update(mended_at=timezone.now(), mended_by_id=by)
