"""What the form of the import page says about a file, and the choices it offers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from django.http import QueryDict

from tarsus.tables.choices import FORMS, Choices
from tarsus.tables.columns import FIELDS, NOT_BROUGHT_IN, Columns
from tarsus.tables.import_plan import ImportPlan
from tarsus.tables.list_asked import ListPlan
from tarsus.tables.questions import Question
from tarsus.tables.rows import Refusal, Sheet
from tarsus.tables.said_cells import MARKS, NOT_KNOWN, is_within
from tarsus.web.import_draft import Draft

_OWN: Final = "own"
_LINES: Final = 8
APART: Final = "apart:"
"""Sent where spellings are to stay exhibits of their own."""
WHERE: Final = (
    ("", "not said yet"),
    ("leg", "on the leg, below the joint"),
    ("tibia", "on the leg, above the joint"),
    ("wing", "on the wing"),
    ("none", "not banded: told by natural marks"),
)
LETTERS: Final = (
    ("", "not said: ask where a letter may be several colours"),
    ("park", "this park's own letters, as in Settings"),
    (
        "wader",
        "the published letters of wader ringers (N black, B blue, P pale blue, S grey, U brown, V purple)",
    ),
    (_OWN, "letters of this file's own"),
)
DATES: Final = (("", "as the file itself shows"), ("day first", "day first"), ("month first", "month first"))


@dataclass(frozen=True)
class ColumnAsked:
    """One column of the file, the field it is read for, and what stands in its first lines."""

    place: int
    heading: str
    field: str
    seen: str


@dataclass(frozen=True)
class QuestionShown:
    """One question with its proposals: each a value to send and its words, from the body outward."""

    number: int
    about: str
    text: str
    lines: str
    ways: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True)
class CellInPlace:
    """A cell that was not understood, where it stands: the filled cells of the first line that has it."""

    number: int
    key: str
    heading: str
    text: str
    lines: str
    line: int
    cells: tuple[tuple[str, str, bool], ...]
    ways: tuple[tuple[str, str], ...]
    is_marks: bool


@dataclass(frozen=True)
class LetterAsked:
    """One letter of the file's own, and the colour that was chosen for it."""

    letter: str
    claimants: tuple[str, ...]
    chosen: str


def said_of(draft: Draft, headings: Iterable[str], form: QueryDict) -> Draft:
    """The draft with what the form says: columns by place, letters, new species and the rest."""
    columns = {heading: form.get(f"column-{place}", NOT_BROUGHT_IN) for place, heading in enumerate(headings)}
    letters = form.get("letters", "")
    if letters == _OWN:
        pairs = _named(form, "letter-")
        letters = ",".join(f"{letter}={band}" for letter, band in pairs.items() if band)
    wheres, names = _named(form, "where-"), _named(form, "species-")
    species = {names[key]: where for key, where in wheres.items() if where in FORMS and names.get(key)}
    again = set(form.getlist("ask-again"))
    choices = replace(
        draft.choices,
        letters=letters,
        runs={
            run: bands
            for run, bands in {**draft.choices.runs, **_runs_said(form)}.items()
            if f"run:{run}" not in again
        },
        exhibits={
            spelling: name
            for spelling, name in {**draft.choices.exhibits, **_exhibits_said(form)}.items()
            if f"exhibit:{spelling}" not in again
        },
        cells=cells_said(draft.choices, form, again),
        small_letters="small_letters" in form,
        slashes=form.get("slashes", ""),
        t_means=form.get("t_means", ""),
        southern="southern" in form,
        exhibit=form.get("exhibit", "").strip(),
        species={**draft.choices.species, **species},
    )
    return replace(draft, columns=columns, choices=choices, sheet=form.get("sheet", draft.sheet))


def _runs_said(form: QueryDict) -> dict[str, str]:
    """What was said of runs of letters: the run, and its bands with commas between."""
    bands, runs = _named(form, "run-is-"), _named(form, "run-")
    return {runs[key]: said for key, said in bands.items() if said and runs.get(key)}


def _exhibits_said(form: QueryDict) -> dict[str, str]:
    """Which exhibit each spelling is: the one that was chosen, or itself where they are to stay apart."""
    said: dict[str, str] = {}
    for key, chosen in _named(form, "exhibit-is-").items():
        if chosen:
            for spelling in form.getlist(f"spelling-{key}"):
                said[spelling] = spelling if chosen == APART else chosen
    return said


def cells_said(choices: Choices, form: QueryDict, again: set[str]) -> dict[str, dict[str, str]]:
    """What was said of cells that were not understood: chosen, or typed, before and now."""
    said = {subject: dict(answers) for subject, answers in choices.cells.items()}
    chosen, typed, keys = _named(form, "cell-is-"), _named(form, "cell-typed-"), _named(form, "cell-key-")
    for number, key in keys.items():
        subject, _, part = key.partition(":")
        instead = typed.get(number, "").strip() or chosen.get(number, "")
        if instead and part:
            said.setdefault(subject, {})[part] = instead
    return {
        subject: {part: instead for part, instead in answers.items() if f"cell:{subject}:{part}" not in again}
        for subject, answers in said.items()
    }


