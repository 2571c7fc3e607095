"""What an import did, or would do: a report for people, and one JSON document."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from tarsus.actions.imports import Brought
from tarsus.cli.running import printer
from tarsus.core.words.numbers import counted
from tarsus.tables.bird_lines import BirdLine
from tarsus.tables.bird_remarks import marks_told
from tarsus.tables.columns import NOT_BROUGHT_IN, Columns
from tarsus.tables.import_plan import ImportPlan
from tarsus.tables.list_asked import ListPlan
from tarsus.tables.rows import Refusal, Sheet


def report_as_document(
    sheet: Sheet, columns: Columns, plan: ImportPlan, brought: Brought | None, refused_at: Path | None
) -> dict[str, Any]:
    """The report as a document: every line of the file is in `birds`, `refused`, `in_before` or `held_up`."""
    birds = {} if brought is None else brought.birds
    return {
        **file_as_document(sheet, columns, None if brought is None else brought.batch_id),
        "birds": [
            {
                "line": bird.line,
                "bird": birds.get(bird.line),
                "name": bird.name,
                "number": bird.number,
                "species": bird.species.name,
                "sex": bird.sex,
                "exhibit": bird.exhibit,
                "since": bird.since.isoformat(),
                "hatched": None if bird.hatched is None else str(bird.hatched),
                "marks": bird.marks.as_marks().as_mapping(),
                "living": bird.living,
                "fate": bird.fate.how or None,
                "fate_on": None if bird.fate_on is None else bird.fate_on.isoformat(),
            }
            for bird in plan.birds
        ],
        **against_as_document(plan, plan.refused, refused_at),
        "held_up": list(plan.held_up),
        "asked": {
            "letters": {letter: list(bands) for letter, bands in plan.letters_asked.items()},
            "species": list(plan.species_asked),
        },
        "new_species": list(plan.new_species),
        "new_exhibits": list(plan.new_exhibits),
    }


def file_as_document(sheet: Sheet, columns: Columns, batch_id: int | None) -> dict[str, Any]:
    """What was read of a file, and whether it was brought in: the beginning of every report."""
    return {
        "sheet": sheet.name,
        "other_sheets": list(sheet.other_sheets),
        "columns": {
            heading: None if field == NOT_BROUGHT_IN else field for heading, field in columns.columns
        },
        "applied": batch_id is not None,
        "import": batch_id,
    }


def against_as_document(
    plan: ImportPlan | ListPlan, refused: Sequence[Refusal], refused_at: Path | None
) -> dict[str, Any]:
    """What stands against lines of a file, and what is asked of it."""
    return {
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


def print_report(
    sheet: Sheet,
    columns: Columns,
    plan: ImportPlan,
    brought: Brought | None,
    refused_at: Path | None,
    mapping: str = "",
) -> None:
    """Print per line what happened or would happen, what is refused or warned of, and what to do next."""
    out = printer()
    print_columns(out, sheet, columns)
    _print_birds(out, plan, brought)
    print_against(out, plan, plan.refused)
    for line in _summary(plan, brought, refused_at, mapping):
        out.print(line, soft_wrap=True)


def so_many(number: int, word: str, one: str = "", many: str = "") -> str:
    """A number with its word, and the verb that goes with it."""
    return f"{number} {counted(word, number)} {one if number == 1 else many}".rstrip()


def print_against(out: Console, plan: ImportPlan | ListPlan, refused: Sequence[Refusal]) -> None:
    """Print what is refused, what is to be looked at and what is asked, as far as there is any."""
    print_list(
        out,
        "Refused",
        ["line", "column", "why", "what mends it"],
        [[str(one.line), one.field, one.reason, one.remedy] for one in refused],
    )
    print_list(
        out,
        "To be looked at; no line is refused for it",
        ["line", "column", "what"],
        [[str(one.line), one.field, one.text] for one in plan.remarks],
    )
    print_list(
        out,
        "Asked once for the whole file",
        ["lines", "question", "it may be", "say it with"],
        [
            [_lines(one.lines), one.text, " | ".join(_way(one.kind, way) for way in one.proposals), one.say]
            for one in plan.questions
        ],
    )


def _lines(lines: Sequence[int], most: int = 6) -> str:
    more = f" and {len(lines) - most} more" if len(lines) > most else ""
    return ", ".join(map(str, lines[:most])) + more


def _way(kind: str, way: Sequence[str]) -> str:
    return (" and ".join if kind == "exhibit" else " over ".join)(way)


def print_columns(out: Console, sheet: Sheet, columns: Columns) -> None:
    """Print where a table was found, and what was read of it."""
    headings: dict[str, list[str]] = {}
    for heading, field in columns.columns:
        headings.setdefault(field, []).append(heading)
    several = ((many, field) for field, many in headings.items() if field != NOT_BROUGHT_IN)
    read = ", ".join(_read_as(many, field) for many, field in several)
    out.print(f"Sheet {sheet.name}, headings in line {sheet.heading_line}. Read: {read or 'no column'}.")
    if columns.left_out:
        out.print(f"Left out: {', '.join(columns.left_out)} (name them with --column).")
    if sheet.other_sheets:
        out.print(f"Not read: {', '.join(sheet.other_sheets)} (choose with --sheet).")


def _read_as(headings: Sequence[str], field: str) -> str:
    """One column, or the first and last of many, and what it was read as."""
    if len(headings) > 1:
        return f"{headings[0]} … {headings[-1]} ({len(headings)} columns) as {field}"
    return f"{headings[0]} as {field}" if headings[0].casefold() != field else headings[0]


def _print_birds(out: Console, plan: ImportPlan, brought: Brought | None) -> None:
    title = "Brought in" if brought else "Would go in"
    rows = [
        [str(bird.line), bird.called, bird.species.name, bird.sex, _home(bird), marks_told(bird)]
        for bird in plan.birds
    ]
    print_list(out, title, ["line", "bird", "species", "sex", "exhibit", "marks"], rows)


def _home(bird: BirdLine) -> str:
    return bird.exhibit if bird.living else f"{bird.exhibit} ({bird.fate.how} {bird.fate_on})"


def print_list(out: Console, title: str, headings: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print a table under its title; nothing where it has no rows."""
    if not rows:
        return
    table = Table(*headings, title=title, title_justify="left", box=None, pad_edge=False)
    for row in rows:
        table.add_row(*row)
    out.print(table)
    out.print()


