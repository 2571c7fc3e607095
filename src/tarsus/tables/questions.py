"""What a file can be taken for in two ways, asked once a file with every way it can be taken."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from tarsus.core.marks.noted import UndecidedLetter
from tarsus.core.marks.runs import UndecidedRun
from tarsus.tables.known import RegisterKnown, Writing, loose_key, name_key
from tarsus.tables.rows import Row

Kind = Literal["letter", "run", "exhibit", "species", "dates", "cell", "once"]
_WHERE: Final = (("leg",), ("tibia",), ("wing",), ("none",))
_DATE_ORDERS: Final = (("day first",), ("month first",))
_SHOWN: Final = 3


@dataclass(frozen=True, slots=True)
class Question:
    """One question of a file.

    `about` is the letter, run, spelling, species or piece of a cell it is about; `lines` are held up by it;
    `say` is how a command answers with a proposal. While a `pressing` question is open nothing of the file
    goes in; one that is not leaves its lines refused (a hatch date: without its day), the others go in.
    """

    kind: Kind
    field: str
    about: str
    text: str
    lines: tuple[int, ...]
    proposals: tuple[tuple[str, ...], ...]
    say: str
    pressing: bool = True


def letter_questions(asked: Iterable[tuple[int, UndecidedLetter]]) -> list[Question]:
    """Which colour a letter is, where several claim it."""
    lines: dict[str, list[int]] = {}
    bands: dict[str, tuple[str, ...]] = {}
    for line, one in asked:
        lines.setdefault(one.letter.upper(), []).append(line)
        bands[one.letter.upper()] = one.claimants
    return [
        Question(
            "letter",
            "marks",
            letter,
            f"Which colour is {letter}?",
            _each_once(lines[letter]),
            tuple((band,) for band in bands[letter]),
            f"--letters {letter}={bands[letter][0]}",
        )
        for letter in sorted(lines)
    ]


def run_questions(asked: Iterable[tuple[int, UndecidedRun]]) -> list[Question]:
    """What a run of letters stands for, where it may be an abbreviated colour or a band a letter."""
    lines: dict[str, list[int]] = {}
    first: dict[str, UndecidedRun] = {}
    for line, one in asked:
        lines.setdefault(one.run.casefold(), []).append(line)
        first.setdefault(one.run.casefold(), one)
    return [
        Question(
            "run",
            "marks",
            one.run,
            f"What does '{one.run}' stand for?",
            _each_once(lines[key]),
            one.proposals,
            f"--read {one.run}={','.join(one.proposals[-1])}",
        )
        for key, one in first.items()
    ]


def exhibit_questions(
    named: Iterable[tuple[int, str]], known: RegisterKnown, writing: Writing
) -> list[Question]:
    """Whether names of exhibits that differ in case, an article or punctuation only are one exhibit.

    Args:
        named: line and exhibit as it is written there.
        known: the register, whose exhibits count among them; one that differs in case alone is meant.
        writing: spellings that were answered are asked no more.
    """
    there = {name_key(name): name for name in known.exhibits}
    spelt: dict[str, dict[str, list[int]]] = {}
    for line, text in named:
        if text and name_key(text) not in there and text not in writing.exhibits:
            spelt.setdefault(loose_key(text), {}).setdefault(text, []).append(line)
    alike = {loose_key(name): name for name in known.exhibits}
    answered = {loose_key(name): name for name in writing.exhibits.values()}
    questions = []
    for key, spellings in spelt.items():
        settled = alike.get(key) or answered.get(key)
        if settled in spellings and len(spellings) == 1:
            continue
        if settled is None and len(spellings) < 2:
            continue
        # The commonest spelling is proposed first; of several as common the first.
        one = settled or max(spellings, key=lambda name: len(spellings[name]))
        names = tuple(dict.fromkeys((*([settled] if settled else []), *spellings)))
        say = " ".join(f'--same "{name}={one}"' for name in spellings if name != one)
        questions.append(
            Question(
                "exhibit",
                "exhibit",
                key,
                f"Are {' and '.join(repr(name) for name in names)} one exhibit?",
                _each_once(line for lines in spellings.values() for line in lines),
                ((one,), names),
                say,
            )
        )
    return questions


def species_questions(asked: Sequence[str], rows: Iterable[Row], heading: str) -> list[Question]:
    """Where the birds of a new species wear bands."""
    lines: dict[str, list[int]] = {name_key(name): [] for name in asked}
    for row in rows:
        key = name_key(row.as_mapping().get(heading, ""))
        if key in lines:
            lines[key].append(row.line)
    return [
        Question(
            "species",
            "species",
            name,
            f"Where do birds of the species '{name}' wear bands?",
            _each_once(lines[name_key(name)]),
            _WHERE,
            f'--species "{name}=leg"',
        )
        for name in asked
    ]


def date_question(lines: Mapping[int, str], field: str) -> list[Question]:
    """Which way round a file writes its dates, where the dates themselves do not tell."""
    if not lines:
        return []
    texts = list(dict.fromkeys(lines.values()))
    said = ", ".join(texts[:_SHOWN])
    text = f"Which way round are dates such as {said} written?"
    return [
        Question(
            "dates", field, texts[0], text, tuple(sorted(lines)), _DATE_ORDERS, "--dates day-first", False
        )
    ]


def _each_once(lines: Iterable[int]) -> tuple[int, ...]:
    return tuple(sorted(set(lines)))
