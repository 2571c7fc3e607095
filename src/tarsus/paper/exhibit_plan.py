"""The plan of an exhibit on paper: pins numbered in the order to look, and boxes to tick."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tarsus.paper.bands import ColourOnPaper
from tarsus.paper.plan_on_paper import PaperPlan
from tarsus.paper.relief_brief import BriefBird, drawn_birds
from tarsus.paper.typesetting import typeset


def exhibit_plan(
    *,
    park: str,
    exhibit: str,
    day: str,
    printed: str,
    plan: PaperPlan,
    birds: Sequence[BriefBird],
    colours: Mapping[str, ColourOnPaper],
    metal_letter: str,
) -> bytes:
    """Set the plan with the walk to the missing birds.

    Returns:
        A PDF of A4, readable in black and white.

    Raises:
        KeyError: a bird wears a colour that is not in `colours`.
        PaperFailed: the template did not set.
    """
    return typeset(
        "exhibit_plan",
        plan={
            "park": park,
            "exhibit": exhibit,
            "day": day,
            "printed": printed,
            "missing": len(birds),
            "birds": drawn_birds(birds, colours, metal_letter),
            **plan.as_mapping(),
        },
    )
