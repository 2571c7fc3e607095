"""A laboratory's list of results: the number on each tube, and what was found in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tarsus.tables.columns import folded
from tarsus.tables.reading import read_table
from tarsus.tables.rows import Row, UnreadableTable
from tarsus.tables.vocabulary import UnclearWord, read_sex

SAMPLE_HEADINGS: Final = (
    *("sample", "sample no", "sample nr", "sample number", "sample id", "sample label", "label", "tube"),
    *("tube no", "tube number", "our ref", "your ref", "your reference", "customer ref", "client ref"),
    *("reference", "ref", "id", "no", "number"),
)
"""What a column of sample numbers is headed with, the surest first (common practice)."""
RESULT_HEADINGS: Final = ("result", "sex", "dna sex", "dna result", "result sex", "finding", "gender")
"""What a column of results is headed with, the surest first (common practice)."""

CHROMOSOMES: Final = {"zz": "M", "zw": "F", "wz": "F"}
"""In birds a female has two sex chromosomes that differ, Z and W, and a male two Z.

Source: Griffiths R, Double MC, Orr K, Dawson RJG (1998) A DNA test to sex most birds. Molecular Ecology 7,
1071-1075 (value from memory).
"""
NO_ANSWER: Final = frozenset(
    {
        "",
        "-",
        "failed",
        "fail",
        "no result",
        "none",
        "inconclusive",
        "repeat",
        "no dna",
        "not enough dna",
        "n/a",
    }
)


@dataclass(frozen=True, slots=True)
class ResultLine:
    """One line of the list. `sex` is ``F`` or ``M``, empty where the laboratory got no answer.

    `trouble` says what is wrong with a line that cannot be taken.
    """

    line: int
    label: str
    said: str
    sex: str
    trouble: str = ""


def label_key(label: str) -> str:
    """A sample's number as it is compared: without case and blanks."""
    return "".join(label.split()).casefold()


def read_results(contents: bytes, name: str) -> tuple[ResultLine, ...]:
    """The results in a laboratory's file, line by line.

    Args:
        contents: the file as it came: XLSX, or text with commas, semicolons, tabs or bars.
        name: its name, for refusals.

    Raises:
        UnreadableTable: no such table, or one without a column of sample numbers or of results.
    """
    known = {folded(word) for word in (*SAMPLE_HEADINGS, *RESULT_HEADINGS)}
    sheet = read_table(contents, name, lambda heading: folded(heading) in known)
    sample = _column(sheet.headings, SAMPLE_HEADINGS)
    result = _column(sheet.headings, RESULT_HEADINGS)
    if not sample or not result:
        missing = "sample numbers, headed: sample" if not sample else "results, headed: result"
        raise UnreadableTable(name, f"has no column of {missing}; name it in the line of headings")
    return tuple(line for row in sheet.rows if (line := _line(row, sample, result)) is not None)


def _column(headings: tuple[str, ...], words: tuple[str, ...]) -> str:
    by_word = {folded(heading): heading for heading in reversed(headings)}
    return next((by_word[folded(word)] for word in words if folded(word) in by_word), "")


def _line(row: Row, sample: str, result: str) -> ResultLine | None:
    cells = row.as_mapping()
    label, said = cells.get(sample, "").strip(), cells.get(result, "").strip()
    if not label:
        return ResultLine(row.line, "", said, "", "has a result and no sample number") if said else None
    if len(label) > 60:
        return ResultLine(row.line, label[:60], said, "", "has a sample number of more than 60 characters")
    word = " ".join(said.casefold().split())
    if word in NO_ANSWER:
        return ResultLine(row.line, label, said, "")
    if word in CHROMOSOMES:
        return ResultLine(row.line, label, said, CHROMOSOMES[word])
    try:
        sex = read_sex(said)
    except UnclearWord as reason:
        return ResultLine(row.line, label, said, "", f"'{said}' {reason.reason}; {reason.remedy}")
    return ResultLine(row.line, label, said, "" if sex == "U" else sex)