def _summary(plan: ImportPlan, brought: Brought | None, refused_at: Path | None, mapping: str) -> list[str]:
    refused = len(plan.refused_rows)
    lines = []
    if plan.new_species:
        lines.append(f"New species: {', '.join(plan.new_species)}. Look at their limits in Settings.")
    if plan.new_exhibits:
        lines.append(f"New exhibits: {', '.join(plan.new_exhibits)}.")
    if plan.in_before:
        lines.append(f"{so_many(len(plan.in_before), 'line')} went in before and stay as they are.")
    if brought is None:
        would = f"{so_many(len(plan.birds), 'bird')} would go in"
        lines.append(f"{would}, {so_many(refused, 'line', 'is', 'are')} refused. Nothing was written.")
        lines += _asked(plan) or ["Add --apply to bring the birds in."]
    else:
        came = f"{so_many(len(plan.birds), 'bird', 'was', 'were')} brought in"
        lines.append(f"{came}, {so_many(refused, 'line', 'is', 'are')} refused.")
    if refused_at is not None:
        lines.append(f"The refused lines are in {refused_at}: mend them there and import that file.")
    if mapping:
        lines.append(
            f"How it was read is kept: --mapping {shlex.quote(mapping)} reads a file in the same way."
        )
    return lines


def _asked(plan: ImportPlan) -> list[str]:
    """What must be said before anything goes in."""
    lines = []
    if plan.letters_asked:
        said = [f"{letter} may be {' or '.join(bands)}" for letter, bands in plan.letters_asked.items()]
        lines.append(f"First say which letters this file uses (--letters): {', '.join(said)}.")
    if plan.species_asked:
        words = " ".join(f"--species {shlex.quote(f'{name}=leg')}" for name in plan.species_asked)
        lines.append(f"First say where these wear bands (leg, tibia, wing or none), as in: {words}")
    others = [one.say for one in plan.pressing if one.kind in ("run", "exhibit")]
    if others:
        lines.append(f"First answer the questions above, such as: {' '.join(others)}")
    return lines
