"""`tarsus import` of a list of something else than birds: weights, sightings, results and so on."""

from __future__ import annotations

import argparse
import hashlib
import shlex
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from rich.table import Table

from tarsus.actions.imports import NothingBroughtIn, save_mapping
from tarsus.actions.lists import ListBrought, bring_list_in, planned_list
from tarsus.cli.import_ import SOME_REFUSED, cells_meant, mapping_name, pairs
from tarsus.cli.import_refused import write_refused
from tarsus.cli.progress import progress_bar
from tarsus.cli.register import person_of
from tarsus.cli.running import print_document, printer
from tarsus.queries.imports import SavedMapping
from tarsus.tables.choices import Choices
from tarsus.tables.columns import Columns, still_there
from tarsus.tables.list_kinds import ListKind, kind_named, list_columns
from tarsus.tables.list_plan import ListPlan
from tarsus.tables.rows import Refusal, Sheet

_SHOWN = 200


def bring_list(
    wishes: argparse.Namespace, contents: bytes, sheet: Sheet, what: str, saved: SavedMapping | None
) -> int:
    """Look at a list and say what each line would tell; with --apply tell it."""
    kind = kind_named(what)
    kept = still_there(saved.columns, sheet.headings) if saved else {}
    columns = list_columns(sheet.headings, kind, {**kept, **dict(pairs("--column", wishes.column))})
    choices = _choices(wishes, kind, saved)
    brought: ListBrought | None = None
    doing = "Looking at each line, then telling it" if wishes.apply else "Reading the lines"
    steps = len(sheet.rows) * (2 if wishes.apply else 1)
    with progress_bar(doing, steps, quiet=wishes.json) as progress:
        if wishes.apply:
            by = person_of(wishes.by)
            mapping = save_mapping(name=mapping_name(wishes), columns=columns, choices=choices, by=by)
            brought = bring_list_in(
                sheet=sheet,
                columns=columns,
                kind=kind,
                choices=choices,
                file_name=Path(wishes.file).name,
                digest=hashlib.sha256(contents).hexdigest(),
                by=by,
                mapping_id=mapping,
                all_or_nothing=wishes.all_or_nothing,
                progress=progress,
            )
            plan, refused = brought.plan, brought.refused
        else:
            plan = planned_list(sheet, columns, kind, choices, progress)
            refused = plan.refused
            if wishes.all_or_nothing and refused:
                raise NothingBroughtIn(refused)
    bad = {one.line for one in refused}
    rows = [row for row in sheet.rows if row.line in bad]
    kept_at = write_refused(wishes, sheet, refused, rows, brought.batch_id if brought else 0)
    if wishes.json:
        print_document(_document(sheet, columns, plan, refused, brought, kept_at))
    else:
        _print(sheet, columns, plan, refused, brought, kept_at)
        if brought:
            print(f"How it was read is kept: --mapping {shlex.quote(mapping_name(wishes))} reads a file so.")
    return SOME_REFUSED if refused else 0


def _choices(wishes: argparse.Namespace, kind: ListKind, saved: SavedMapping | None) -> Choices:
    before = Choices.of(saved.writing) if saved else Choices()
    return replace(
        before,
        what=kind.name,
        once={**before.once, **dict(pairs("--once", wishes.once))},
        cells=cells_meant(before.cells, pairs("--cell", wishes.cell)),
        slashes=(wishes.dates or "").replace("-", " ") or before.slashes,
        southern=wishes.southern or before.southern,
    )


def _document(
    sheet: Sheet,
    columns: Columns,
    plan: ListPlan,
    refused: Sequence[Refusal],
    brought: ListBrought | None,
    refused_at: Path | None,
) -> dict[str, Any]:
    bad = {one.line for one in refused}
    return {
        "what": plan.kind.name,
        "sheet": sheet.name,
        "other_sheets": list(sheet.other_sheets),
        "columns": {heading: field if field != "-" else None for heading, field in columns.columns},
        "applied": brought is not None,
        "import": None if brought is None else brought.batch_id,
        "lines": [
            {
                "line": one.line,
                "of": one.said.called,
                "says": one.said.words,
                "facts": list(map(str, one.ids)),
            }
            for one in plan.lines
            if one.line not in bad
        ],
        "refused": [
            {"line": one.line, "field": one.field, "reason": one.reason, "remedy": one.remedy}
            for one in refused
        ],
        "refused_file": None if refused_at is None else str(refused_at),
        "warnings": [{"line": one.line, "field": one.field, "text": one.text} for one in plan.remarks],
        "in_before": list(plan.in_before),
        "questions": [
            {
                "field": one.field,
                "text": one.text,
                "lines": list(one.lines),
                "proposals": [list(way) for way in one.proposals],
                "about": one.about,
                "say": one.say,
            }
            for one in plan.questions
        ],
    }


def _print(
    sheet: Sheet,
    columns: Columns,
    plan: ListPlan,
    refused: Sequence[Refusal],
    brought: ListBrought | None,
    refused_at: Path | None,
) -> None:
    out = printer()
    read = ", ".join(f"{heading} as {field}" for field, heading in columns.by_field.items())
    out.print(f"Read as a list of {plan.kind.name} (another: --what). Sheet {sheet.name}. Read: {read}.")
    if columns.left_out:
        out.print(f"Left out: {', '.join(columns.left_out)} (name them with --column).")
    if sheet.other_sheets:
        out.print(f"Not read: {', '.join(sheet.other_sheets)} (choose with --sheet).")
    bad = {one.line for one in refused}
    told = [one for one in plan.lines if one.line not in bad]
    rows = [[str(one.line), one.said.called, one.said.words] for one in told[:_SHOWN]]
    _table((brought and "Told") or "Would be told", ["line", "of", "what"], rows)
    if len(told) > _SHOWN:
        out.print(f"and {len(told) - _SHOWN} more.")
    against = [[str(one.line), one.field, one.reason, one.remedy] for one in refused]
    _table("Refused", ["line", "column", "why", "what mends it"], against)
    asked = [
        [one.text, " | ".join(way[0] for way in one.proposals), one.say, str(len(one.lines))]
        for one in plan.questions
    ]
    _table("Asked once for the whole file", ["question", "it may be", "say it with", "lines"], asked)
    if plan.in_before:
        out.print(f"{len(plan.in_before)} lines were told before and are left as they are.")
    if brought:
        out.print(f"{brought.told} lines were told, {len(bad)} are refused.")
    else:
        out.print(f"{len(told)} lines would be told, {len(bad)} are refused. Nothing was written.")
        first = [one.say for one in plan.pressing]
        out.print(f"First say: {' '.join(first)}" if first else "Add --apply to tell them.", soft_wrap=True)
    if refused_at is not None:
        out.print(f"The refused lines are in {refused_at}: mend them there and import that file.")


def _table(title: str, headings: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    if not rows:
        return
    table = Table(*headings, title=title, title_justify="left", box=None, pad_edge=False)
    for row in rows:
        table.add_row(*row)
    out = printer()
    out.print(table)
    out.print()
