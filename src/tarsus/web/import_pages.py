"""The import: choose a file, say how it is written, look at every line, bring it in, mend the rest."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any, Final

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from tarsus.actions.imports import bring_in, planned, save_mapping
from tarsus.actions.jobs import jobs_at_work
from tarsus.actions.mending import leave_out, mend_line
from tarsus.core.errors import MalformedInput
from tarsus.core.words.import_said import birds_would
from tarsus.queries.imports import batch_told, batches_told, park_palette, saved_mapping, saved_mappings
from tarsus.queries.jobs import AT_WORK, JobTold, jobs_of
from tarsus.tables.book_out import XLSX
from tarsus.tables.import_plan import ImportPlan
from tarsus.tables.list_kinds import BIRDS, KINDS
from tarsus.tables.refused_list import Waiting, refused_table, write_refused_workbook
from tarsus.tables.rows import Refusal, Sheet
from tarsus.tables.writing import csv_text
from tarsus.web import import_said
from tarsus.web.access import LEAD, RECORDS, may, person_id
from tarsus.web.first_steps import begins
from tarsus.web.import_draft import Draft, drop_draft, drop_draft_brought_in, keep_draft, kept_draft
from tarsus.web.import_example import example_here
from tarsus.web.import_jobs import AT_ONCE, IMPORT, birds_told, bring_birds_later
from tarsus.web.import_lists import look_at_list
from tarsus.web.import_looked import LONG, forget_looks, is_looked_at, look_later, take_look
from tarsus.web.import_shown import batch_shown, birds_shown
from tarsus.web.page_form import refused_once

_SHOWN: Final = 300


@may(LEAD, RECORDS)
def choose(request: HttpRequest) -> HttpResponse:
    """Choose a file; below it, what was brought in before and what still waits."""
    refusal = ""
    if request.method == "POST":
        try:
            keep_draft(request, uploaded(request))
        except MalformedInput as reason:
            refusal = str(reason)
        else:
            return redirect("import-look")
    told = {
        "refused": refused_once(refusal, "file", "File"),
        "example": example_here(),
        "mappings": saved_mappings(),
        "batches": batches_told(),
        "draft": kept_draft(request),
        "jobs": [one for one in _jobs(request) if one.state == AT_WORK],
    }
    return render(request, "web/import.html", told, status=422 if refusal else 200)


def _jobs(request: HttpRequest) -> tuple[JobTold, ...]:
    return jobs_of(person_id(request), IMPORT, timezone.now(), jobs_at_work())


def uploaded(request: HttpRequest, letters: str = "") -> Draft:
    """The file that a form sent, as a draft; `letters` are those it is written in where that is known.

    Raises:
        MalformedInput: no file was chosen, or it cannot be read.
    """
    file = request.FILES.get("file")
    if file is None or not file.name:
        raise MalformedInput("", "no file was chosen; choose the spreadsheet")
    name = request.POST.get("mapping", "")
    draft = Draft.of(file.name, file.read(), saved_mapping(name) if name else None)
    if letters and not name:
        draft = replace(draft, choices=replace(draft.choices, letters=letters))
    forget_looks()
    draft = draft.guessed()
    draft.table()
    return draft


@may(LEAD, RECORDS)
def look(request: HttpRequest) -> HttpResponse:
    """Say how the file is written, and see what would become of every line; nothing is written."""
    draft = kept_draft(request)
    if draft is None:
        return redirect("import")
    what = request.POST.get("what", draft.choices.what or BIRDS)
    if request.method == "POST" and what in (BIRDS, *KINDS) and what != (draft.choices.what or BIRDS):
        keep_draft(request, draft.as_list_of(what))
        return redirect("import-look")
    long = len(draft.contents) > LONG and request.method != "POST" and "looked" not in request.GET
    if long and not is_looked_at(draft):
        return redirect("job", look_later(draft, person_id(request)))
    if draft.kind is not None:
        return look_at_list(request, draft, draft.kind)
    if request.method != "POST":
        return _looked_at(request, draft)
    try:
        sheet, _ = draft.table()
        draft = import_said.said_of(draft, sheet.headings, request.POST)
        draft.table()
    except MalformedInput as refusal:
        return _looked_at(request, kept_draft(request) or draft, str(refusal))
    keep_draft(request, draft)
    if "bring" in request.POST:
        return _brought(request, draft)
    return redirect("import-look")


def _brought(request: HttpRequest, draft: Draft) -> HttpResponse:
    """Bring the good lines in, or tell why nothing was."""
    by = person_id(request)
    sheet, columns = draft.table()
    try:
        mapping = save_mapping(
            name=request.POST.get("mapping", "") or draft.name, columns=columns, choices=draft.choices, by=by
        )
        said: dict[str, Any] = {
            "sheet": sheet,
            "columns": columns,
            "choices": draft.choices,
            "file_name": draft.name,
            "digest": draft.digest,
            "by": by,
            "mapping_id": mapping,
            "all_or_nothing": "all_or_nothing" in request.POST,
        }
        forget_looks()
        if len(sheet.rows) > AT_ONCE:
            return redirect("job", bring_birds_later(**said))
        brought = bring_in(**said)
    except MalformedInput as refusal:
        return _looked_at(request, draft, str(refusal))
    drop_draft(request)
    messages.success(request, birds_told(brought).said)
    if begins(request) and not brought.plan.refused and not brought.plan.remarks:
        return redirect("new-park")
    return redirect("import-told", brought.batch_id)


def _looked_at(request: HttpRequest, draft: Draft, refusal: str = "") -> HttpResponse:
    try:
        sheet, columns = draft.table()
        kept = take_look(draft)
        plan = kept if isinstance(kept, ImportPlan) else planned(sheet, columns, draft.choices)
    except MalformedInput as reason:
        drop_draft(request)
        messages.error(request, f"{reason}.")
        return redirect("import")
    told = {
        "draft": draft,
        "refusal": refusal,
        "refused_first": refused_once(refusal),
        "sheet": sheet,
        "whats": (BIRDS, *KINDS),
        "what": BIRDS,
        "plan": plan,
        "says": birds_would(len(plan.birds), len(plan.refused_rows), len(plan.held_up), len(plan.in_before)),
        "columns": import_said.columns_asked(columns, (row.as_mapping() for row in sheet.rows[:20])),
        "fields": import_said.fields_offered(),
        "birds": birds_shown(plan.birds[:_SHOWN]),
        "more_birds": max(0, len(plan.birds) - _SHOWN),
        **_refused_shown(plan, import_said.asked_in_place(plan, sheet, columns, _SHOWN)),
        "ready": bool(plan.birds) and not plan.pressing,
        **_choices_offered(draft, plan),
        "cells_asked": import_said.cells_in_place(plan, sheet, columns)[:_SHOWN],
        **_sheets_offered(sheet),
    }
    return render(request, "web/import_look.html", told, status=422 if refusal else 200)


def _refused_shown(plan: ImportPlan, in_place: set[Refusal]) -> dict[str, Any]:
    """The refusals, without those that only wait for a species to be said, or stand above as cells asked."""
    asked = [f"'{name}'" for name in plan.species_asked]
    told = [
        one
        for one in plan.refused
        if not one.reason.startswith(tuple(asked)) or "not known yet" not in one.reason
    ]
    held_back = {one.line for one in plan.refused} - {one.line for one in told}
    shown = [one for one in told if one not in in_place]
    asked_above = {one.line for one in told} - {one.line for one in shown}
    return {"refused": shown[:_SHOWN], "held_back": len(held_back), "asked_above": len(asked_above)}


def _choices_offered(draft: Draft, plan: ImportPlan) -> dict[str, Any]:
    return {
        "letters": import_said.LETTERS,
        "letters_chosen": import_said.letters_chosen(draft.choices),
        "letters_asked": import_said.letters_asked(plan, draft.choices),
        "colours": park_palette().names,
        "where": import_said.WHERE,
        "species_said": list(draft.choices.species.items()),
        "dates": import_said.DATES,
        "runs_asked": import_said.questions_shown(plan, "run"),
        "exhibits_asked": import_said.questions_shown(plan, "exhibit"),
        "apart": import_said.APART,
        "answered": import_said.answered(draft.choices),
    }


def _sheets_offered(sheet: Sheet) -> dict[str, Any]:
    return {"sheets": sorted([sheet.name, *sheet.other_sheets]) if sheet.other_sheets else []}


@may(LEAD, RECORDS)
@require_POST
def throw_away(request: HttpRequest) -> HttpResponse:
    """Forget the file that was chosen; nothing of it was written."""
    drop_draft(request)
    messages.success(request, "The file was put aside; nothing of it was written.")
    return redirect("import")


@may(LEAD, RECORDS)
def told(request: HttpRequest, batch_id: int) -> HttpResponse:
    """How one import went: what came in, what to look at, and the refused lines, to be mended here."""
    batch = batch_told(batch_id)
    if batch is None:
        raise Http404("there was no such import")
    drop_draft_brought_in(request, batch.digest, batch.at)  # it may have been so in the background
    what = batch.mapping.writing.get("what", "") if batch.mapping else ""
    told_by = KINDS[what].told_by if what in KINDS else "bird"
    shown = {"batch": batch, "told_by": told_by, "rows": batch_shown(batch), "new_park": begins(request)}
    return render(request, "web/import_told.html", shown)


@may(LEAD, RECORDS)
@require_POST
def mend(request: HttpRequest, batch_id: int, line: int) -> HttpResponse:
    """Try one refused line again as it now reads, or leave it out."""
    by = person_id(request)
    try:
        if "leave_out" in request.POST:
            leave_out(batch_id=batch_id, line=line, by=by)
            messages.success(request, f"Line {line} is left out.")
            return redirect("import-told", batch_id)
        cells = _cells(request)
        refused = mend_line(batch_id=batch_id, line=line, cells=cells, by=by)
    except MalformedInput as refusal:
        messages.error(request, f"{refusal}.")
        return redirect("import-told", batch_id)
    if refused:
        messages.error(request, f"Line {line} is still refused: {refused[0].reason}.")
    else:
        messages.success(request, f"Line {line} was brought in.")
    answer = redirect("import-told", batch_id)
    answer["Location"] += f"#line-{line}" if refused else "#waiting"
    return answer


def _cells(request: HttpRequest) -> dict[str, str]:
    """The mended cells of a form, by heading."""
    named = (key for key in request.POST if key.startswith("cell:"))
    return {key.removeprefix("cell:"): request.POST[key].strip() for key in named}


@may(LEAD, RECORDS)
def refused_list(_request: HttpRequest, batch_id: int) -> StreamingHttpResponse:
    """The lines that still wait as a CSV file, to be mended in a spreadsheet program and sent again."""
    headings, waiting = _waiting(batch_id)
    table = refused_table(headings, waiting, batch_id)
    answer = StreamingHttpResponse(csv_text(table), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="refused-{batch_id}.csv"'
    return answer


@may(LEAD, RECORDS)
def refused_workbook(_request: HttpRequest, batch_id: int) -> HttpResponse:
    """The lines that still wait as a workbook, each with what is wrong right beside its cell."""
    headings, waiting = _waiting(batch_id)
    book = io.BytesIO()
    write_refused_workbook(headings, waiting, batch_id, book)
    answer = HttpResponse(book.getvalue(), content_type=XLSX)
    answer["Content-Disposition"] = f'attachment; filename="refused-{batch_id}.xlsx"'
    return answer


def _waiting(batch_id: int) -> tuple[list[str], list[Waiting]]:
    """The headings of an import, and its lines that still wait."""
    batch = batch_told(batch_id)
    if batch is None:
        raise Http404("there was no such import")
    headings = list(dict.fromkeys(heading for row in batch.waiting for heading in row.cells))
    return headings, [(row.line, row.cells, row.reasons) for row in batch.waiting]
