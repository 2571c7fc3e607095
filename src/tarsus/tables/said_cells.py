"""Cells that were not understood: asked once for all that are alike, and read as was said from then on."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from tarsus.core.marks.marks import METAL
from tarsus.core.marks.notation import NOT_A_WORD, NOT_READ
from tarsus.tables.columns import SITES_OF, Columns
from tarsus.tables.known import RegisterKnown, Writing, name_key
from tarsus.tables.list_kinds import TICK
from tarsus.tables.park_words import bounded, folded_word, spellings
from tarsus.tables.questions import Question
from tarsus.tables.rows import Row

Said = Mapping[str, Mapping[str, str]]
"""What was said of cells: by subject (a field, or `marks` for all of bands) what is meant by a text."""

MARKS: Final = "marks"
NOT_KNOWN: Final = "-"
"""Said where nothing is known; what stood in the cell stays in the bird's note."""
_MARK_FIELDS: Final = (MARKS, "left", "right", *SITES_OF)
_DAYS: Final = ("hatched", "since", "arrived", "banded", "died", "departed")
_MAY_BE_UNKNOWN: Final = ("sex", "sex known by", "origin", "hatched", "since", "arrived", "banded")
_SEXES: Final = ("F", "M", "?")
_NEAR: Final = 0.5
_YEAR: Final = re.compile(r"\b(?:19|20)\d\d\b")
_DAY: Final = re.compile(r"\b\d{1,2}\s?[./-]\s?(\d{1,2})\s?[./-]\s?((?:19|20)\d\d)\b")


@dataclass(frozen=True, slots=True)
class CellAsked:
    """A cell that was not understood: its subject, the piece of it that is to blame, and why."""

    subject: str
    part: str
    reason: str


def asked_of(field: str, text: str, part: str, reason: str) -> CellAsked | None:
    """What to ask of a cell; nothing where it was answered, or the answer could hold for this bird alone."""
    subject = MARKS if field in _MARK_FIELDS else field
    if subject != MARKS:
        return CellAsked(subject, text, reason)
    if reason == NOT_READ or any(letter.isdigit() for letter in part):
        return None
    # *Over* or *and* out of place is a fault of this cell alone; a word that is unknown is so in all.
    word = reason in NOT_A_WORD and any(letter.isalpha() for letter in part) and _found(part).search(text)
    return CellAsked(subject, part if word else text, reason)


def cells_said(row: Row, columns: Columns, said: Said) -> tuple[dict[str, str], list[str]]:
    """The cells of a row as they are meant, by heading, and what was written where nothing is known."""
    cells, unknown = dict(row.cells), []
    for field, heading in columns.by_field.items():
        text = cells.get(heading, "")
        answers = said.get(MARKS if field in _MARK_FIELDS else field)
        if not text or not answers:
            continue
        cells[heading] = meant(text, answers, within=field in _MARK_FIELDS)
        if cells[heading] == NOT_KNOWN and field in _MAY_BE_UNKNOWN:
            unknown.append(f"{field}: {text}")
    return cells, unknown


def is_within(subject: str, part: str, heading: str, row: Row, columns: Columns) -> bool:
    """Whether a cell of a row is one that was asked about, by its subject and the piece of it."""
    field = dict(columns.columns).get(heading, "")
    text = row.as_mapping().get(heading, "")
    if subject == TICK:
        return field == subject and folded_word(part) == folded_word(text)
    if subject != MARKS:
        return field == subject
    return field in _MARK_FIELDS and (
        folded_word(part) == folded_word(text) or bool(_found(part).search(text))
    )


def meant(text: str, answers: Mapping[str, str], *, within: bool) -> str:
    """A cell as it is meant; `within` says that a piece of it may have been asked about."""
    by_text = {folded_word(one): instead for one, instead in answers.items()}
    whole = by_text.get(folded_word(text))
    if whole is not None:
        return whole
    if not within:
        return text
    # All at once: what was put in for one is not asked about again for another.
    parts = "|".join(bounded(part) for part in sorted(answers, key=len, reverse=True))
    return re.sub(
        parts, lambda found: by_text.get(folded_word(found[0]), found[0]), text, flags=re.IGNORECASE
    )


def _found(part: str) -> re.Pattern[str]:
    return re.compile(bounded(part), re.IGNORECASE)


def cell_questions(
    asked: Iterable[tuple[int, CellAsked]], known: RegisterKnown, writing: Writing
) -> list[Question]:
    """What each cell that was not understood means, once for all that are alike.

    Args:
        asked: line and cell.
        known: the register, whose names and colours are proposed.
        writing: its new species are proposed as well.
    """
    lines: dict[tuple[str, str], list[int]] = {}
    first: dict[tuple[str, str], CellAsked] = {}
    for line, one in asked:
        key = (one.subject, folded_word(one.part))
        lines.setdefault(key, []).append(line)
        first.setdefault(key, one)
    return [
        Question(
            "cell",
            one.subject,
            one.part,
            f"'{one.part}' {one.reason}. What is meant?",
            tuple(sorted(set(lines[key]))),
            (proposals := tuple((way,) for way in _proposals(one, known, writing))),
            f'--cell "{one.subject}:{one.part}={proposals[0][0] if proposals else "..."}"',
            pressing=False,
        )
        for key, one in first.items()
    ]


def _proposals(one: CellAsked, known: RegisterKnown, writing: Writing) -> tuple[str, ...]:
    propose = _PROPOSED.get(one.subject)
    found = propose(one.part, known, writing) if propose else ()
    return (*found, NOT_KNOWN) if one.subject in _MAY_BE_UNKNOWN and one.subject != "sex" else found


def _near(text: str, names: Iterable[str]) -> tuple[str, ...]:
    by_key = {name_key(name): name for name in names}
    return tuple(by_key[key] for key in difflib.get_close_matches(name_key(text), by_key, n=3, cutoff=_NEAR))


def _colours(text: str, known: RegisterKnown) -> tuple[str, ...]:
    """Of a single word, the colours it is nearest to; a whole cell has bands that none may replace."""
    return _near(text, (*known.palette.names, METAL)) if text.isalpha() else ()


def _days(text: str) -> tuple[str, ...]:
    """Of a day that is none, the month and the year that it names."""
    month = _DAY.search(text)
    months = [f"{month[2]}-{int(month[1]):02}"] if month and 1 <= int(month[1]) <= 12 else []
    return (*months, *_YEAR.findall(text)[:1])


_Propose = Callable[[str, RegisterKnown, Writing], tuple[str, ...]]
_PROPOSED: Final[Mapping[str, _Propose]] = {
    MARKS: lambda text, known, _: _colours(text, known),
    "species": lambda text, known, writing: _near(text, (*(s.name for s in known.species), *writing.forms)),
    "exhibit": lambda text, known, _: (*_near(text, known.exhibits), text),
    "sex": lambda _text, _known, _writing: _SEXES,
    "sex known by": lambda text, _known, _writing: _near(text, {*spellings("sex_known_by").values()}),
    "origin": lambda _text, _known, _writing: tuple(sorted({*spellings("origins").values()} - {"unknown"})),
    **dict.fromkeys(_DAYS, lambda text, _known, _writing: _days(text)),
}
