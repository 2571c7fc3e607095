"""The who's-who board of an exhibit, for visitors: names, ages, bands, stories, and a way to the page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from tarsus.core.marks.marks import Marks
from tarsus.paper.bands import ColourOnPaper, bands_on_paper, letters_told
from tarsus.paper.typesetting import typeset

SIZES: Final = {"a4": 2, "a3": 3}
"""Papers, and how many birds stand in a row on each."""


@dataclass(frozen=True, slots=True)
class BoardBird:
    """One bird on the board. `about` is its sex and age in words; `story` may be empty."""

    name: str
    about: str
    marks: Marks
    story: str = ""


@dataclass(frozen=True, slots=True)
class BoardSpecies:
    """The birds of one species."""

    name: str
    scientific_name: str
    birds: Sequence[BoardBird]


@dataclass(frozen=True, slots=True)
class WayThere:
    """The address of the public page, and its QR code: rows of ``1`` (dark) and ``0``."""

    address: str
    code: Sequence[str]


def visitor_board(
    *,
    park: str,
    exhibit: str,
    printed: str,
    species: Sequence[BoardSpecies],
    colours: Mapping[str, ColourOnPaper],
    metal_letter: str = "m",
    size: str = "a3",
    way: WayThere | None = None,
) -> bytes:
    """Set the board.

    Args:
        park: the park's name.
        exhibit: the exhibit's name.
        printed: when it was printed, in words.
        species: who lives there.
        colours: letter and sRGB of every colour that is worn.
        metal_letter: the park's letter for metal.
        size: one of `SIZES`.
        way: the page that visitors may open; none where the park opens none.

    Returns:
        A PDF; readable in black and white.

    Raises:
        KeyError: a bird wears a colour that is not in `colours`, or no such paper.
        PaperFailed: the template did not set.
    """
    board = {
        "title": f"Who's who, {exhibit}",
        "exhibit": exhibit,
        "park": park,
        "printed": printed,
        "size": size,
        "in_a_row": SIZES[size],
        "letters": letters_told(colours),
        "metal": metal_letter,
        "species": [_species(one, colours, metal_letter) for one in species],
        "way": None if way is None else {"address": way.address, "code": list(way.code)},
    }
    return typeset("visitor_board", board=board)


def _species(
    species: BoardSpecies, colours: Mapping[str, ColourOnPaper], metal_letter: str
) -> dict[str, Any]:
    birds = [
        {
            "name": bird.name,
            "about": bird.about,
            "story": bird.story,
            "marks": bands_on_paper(bird.marks, colours, metal_letter),
        }
        for bird in species.birds
    ]
    return {"name": species.name, "scientific_name": species.scientific_name, "birds": birds}
