"""The record that travels with a bird: who it is, what it wears, what it weighed, what is still open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tarsus.paper.typesetting import typeset


@dataclass(frozen=True)
class RecordPart:
    """One part of the record. The first cell of a line is its label; `head` names the columns, or is empty.

    `nothing`: what stands where there are no lines, so that an empty part is told and not left out.
    """

    name: str
    lines: tuple[tuple[str, ...], ...]
    head: tuple[str, ...] = ()
    nothing: str = ""


def bird_record(*, park: str, bird: str, species: str, printed: str, parts: Sequence[RecordPart]) -> bytes:
    """Set the record of one bird.

    Args:
        park: the park's name.
        bird: what it is called.
        species: its species, with the scientific name.
        printed: when it was printed, in words.
        parts: in the order of the paper; the lines of one part have as many cells each.

    Returns:
        A PDF, A4, readable in black and white.

    Raises:
        PaperFailed: the template did not set.
    """
    record = {
        "title": f"Record of {bird}",
        "park": park,
        "bird": bird,
        "species": species,
        "printed": printed,
        "parts": [
            {"name": part.name, "head": part.head, "lines": part.lines, "nothing": part.nothing}
            for part in parts
        ],
    }
    return typeset("bird_record", record=record)
