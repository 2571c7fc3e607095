"""Mending what an import refused: a line is tried again as it now reads, or left out."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from tarsus.actions.imports import keep_refused, known_importer, planned, written
from tarsus.actions.known import known, known_person
from tarsus.actions.lists import planned_list, refuse_stranger, tell_lines
from tarsus.core.errors import MalformedInput
from tarsus.records.models import ImportBatch, ImportedRow, RefusedRow
from tarsus.tables.choices import Choices
from tarsus.tables.columns import columns_for, still_there
from tarsus.tables.list_kinds import KINDS, list_columns
from tarsus.tables.questions import Question
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
        MayNotImport, MayNotTell: the person's role does not allow it.
        Unknown: there was no such import.
        MalformedInput: no row of this line waits.
    """
    known_importer(by)
    batch = known(ImportBatch, batch_id, "import")
    waiting = RefusedRow.objects.filter(batch=batch, line=line, mended_at__isnull=True)
    first = waiting.order_by("id").first()
    if first is None:
        raise MalformedInput(f"line {line}", "does not wait any more; look at the list again")
    texts = tuple((heading, cells.get(heading, text)) for heading, text in first.cells.items())
    row = Row(line, texts, sheet=first.sheet)
    sheet = Sheet(first.sheet, tuple(first.cells), (row,))
    now = timezone.now()
    if Choices.of(batch.mapping.letters if batch.mapping else {}).what in KINDS:
        bird, again = None, _told_again(batch, sheet, row, by)
    else:
        bird, again = _written_again(batch, sheet, row, by, now)
    waiting.update(mended_at=now, mended_by_id=by, bird_id=bird)
    keep_refused(batch, again, sheet.rows)
    return again


def _told_again(batch: ImportBatch, sheet: Sheet, row: Row, by: int) -> tuple[Refusal, ...]:
    """Tell a line of a list again; what is refused of it still."""
    kept = batch.mapping
    choices = Choices.of(kept.letters if kept else {})
    kind = KINDS[choices.what]
    refuse_stranger(by, kind)
    columns = list_columns(sheet.headings, kind, kept.columns if kept else {})
    plan = planned_list(sheet, columns, kind, choices)
    if plan.in_before:
        return (Refusal(row.line, "", "this line was told before", "leave the line out", row.sheet),)
    if plan.pressing:
        return tuple(_asked(row, one) for one in plan.pressing)
    return (*plan.refused, *tell_lines(plan.lines, kind, columns, by, lambda _: None)[1])


def _asked(row: Row, question: Question) -> Refusal:
    """A question that a mended line raises: nobody answers here, so it is to be written otherwise."""
    heading = next((head for head, text in row.cells if text.strip() == question.about), question.field)
    remedy = (
        f"write what was answered of the file, such as {' or '.join(way[0] for way in question.proposals)}"
    )
    return Refusal(row.line, heading, question.text, remedy, row.sheet)


def _written_again(
    batch: ImportBatch, sheet: Sheet, row: Row, by: int, now: datetime
) -> tuple[int | None, tuple[Refusal, ...]]:
    """Write a line of a list of birds again: the bird it became, and what is refused of it still."""
    kept, line = batch.mapping, row.line
    columns = columns_for(sheet.headings, still_there(kept.columns, sheet.headings) if kept else None)
    plan = planned(sheet, columns, Choices.of(kept.letters if kept else {}))
    if plan.birds:
        bird = written(plan, by, now)[line]
        ImportedRow.objects.create(batch=batch, line=line, row_digest=plan.birds[0].digest, bird_id=bird)
        return bird, ()
    asked = tuple(
        Refusal(
            *(line, one.field, one.text, f"write it otherwise, such as {' over '.join(one.proposals[0])}"),
            row.sheet,
        )
        for one in plan.questions
        if line in plan.held_up and line in one.lines
    )
    before = Refusal(line, "", "this bird went in before", "leave the line out", row.sheet)
    return None, plan.refused or asked or (before,)


@transaction.atomic
def leave_out(*, batch_id: int, line: int, by: int) -> None:
    """Let a refused row wait no longer: it is no bird of this park, or was brought in another way."""
    known_person(by)
    waiting = RefusedRow.objects.filter(batch_id=batch_id, line=line, mended_at__isnull=True)
    waiting.update(mended_at=timezone.now(), mended_by_id=by)
