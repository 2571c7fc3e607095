"""Lines against each other and against the register: one number twice, one bird twice, two birds alike."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from tarsus.core.marks.marks import Marks
from tarsus.core.marks.wording import in_words
from tarsus.tables.bird_lines import BirdLine
from tarsus.tables.known import LEVELS, RegisterKnown, engraving_key, loose_key, name_key, nearly
from tarsus.tables.rows import Refusal, Remark

_NAMED: Final = 3


@dataclass
class _Taken:
    """Numbers and names that are spoken for, each with whose it is."""

    metals: dict[str, str]
    transponders: dict[str, str]
    numbers: dict[str, str]
    names: dict[tuple[str, str], str]
    marks: dict[tuple[str, Marks], list[str]] = field(default_factory=dict)
    exhibits: dict[str, str] = field(default_factory=dict)


def _taken(known: RegisterKnown) -> _Taken:
    here = "in the register"
    taken = _Taken(
        metals={key: f"{whose}, {here}" for key, whose in known.metals.items()},
        transponders={number: f"{whose}, {here}" for number, whose in known.transponders.items()},
        numbers={name_key(bird.number): f"{bird.name}, {here}" for bird in known.birds if bird.number},
        names={
            (bird.species, name_key(bird.name)): f"{bird.number or 'a bird without a number'}, {here}"
            for bird in known.birds
            if bird.name
        },
    )
    for bird in known.birds:
        if bird.marks.sites:
            taken.marks.setdefault((bird.lookalike, bird.marks), []).append(f"{bird.name}, {here}")
    return taken


def cross_check(
    birds: Iterable[BirdLine], known: RegisterKnown, heading: Callable[[str], str]
) -> tuple[list[BirdLine], list[Refusal], list[Remark]]:
    """Hold every line against those above it and against the register.

    Args:
        birds: lines that can go in by themselves, in the file's order.
        known: the register.
        heading: the park's own heading of a field, for refusals.

    Returns:
        Lines that still go in; refusals, each naming the other line or bird; remarks on look-alikes.
    """
    taken = _taken(known)
    good: list[BirdLine] = []
    refused: list[Refusal] = []
    remarks: list[Remark] = []
    for bird in birds:
        against = [
            Refusal(bird.line, heading(field), reason, remedy, bird.sheet)
            for field, reason, remedy in _objections(bird, taken)
        ]
        if against:
            refused += against
            continue
        good.append(bird)
        remarks += [Remark(bird.line, heading("marks"), text, bird.sheet) for text in _alike(bird, taken)]
        _take(bird, taken)
    return good, refused, remarks


def _objections(bird: BirdLine, taken: _Taken) -> Iterator[tuple[str, str, str]]:
    for _, band in bird.marks.metals():
        other = taken.metals.get(engraving_key(band.engraving)) if band.engraving else None
        if other:
            yield (
                "metal",
                f"metal number {band.engraving} is worn by {other}",
                "read the band again and mend one",
            )
    if other := taken.transponders.get(bird.transponder):
        yield (
            "transponder",
            f"transponder {bird.transponder} is that of {other}",
            "read the chip again and mend one",
        )
    if bird.number and (other := taken.numbers.get(name_key(bird.number))):
        yield "number", f"number {bird.number} is that of {other}", "give each bird its own number"
    same = taken.names.get((bird.species.name, name_key(bird.name))) if bird.name and bird.living else None
    if same and not bird.number and not any(band.engraving for _, band in bird.marks.metals()):
        yield (
            "name",
            f"a {bird.species.name} called {bird.name} is there already: {same}",
            "leave the line out if it is the same bird, otherwise write a number or a metal number",
        )
    near = _mistyped_exhibit(bird, taken)
    if near:
        yield "exhibit", f"'{bird.exhibit}' is nearly '{near}' of another line", "write both the same way"


def _mistyped_exhibit(bird: BirdLine, taken: _Taken) -> str:
    if not bird.new_exhibit or name_key(bird.exhibit) in taken.exhibits:
        return ""
    near = nearly(bird.exhibit, taken.exhibits.values())
    # Alike but for case, an article or punctuation: that was asked, and answered.
    return "" if loose_key(near) == loose_key(bird.exhibit) else near


def _alike(bird: BirdLine, taken: _Taken) -> Iterator[str]:
    """Whom a bird cannot be told from, in one remark however many there are."""
    marks = bird.marks.as_marks() if bird.living else Marks()
    others = taken.marks.get((bird.species.lookalike, marks), []) if marks.sites else []
    if others:
        named = " and ".join(others[:_NAMED])
        more = f" and {len(others) - _NAMED} more" if len(others) > _NAMED else ""
        told = in_words(marks, LEVELS[bird.species.form])
        yield f"wears the same marks as {named}{more}: {told}"


def _take(bird: BirdLine, taken: _Taken) -> None:
    whose = f"{bird.called} of line {bird.line}"
    for _, band in bird.marks.metals():
        if band.engraving:
            taken.metals.setdefault(engraving_key(band.engraving), whose)
    if bird.transponder:
        taken.transponders.setdefault(bird.transponder, whose)
    if bird.number:
        taken.numbers.setdefault(name_key(bird.number), whose)
    if bird.name and bird.living:
        taken.names.setdefault((bird.species.name, name_key(bird.name)), f"line {bird.line}")
    taken.exhibits.setdefault(name_key(bird.exhibit), bird.exhibit)
    marks = bird.marks.as_marks()
    if marks.sites and bird.living:
        taken.marks.setdefault((bird.species.lookalike, marks), []).append(whose)
