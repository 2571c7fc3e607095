"""The relief keeper's brief of an exhibit: whom to count, look for, watch and leave alone, on one page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from tarsus.core.marks.marks import Marks
from tarsus.paper.bands import ColourOnPaper, bands_on_paper, letters_told
from tarsus.paper.plan_on_paper import PaperPlan
from tarsus.paper.typesetting import typeset

CUTS: Final = (14, 11, 9, 7, 5, 4, 3)
"""So many lines a part are tried, until all of it stands on one page; what is cut off is counted there."""

MOST_DRAWN: Final = 3
"""Of birds among which one is meant so many are drawn; all are named."""


@dataclass(frozen=True, slots=True)
class BriefCount:
    """One look-alike group: how many are on the roll, male.female.unsexed, and how many are not counted."""

    name: str
    on_roll: int
    mfu: str
    uncounted: int


@dataclass(frozen=True, slots=True)
class BriefBird:
    """One bird to look for or to watch, or one of several: `marks` are what each of them wears."""

    name: str
    said: str
    marks: tuple[Marks, ...] = ()
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class ReliefBrief:
    """All that stands on the page. Parts of `parts` are a title with its lines, the weightiest first."""

    park: str
    exhibit: str
    day: str
    printed: str
    counts: tuple[BriefCount, ...]
    look_for: tuple[BriefBird, ...]
    vet: tuple[BriefBird, ...]
    parts: tuple[tuple[str, tuple[str, ...]], ...]
    colours: Mapping[str, ColourOnPaper] = field(default_factory=dict)
    metal_letter: str = "m"
    plan: PaperPlan | None = None


def relief_brief(brief: ReliefBrief) -> bytes:
    """Set the brief.

    Returns:
        A PDF, one page of A4 however many birds, readable in black and white. Lines that find no room are
        cut from the end of their parts and counted; birds to search for and the vet's lose theirs last.

    Raises:
        KeyError: a bird wears a colour that is not in `colours`.
        PaperFailed: the template did not set.
    """
    return typeset(
        "relief_brief",
        brief={
            "title": f"Relief keeper's brief, {brief.exhibit}",
            "park": brief.park,
            "exhibit": brief.exhibit,
            "day": brief.day,
            "printed": brief.printed,
            "cuts": CUTS,
            "counts": [[one.name, str(one.on_roll), one.mfu, str(one.uncounted)] for one in brief.counts],
            "look_for": drawn_birds(brief.look_for, brief.colours, brief.metal_letter),
            "vet": drawn_birds(brief.vet, brief.colours, brief.metal_letter),
            "plan": brief.plan.as_mapping() if brief.plan else None,
            "parts": [{"title": title, "lines": list(lines)} for title, lines in brief.parts if lines],
            "letters": letters_told(brief.colours),
            "metal": brief.metal_letter,
        },
    )


def drawn_birds(
    birds: Sequence[BriefBird], colours: Mapping[str, ColourOnPaper], metal_letter: str
) -> list[dict[str, Any]]:
    """Birds to look for or to watch as the templates read them.

    Raises:
        KeyError: a bird wears a colour that is not in `colours`.
    """
    return [
        {
            "name": one.name,
            "said": one.said,
            "urgent": one.urgent,
            "drawn": [
                drawn
                for marks in one.marks[:MOST_DRAWN]
                if (drawn := bands_on_paper(marks, colours, metal_letter))
            ],
        }
        for one in birds
    ]
