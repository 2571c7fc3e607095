"""`tarsus import` of a list of something else than birds: weights, sightings, results and so on."""

from __future__ import annotations

import argparse
import hashlib
import shlex
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from tarsus.actions.imports import NothingBroughtIn, save_mapping
from tarsus.actions.lists import ListBrought, bring_list_in, planned_list
from tarsus.cli.import_ import SOME_REFUSED, cells_meant, mapping_name, pairs
from tarsus.cli.import_refused import write_refused
from tarsus.cli.import_report import (
    against_as_document,
    file_as_document,
    print_against,
    print_columns,
    print_list,
    so_many,
)
from tarsus.cli.progress import progress_bar
from tarsus.cli.register import person_of
from tarsus.cli.running import print_document, printer
from tarsus.queries.imports import SavedMapping
from tarsus.tables.choices import Choices
from tarsus.tables.columns import Columns, still_there
from tarsus.tables.list_asked import ListPlan
from tarsus.tables.list_kinds import ListKind, kind_named, list_columns
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
        **file_as_document(sheet, columns, None if brought is None else brought.batch_id),
        "lines": [
            {
                "line": one.line or None,
                "of": one.said.called,
                "says": one.said.words,
                "facts": list(map(str, one.ids)),
            }
            for one in plan.lines
            if one.line not in bad
        ],
        **against_as_document(plan, refused, refused_at),
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
    out.print(f"Read as a list of {plan.kind.name} (another: --what).")
    print_columns(out, sheet, columns)
    bad = {one.line for one in refused}
    told = [one for one in plan.lines if one.line not in bad]
    rows = [[str(one.line or ""), one.said.called, one.said.words] for one in told[:_SHOWN]]
    print_list(out, "Told" if brought else "Would be told", ["line", "of", "what"], rows)
    if len(told) > _SHOWN:
        out.print(f"and {len(told) - _SHOWN} more.")
    print_against(out, plan, refused)
    if plan.in_before:
        out.print(f"{so_many(len(plan.in_before), 'line', 'was', 'were')} told before, and told no more.")
    by, against = plan.kind.told_by, f"{so_many(len(bad), 'line', 'is', 'are')} refused."
    if brought:
        out.print(f"{so_many(brought.told, by, 'was', 'were')} told, {against}")
    else:
        out.print(f"{so_many(len(told), by)} would be told, {against} Nothing was written.")
        first = [one.say for one in plan.pressing]
        out.print(f"First say: {' '.join(first)}" if first else "Add --apply to tell them.", soft_wrap=True)
    if refused_at is not None:
        out.print(f"The refused lines are in {refused_at}: mend them there and import that file.")
