"""The marks of one row: from one column for all, from a column a side or a site, and its metal number."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Final

from tarsus.core.errors import MalformedInput
from tarsus.core.marks.notation import parse_marks, parse_site, undecided_runs
from tarsus.core.marks.noted import NotedBand, NotedMarks, UnclearMarks
from tarsus.core.marks.runs import UndecidedRun
from tarsus.core.marks.shorthand import Notation
from tarsus.tables.columns import SITES_OF
from tarsus.tables.known import engraving_key
from tarsus.tables.park_words import in_our_words

_LONGEST_ENGRAVING: Final = 30
_NO_NUMBER: Final = ("", "-", "?", "none", "unknown", "no")


class UndecidedRuns(MalformedInput):
    """Runs of letters of one row that have to be asked about."""

    def __init__(self, runs: Iterable[UndecidedRun]) -> None:
        self.runs = tuple(runs)
        super().__init__("marks", "; ".join(run.message for run in self.runs))


def marks_of_row(cells: Mapping[str, str], columns: Mapping[str, str], notation: Notation) -> NotedMarks:
    """All that a row says of a bird's bands.

    Args:
        cells: text by heading.
        columns: heading by field.
        notation: how this park writes marks of this species.

    Returns:
        The noted marks; nothing noted where no column says anything.

    Raises:
        UndecidedRuns: runs of letters that can be taken in two ways.
        UnclearMarks: with the field as its place.
    """
    texts = _texts(cells, columns, notation)
    asked = [run for text in texts.values() for run in _asked_of(text, notation)]
    if asked:
        raise UndecidedRuns(asked)
    found: dict[str, tuple[NotedBand, ...]] = {}
    for field, noted in _columns_read(texts, notation):
        for site, bands in noted.sites:
            if site in found and found[site] != bands:
                raise UnclearMarks(
                    cells[columns[field]],
                    f"says otherwise of the {site} than another column",
                    "keep one of the two",
                    field,
                )
            found[site] = bands
    marks = NotedMarks.of(found)
    number = cells.get(columns.get("metal", ""), "").strip()
    return marks if number.casefold() in _NO_NUMBER else _with_number(marks, number)


def _texts(cells: Mapping[str, str], columns: Mapping[str, str], notation: Notation) -> dict[str, str]:
    """What each column of marks says, sides and colours of other languages in our words.

    Where the file tells the marks in words beside the letters, as an export does, the words are read: a run
    of letters is then beyond doubt.
    """
    fields = ("marks", "left", "right", *SITES_OF)
    texts = {field: cells.get(columns.get(field, ""), "") for field in fields}
    words, letters = cells.get(columns.get("marks in words", ""), ""), texts["marks"]
    if words and letters:
        as_letters = replace(notation, runs=None)
        if parse_marks(words, as_letters).as_marks() != parse_marks(letters, as_letters).as_marks():
            reason = f"says otherwise than the marks in words, {words}"
            raise UnclearMarks(letters, reason, "keep one of the two", "marks")
        texts["marks"] = words
    names = notation.palette.names
    return {field: in_our_words(text, notation.lettering, names) for field, text in texts.items() if text}


def _asked_of(text: str, notation: Notation) -> tuple[UndecidedRun, ...]:
    try:
        return undecided_runs(text, notation)
    except UnclearMarks:
        return ()  # the refusal comes when it is read


def _columns_read(texts: Mapping[str, str], notation: Notation) -> list[tuple[str, NotedMarks]]:
    sites = {"left": f"left {notation.level}", "right": f"right {notation.level}", **SITES_OF}
    read = []
    for field, text in texts.items():
        try:
            whole = field == "marks"
            noted = parse_marks(text, notation) if whole else parse_site(text, sites[field], notation)
            noted.as_marks()
        except MalformedInput as refusal:
            refusal.place = field
            raise
        read.append((field, noted))
    return read


def _with_number(marks: NotedMarks, number: str) -> NotedMarks:
    """The marks with a metal number from its own column on the band it belongs to.

    Raises:
        UnclearMarks: no metal band is noted, several are, or the one there has another number.
    """
    if len(number) > _LONGEST_ENGRAVING:
        raise UnclearMarks(number, "is too long for an engraving", "write the number alone", "metal")
    metals = marks.metals()
    if any(engraving_key(band.engraving) == engraving_key(number) for _, band in metals):
        return marks
    unnumbered = [(site, band) for site, band in metals if not band.engraving]
    if not metals:
        raise UnclearMarks(
            number,
            "is a metal number, and the marks show no metal band",
            "write m on its side, as in 'm/-'",
            "metal",
        )
    if len(unnumbered) != 1:
        said = " and ".join(band.engraving for _, band in metals if band.engraving)
        reason = f"is another number than {said} in the marks" if said else "may belong to either metal band"
        raise UnclearMarks(number, reason, f"write it behind its band, as in 'm({number})'", "metal")
    ((site, band),) = unnumbered
    numbered = replace(band, engraving=" ".join(number.split()))
    stack = [numbered if one is band else one for one in marks.at(site) or ()]
    return NotedMarks.of({**dict(marks.sites), site: stack})
