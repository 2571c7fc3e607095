"""The roll-call sheet of an exhibit for one week: drawn bands, a box a round, room for a concern."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from tarsus.core.marks.marks import Marks
from tarsus.paper.bands import ColourOnPaper, bands_on_paper, letters_told
from tarsus.paper.typesetting import typeset

_DAYS: Final = ("Mo", "Tu", "We", "Th", "Fr", "Sa", "Su")
_SEX: Final = {"F": "f", "M": "m"}


@dataclass(frozen=True)
class SheetBird:
    """One line of the sheet; `told` are the natural marks of a bird without bands."""

    name: str
    sex: str
    marks: Marks
    engraving: str = ""
    told: tuple[str, ...] = ()


@dataclass(frozen=True)
class SheetFlock:
    """The birds of one look-alike group, on pages of their own."""

    name: str
    counted: int
    inventory: str
    birds: tuple[SheetBird, ...]


def roll_call_sheet(
    *,
    park: str,
    exhibit: str,
    monday: dt.date,
    printed: str,
    flocks: Sequence[SheetFlock],
    colours: Mapping[str, ColourOnPaper],
    metal_letter: str = "m",
) -> bytes:
    """Set the sheet.

    Args:
        park: the park's name.
        exhibit: the exhibit's name.
        monday: first day of the week on the sheet.
        printed: when it was printed, in words.
        flocks: what to call, in the order of the roll.
        colours: letter and sRGB of every colour that is worn.
        metal_letter: the park's letter for metal.

    Returns:
        A PDF, A4, readable in black and white.

    Raises:
        KeyError: a bird wears a colour that is not in `colours`.
        PaperFailed: the template did not set.
    """
    days = [monday + dt.timedelta(days=i) for i in range(7)]
    sheet = {
        "title": f"Roll call, {exhibit}, week {monday.isocalendar().week}",
        "park": park,
        "exhibit": exhibit,
        "week": f"Week {monday.isocalendar().week} · {_said(days[0])} to {_said(days[-1])} {days[-1].year}",
        "days": [f"{name} {day.day}" for name, day in zip(_DAYS, days, strict=True)],
        "printed": printed,
        "letters": letters_told(colours),
        "metal": metal_letter,
        "flocks": [_flock(flock, colours, metal_letter) for flock in flocks],
    }
    return typeset("roll_call_sheet", sheet=sheet)


def _said(day: dt.date) -> str:
    return f"{day.day} {day:%B}"


def _flock(flock: SheetFlock, colours: Mapping[str, ColourOnPaper], metal_letter: str) -> dict[str, Any]:
    return {
        "name": flock.name,
        "counted": flock.counted,
        "inventory": flock.inventory,
        "birds": [
            {
                "name": bird.name,
                "sex": _SEX.get(bird.sex, "?"),
                "engraving": bird.engraving,
                "told": list(bird.told),
                "marks": bands_on_paper(bird.marks, colours, metal_letter),
            }
            for bird in flock.birds
        ],
    }
