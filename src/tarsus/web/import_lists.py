"""The import of a list of something else than birds: look at every line, answer once a file, tell it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, Final

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render

from tarsus.actions.imports import save_mapping
from tarsus.actions.lists import bring_list_in, planned_list, refuse_stranger
from tarsus.core.errors import MalformedInput
from tarsus.core.words.import_said import list_would
from tarsus.queries.imports import list_names
from tarsus.tables.columns import NOT_BROUGHT_IN
from tarsus.tables.list_asked import ListPlan
from tarsus.tables.list_kinds import BIRDS, KINDS, ListKind
from tarsus.tables.ticks import tick_headings
from tarsus.web import import_said
from tarsus.web.access import person_id
from tarsus.web.import_draft import Draft, drop_draft, keep_draft
from tarsus.web.import_jobs import AT_ONCE, list_told, tell_list_later
from tarsus.web.import_looked import forget_looks, take_look
from tarsus.web.page_form import refused_once

_SHOWN: Final = 300


@dataclass(frozen=True)
class OnceAsked:
    """What is asked once for the whole list: a field, the words of it, and what it may be."""

    field: str
    text: str
    ways: tuple[str, ...]


def look_at_list(request: HttpRequest, draft: Draft, kind: ListKind) -> HttpResponse:
    """See what every line would tell; say what is asked; tell it."""
    if request.method != "POST":
        return _looked_at(request, draft, kind)
    try:
        sheet, _ = draft.table()
        draft = _said_of(draft, sheet.headings, request.POST)
        draft.table()
    except MalformedInput as refusal:
        return _looked_at(request, draft, kind, str(refusal))
    keep_draft(request, draft)
    return _brought(request, draft, kind) if "bring" in request.POST else redirect("import-look")


def _said_of(draft: Draft, headings: Iterable[str], form: QueryDict) -> Draft:
    columns = {heading: form.get(f"column-{place}", NOT_BROUGHT_IN) for place, heading in enumerate(headings)}
    again = set(form.getlist("ask-again"))
    once = {key.removeprefix("once-"): str(form[key]).strip() for key in form if key.startswith("once-")}
    kept = {field: said for field, said in {**draft.choices.once, **once}.items() if said}
    choices = replace(
        draft.choices,
        cells=import_said.cells_said(draft.choices, form, again),
        once={field: said for field, said in kept.items() if f"once:{field}" not in again},
        slashes=form.get("slashes", ""),
    )
    return replace(draft, columns=columns, choices=choices, sheet=form.get("sheet", draft.sheet))


def _brought(request: HttpRequest, draft: Draft, kind: ListKind) -> HttpResponse:
    by = person_id(request)
    sheet, columns = draft.table()
    try:
        refuse_stranger(by, kind)
        name = request.POST.get("mapping", "") or draft.name
        mapping = save_mapping(name=name, columns=columns, choices=draft.choices, by=by)
        said: dict[str, Any] = {
            "sheet": sheet,
            "columns": columns,
            "kind": kind,
            "choices": draft.choices,
            "file_name": draft.name,
            "digest": draft.digest,
            "by": by,
            "mapping_id": mapping,
            "all_or_nothing": "all_or_nothing" in request.POST,
        }
        forget_looks()
        if len(sheet.rows) * max(1, len(tick_headings(columns))) > AT_ONCE:
            return redirect("job", tell_list_later(**said))
        brought = bring_list_in(**said)
    except MalformedInput as refusal:
        return _looked_at(request, draft, kind, str(refusal))
    drop_draft(request)
    messages.success(request, list_told(brought).said)
    return redirect("import-told", brought.batch_id)


def _looked_at(request: HttpRequest, draft: Draft, kind: ListKind, refusal: str = "") -> HttpResponse:
    try:
        sheet, columns = draft.table()
        kept = take_look(draft)
        plan = kept if isinstance(kept, ListPlan) else planned_list(sheet, columns, kind, draft.choices)
    except MalformedInput as reason:
        drop_draft(request)
        messages.error(request, f"{reason}.")
        return redirect("import")
    in_place = import_said.asked_in_place(plan, sheet, columns, _SHOWN)
    refused = [one for one in plan.refused if one not in in_place]
    told = {
        "draft": draft,
        "refusal": refusal,
        "refused_first": refused_once(refusal),
        "sheet": sheet,
        "sheets": sorted([sheet.name, *sheet.other_sheets]) if sheet.other_sheets else [],
        "whats": (BIRDS, *KINDS),
        "what": kind.name,
        "plan": plan,
        "says": list_would(
            kind.name, kind.told_by, len(plan.lines), len(plan.refused_rows), len(plan.in_before)
        ),
        "columns": import_said.columns_asked(columns, (row.as_mapping() for row in sheet.rows[:20])),
        "fields": [(NOT_BROUGHT_IN, "left out"), *((field, field) for field in kind.fields)],
        "told_by": kind.told_by,
        "lines": plan.lines[:_SHOWN],
        "more_lines": max(0, len(plan.lines) - _SHOWN),
        "refused": refused[:_SHOWN],
        "asked_above": len({one.line for one in plan.refused} - {one.line for one in refused}),
        "cells_asked": import_said.cells_in_place(plan, sheet, columns)[:_SHOWN],
        "once_asked": _once_asked(plan),
        "answered": [
            *(
                (f"once:{field}", f"{field} of every line", said)
                for field, said in draft.choices.once.items()
            ),
            *import_said.answered(draft.choices),
        ],
        "dates": import_said.DATES,
        "ready": bool(plan.lines) and not plan.pressing,
    }
    return render(request, "web/import_list.html", told, status=422 if refusal else 200)


def _once_asked(plan: ListPlan) -> list[OnceAsked]:
    """The questions that hold for every line, with what the register proposes."""
    names = list_names()
    return [
        OnceAsked(one.field, one.text, tuple(way[0] for way in one.proposals) or names.get(one.field, ()))
        for one in plan.pressing
        if one.kind == "once"
    ]
