"""What would become of every line of a file if it were brought in now."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from tarsus.tables.bird_lines import BirdLine, LineRead, read_line
from tarsus.tables.bird_remarks import remarks_on
from tarsus.tables.columns import Columns
from tarsus.tables.crosschecks import cross_check
from tarsus.tables.dates import SlashOrder, slash_order
from tarsus.tables.kin import KinRef, find_kin
from tarsus.tables.known import RegisterKnown, Writing, name_key
from tarsus.tables.park_words import languages_of
from tarsus.tables.questions import (
    Question,
    date_question,
    exhibit_questions,
    letter_questions,
    run_questions,
    species_questions,
)
from tarsus.tables.rows import Refusal, Remark, Row, Sheet
from tarsus.tables.said_cells import cell_questions, cells_said

_DATES = ("hatched", "since", "arrived", "banded", "died", "departed")


@dataclass(frozen=True)
class ImportPlan:
    """Every line once: birds that would go in, lines refused, and lines that went in before.

    `letters_asked` maps each letter that must be asked for to the colours that claim it; `kin` holds the dam,
    sire and mate of a line (by line and word) where they are found in the file or in the register. Lines that
    a run of letters or an exhibit's name holds up (`held_up`) are in `questions` alone until it is answered.
    """

    birds: tuple[BirdLine, ...]
    refused: tuple[Refusal, ...]
    refused_rows: tuple[Row, ...]
    remarks: tuple[Remark, ...]
    in_before: tuple[int, ...]
    letters_asked: Mapping[str, tuple[str, ...]]
    species_asked: tuple[str, ...]
    new_exhibits: tuple[str, ...]
    kin: Mapping[tuple[int, str], KinRef]
    questions: tuple[Question, ...] = ()
    held_up: tuple[int, ...] = ()

    @property
    def pressing(self) -> tuple[Question, ...]:
        """The questions that must be answered before anything goes in."""
        return tuple(question for question in self.questions if question.pressing)

    @property
    def new_species(self) -> tuple[str, ...]:
        """Species that the register would learn of, in the order of the file."""
        return tuple(dict.fromkeys(bird.species.name for bird in self.birds if bird.species.is_new))


def plan_import(
    sheet: Sheet,
    columns: Columns,
    writing: Writing,
    known: RegisterKnown,
    progress: Callable[[int], None] = lambda _: None,
) -> ImportPlan:
    """Say for every line whether it goes in, and why not.

    Args:
        sheet: the table.
        columns: which heading is which field.
        writing: how the file is written; where it does not say which way round dates go, the file's own tell.
        known: the register.
        progress: hears 1 for each line that was read.

    Returns:
        The plan. Lines of the sheet are all in it: `birds`, `refused_rows` and `in_before`.
    """
    if not writing.slashes:
        writing = replace(writing, slashes=_slashes(sheet, columns))
    writing = replace(writing, languages=languages_of(sheet.headings))
    read: list[LineRead] = []
    for row in sheet.rows:
        read.append(read_line(row, columns, writing, known))
        progress(1)
    names = exhibit_questions(((one.row.line, one.exhibit) for one in read), known, writing)
    runs = run_questions((one.row.line, run) for one in read for run in one.runs)
    held = {line for question in (*names, *runs) for line in question.lines}
    held -= {one.row.line for one in read if one.refusals}
    by_itself = [one.bird for one in read if one.bird is not None and one.row.line not in held]
    before = [bird.line for bird in by_itself if bird.digest in known.rows_in]
    fresh = [bird for bird in by_itself if bird.digest not in known.rows_in]

    def heading(field: str) -> str:
        return columns.by_field.get(field, field)

    good, against, alike = cross_check(fresh, known, heading)
    refused = sorted([*(one for line in read for one in line.refusals), *against], key=lambda one: one.line)
    bad = {one.line for one in refused}
    going_in = {bird.line for bird in good}
    kin, kin_remarks = find_kin(good, known, heading)
    remarks = [one for line in read for one in line.remarks if line.row.line in going_in] + kin_remarks
    remarks += [one for bird in good for one in remarks_on(bird, known)] + alike
    species_asked = _species_asked(read, columns, writing, known)
    questions = [
        *letter_questions((one.row.line, letter) for one in read for letter in one.asked),
        *runs,
        *names,
        *species_questions(species_asked, sheet.rows, columns.by_field.get("species", "")),
        *_dates_asked(one for one in read if one.row.line not in before),
        *cell_questions(
            ((one.row.line, cell) for one in read if one.row.line not in before for cell in one.cells_asked),
            known,
            writing,
        ),
    ]
    return ImportPlan(
        birds=tuple(good),
        refused=tuple(refused),
        refused_rows=tuple(row for row in sheet.rows if row.line in bad),
        remarks=tuple(sorted([*remarks, *sheet.passed_over], key=lambda one: one.line)),
        in_before=tuple(before),
        letters_asked=_letters_asked(read),
        species_asked=species_asked,
        kin=kin,
        new_exhibits=tuple(dict.fromkeys(bird.exhibit for bird in good if bird.new_exhibit)),
        questions=tuple(questions),
        held_up=tuple(sorted(held)),
    )


def _dates_asked(read: Iterable[LineRead]) -> list[Question]:
    asked = [(one.row.line, *date) for one in read for date in one.dates_asked]
    return date_question({line: text for line, _, text in asked}, asked[0][1] if asked else "")


def _slashes(sheet: Sheet, columns: Columns) -> SlashOrder:
    headings = [columns.by_field[field] for field in _DATES if field in columns.by_field]
    return slash_order(row.as_mapping()[heading] for row in sheet.rows for heading in headings)


def _letters_asked(read: list[LineRead]) -> dict[str, tuple[str, ...]]:
    asked = {one.letter.upper(): one.claimants for line in read for one in line.asked}
    return dict(sorted(asked.items()))


def _species_asked(
    read: list[LineRead], columns: Columns, writing: Writing, known: RegisterKnown
) -> tuple[str, ...]:
    """Species that are named, not known, and not nearly known: where they are banded must be said."""
    heading = columns.by_field.get("species", "")
    spoken_for = {name_key(one.name) for one in known.species} | {name_key(name) for name in writing.forms}
    asked: dict[str, str] = {}
    for line in read:
        text = cells_said(line.row, columns, writing.cells)[0].get(heading, "").strip()
        unknown = any(one.field == heading and "not known yet" in one.reason for one in line.refusals)
        if text and unknown and name_key(text) not in spoken_for:
            asked.setdefault(name_key(text), text)
    return tuple(asked.values())
