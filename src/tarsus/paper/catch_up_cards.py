"""A catch-up on paper: the kit on the first page, then a card for each bird to write on while it is held."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from tarsus.core.care.catch_kit import Kit
from tarsus.core.marks.marks import Marks
from tarsus.paper.bands import ColourOnPaper, bands_on_paper, letters_told
from tarsus.paper.typesetting import typeset

_SEX: Final = {"F": "female", "M": "male"}


@dataclass(frozen=True)
class CatchCard:
    """One bird to be caught. `marks` is `None` for one that lives nowhere here any more."""

    name: str
    species: str
    sex: str
    engraving: str
    marks: Marks | None
    planned: tuple[str, ...]
    last_weight: str = ""


def catch_up_cards(
    *,
    park: str,
    exhibit: str,
    day: str,
    times: str,
    printed: str,
    limits: Sequence[str],
    forbidden: Sequence[str],
    caution: str,
    kit: Kit,
    cards: Sequence[CatchCard],
    colours: Mapping[str, ColourOnPaper],
    metal_letter: str = "m",
) -> bytes:
    """Set the kit list and the cards.

    Args:
        park: the park's name.
        exhibit: where is caught.
        day: on which day, in words.
        times: from when until when, in words.
        printed: when it was printed, in words.
        limits: what the vet allows, a sentence each.
        forbidden: what forbids it as things stand; told first and large.
        caution: what to mind while catching.
        kit: what has to be at hand.
        cards: the birds, in the order of the plan.
        colours: letter and sRGB of every colour that is worn.
        metal_letter: the park's letter for metal.

    Returns:
        A PDF, A4, readable in black and white; no card runs over a page.

    Raises:
        KeyError: a bird wears a colour that is not in `colours`.
        PaperFailed: the template did not set.
    """
    told = {
        "title": f"Catch-up, {exhibit}, {day}",
        "exhibit": exhibit,
        "day": day,
        "times": times,
        "park": park,
        "printed": printed,
        "limits": list(limits),
        "forbidden": list(forbidden),
        "caution": caution,
        "bands": [[band.words, ", ".join(band.birds), band.on_the_shelf, band.short] for band in kit.bands],
        "tools": [[tool.what, ", ".join(tool.birds)] for tool in kit.tools],
        "letters": letters_told(colours),
        "metal": metal_letter,
        "cards": [_card(card, colours, metal_letter) for card in cards],
    }
    return typeset("catch_up_cards", told=told)


def _card(card: CatchCard, colours: Mapping[str, ColourOnPaper], metal_letter: str) -> dict[str, Any]:
    return {
        "name": card.name,
        "about": ", ".join(
            filter(
                None,
                (card.species, _SEX.get(card.sex, "unsexed"), card.engraving and f"metal {card.engraving}"),
            )
        ),
        "here": card.marks is not None,
        "marks": bands_on_paper(card.marks or Marks(), colours, metal_letter),
        "planned": list(card.planned),
        "last": card.last_weight,
    }