def cells_in_place(plan: ImportPlan | ListPlan, sheet: Sheet, columns: Columns) -> list[CellInPlace]:
    """The cells that were not understood, each in the first line that has it, with its proposals."""
    rows = {row.line: row for row in sheet.rows}
    shown = []
    for number, one in enumerate(plan.questions):
        if one.kind != "cell":
            continue
        row = rows[one.lines[0]]
        read = {heading for heading, field in columns.columns if field != NOT_BROUGHT_IN}
        blamed = {heading for heading in read if is_within(one.field, one.about, heading, row, columns)}
        shown.append(
            CellInPlace(
                number,
                f"{one.field}:{one.about}",
                next((head for head, _ in row.cells if head in blamed), one.field),
                one.text,
                ("Line " if len(one.lines) == 1 else "Lines ") + _lines_told(one.lines),
                row.line,
                _beside_its_name(
                    [(head, text, head in blamed) for head, text in row.cells if text and head in read]
                ),
                tuple((way[0], _words_of(way[0], one.field)) for way in one.proposals),
                one.field == MARKS,
            )
        )
    return shown


def asked_in_place(plan: ImportPlan | ListPlan, sheet: Sheet, columns: Columns, most: int) -> set[Refusal]:
    """The refusals of cells that the first `most` questions about cells ask for: told there, line by line."""
    cells = [one for one in plan.questions if one.kind == "cell"][:most]
    rows = {row.line: row for row in sheet.rows}
    by_line: dict[int, list[Question]] = {}
    for one in cells:
        for line in one.lines:
            by_line.setdefault(line, []).append(one)
    return {
        refusal
        for refusal in plan.refused
        for one in by_line.get(refusal.line, ())
        if is_within(one.field, one.about, refusal.field, rows[refusal.line], columns)
    }


def _beside_its_name(cells: list[tuple[str, str, bool]]) -> tuple[tuple[str, str, bool], ...]:
    """The cells of a line with those to blame right after the first, where a phone shows them too."""
    return (*cells[:1], *(one for one in cells[1:] if one[2]), *(one for one in cells[1:] if not one[2]))


def _words_of(way: str, subject: str) -> str:
    if way == NOT_KNOWN:
        return "not known; what stands there goes into its note"
    return {"F": "F, female", "M": "M, male", "?": "not known"}.get(way, way) if subject == "sex" else way


def _lines_told(lines: Sequence[int]) -> str:
    return ", ".join(map(str, lines[:_LINES])) + (" …" if len(lines) > _LINES else "")


def questions_shown(plan: ImportPlan, kind: str) -> list[QuestionShown]:
    """The questions of one kind as the page asks them."""
    return [
        QuestionShown(
            number,
            one.about,
            one.text,
            _lines_told(one.lines),
            tuple((",".join(way), way) for way in one.proposals),
        )
        for number, one in enumerate(plan.questions)
        if one.kind == kind
    ]


def answered(choices: Choices) -> list[tuple[str, str, str]]:
    """What was answered so far: a key to ask it again by, what it is about, what was said."""
    runs = [
        (f"run:{run}", run, "left out" if bands == "-" else " over ".join(bands.split(",")))
        for run, bands in choices.runs.items()
    ]
    cells = [
        (f"cell:{subject}:{part}", f"{subject} {part}", "not known" if instead == NOT_KNOWN else instead)
        for subject, answers in choices.cells.items()
        for part, instead in answers.items()
    ]
    return [*runs, *cells, *((f"exhibit:{name}", name, said) for name, said in choices.exhibits.items())]


def _named(form: QueryDict, prefix: str) -> dict[str, str]:
    return {key.removeprefix(prefix): str(form[key]) for key in form if key.startswith(prefix)}


def columns_asked(columns: Columns, rows: Iterable[Mapping[str, str]]) -> list[ColumnAsked]:
    """The columns as the form shows them, with an example of what stands in each."""
    first = list(rows)
    asked = []
    for place, (heading, field) in enumerate(columns.columns):
        seen = [row[heading] for row in first if row.get(heading)]
        asked.append(ColumnAsked(place, heading, field, ", ".join(dict.fromkeys(seen[:3]))[:60]))
    return asked


def fields_offered() -> list[tuple[str, str]]:
    """Every field a column may be read for, and leaving it out."""
    return [(NOT_BROUGHT_IN, "left out"), *((field, field) for field in FIELDS)]


def letters_chosen(choices: Choices) -> str:
    """Which of `LETTERS` is chosen."""
    return choices.letters if choices.letters in ("", "park", "wader") else _OWN


def letters_asked(plan: ImportPlan, choices: Choices) -> list[LetterAsked]:
    """The letters that the file uses and that are asked for, those already said among them."""
    pairs = choices.letters.split(",") if letters_chosen(choices) == _OWN else []
    said = dict(pair.split("=", 1) for pair in pairs if "=" in pair)
    asked = {**{letter: (band,) for letter, band in said.items()}, **plan.letters_asked}
    return [LetterAsked(letter, bands, said.get(letter, "")) for letter, bands in sorted(asked.items())]
