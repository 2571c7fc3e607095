"""Dams, sires and mates that lines name: found in the file or in the register, or told of as not found."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from typing import Final, Literal

from tarsus.tables.bird_lines import BirdLine
from tarsus.tables.known import RegisterKnown, engraving_key, name_key
from tarsus.tables.rows import Remark

KinRef = tuple[Literal["line", "bird"], int]
"""A bird of a line of this file, or a bird of the register by its id."""

WORDS: Final = ("dam", "sire", "mate")
_SEX_AGAINST: Final = {"dam": "M", "sire": "F"}


def find_kin(
    birds: Sequence[BirdLine], known: RegisterKnown, heading: Callable[[str], str]
) -> tuple[dict[tuple[int, str], KinRef], list[Remark]]:
    """Find the kin that lines name, by number, name or metal number; of several the one of the same species.

    Returns:
        Kin by line and word (dam, sire, mate); and a remark where nobody or several birds are so called: such
        a name is kept as a note.
    """
    named = _named(birds, known)
    found: dict[tuple[int, str], KinRef] = {}
    remarks: list[Remark] = []
    for bird in birds:
        for word in WORDS:
            text = getattr(bird, word)
            if not text or text == "?":
                continue
            refs = [ref for ref in _candidates(named, bird, text) if ref[0] != ("line", bird.line)]
            right = [ref for ref, sex in refs if sex != _SEX_AGAINST.get(word)]
            if len(right) == 1:
                found[bird.line, word] = right[0]
            else:
                said = f"{_why_not(word, refs, right)} called '{text}'; kept as a note"
                remarks.append(Remark(bird.line, heading(word), said, bird.sheet))
    return found, remarks


def _why_not(word: str, refs: Sequence[object], right: Sequence[object]) -> str:
    if right:
        return "several birds are"
    if refs:
        return f"no {'female' if word == 'dam' else 'male'} is"
    return "no bird of this file or register is"


_Named = Mapping[str, Sequence[tuple[KinRef, str, str]]]


def _named(birds: Sequence[BirdLine], known: RegisterKnown) -> _Named:
    """Every name, number and metal number with the birds that answer to it: who, sex, species."""
    named: dict[str, list[tuple[KinRef, str, str]]] = defaultdict(list)
    for bird in birds:
        metals = [engraving_key(band.engraving) for _, band in bird.marks.metals()]
        for word in {name_key(bird.name), name_key(bird.number), *metals} - {""}:
            named[word].append((("line", bird.line), bird.sex, bird.species.name))
    for one in known.birds:
        for word in {name_key(one.name), name_key(one.number)} - {""}:
            named[word].append((("bird", one.bird_id), "", one.species))
    return named


def _candidates(named: _Named, bird: BirdLine, text: str) -> list[tuple[KinRef, str]]:
    all_so_called = [*named.get(name_key(text), []), *named.get(engraving_key(text), [])]
    same = [one for one in all_so_called if one[2] == bird.species.name]
    return list(dict.fromkeys((ref, sex) for ref, sex, _ in same or all_so_called))
