"""The roll-call sheet of an exhibit, as the paper takes it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from itertools import groupby

from tarsus.core.marks.marks import METAL
from tarsus.paper.bands import ColourOnPaper
from tarsus.paper.roll_call_sheet import SheetBird, SheetFlock
from tarsus.queries.flock import FlockBird, flock_of
from tarsus.queries.park import colours_worn, park_face
from tarsus.records.models import Exhibit


@dataclass(frozen=True)
class SheetOfExhibit:
    """All that `paper.roll_call_sheet` asks for but the week."""

    park: str
    exhibit: str
    flocks: tuple[SheetFlock, ...]
    colours: dict[str, ColourOnPaper]
    metal_letter: str


def sheet_of(exhibit_id: int, day: dt.date) -> SheetOfExhibit | None:
    """The flocks of an exhibit on a day as lines of a sheet, or `None` where there is no such exhibit.

    Args:
        exhibit_id: which exhibit.
        day: the park's day; the sheet is printed with the marks of that day.
    """
    exhibit = Exhibit.objects.filter(pk=exhibit_id).values_list("name", flat=True).first()
    if exhibit is None:
        return None
    face = park_face()
    flocks = tuple(
        _flock(list(birds)) for _, birds in groupby(flock_of(exhibit_id, day), lambda bird: bird.lookalike)
    )
    colours = colours_worn(face, (bird.marks for flock in flocks for bird in flock.birds))
    return SheetOfExhibit(face.on_paper, exhibit, flocks, colours, face.letters[METAL])


def _flock(birds: list[FlockBird]) -> SheetFlock:
    called = [bird for bird in birds if bird.counted]
    sexes = [sum(bird.sex == sex for bird in called) for sex in ("M", "F", "U")]
    lines = tuple(
        SheetBird(
            bird.name if bird.counted else f"{bird.name} (not counted)",
            bird.sex,
            bird.marks,
            bird.engraving,
            tuple(mark.text for mark in bird.natural_marks) if not bird.marks.sites else (),
        )
        for bird in birds
    )
    return SheetFlock(birds[0].lookalike, len(called), ".".join(map(str, sexes)), lines)
