"""Bands on paper: white with a letter, dark colours solid with a white one, metal hatched."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from tarsus.core.marks.marks import METAL, Marks

DARKEST_WHITE_LETTER: Final = 0.11
"""Relative luminance below which a band is printed solid with a white letter: blue, purple, black, brown."""


@dataclass(frozen=True)
class ColourOnPaper:
    """How a colour is written in a band: its letter and its sRGB."""

    letter: str
    hex: str


def bands_on_paper(
    marks: Marks, colours: Mapping[str, ColourOnPaper], metal_letter: str
) -> dict[str, list[dict[str, Any]]]:
    """The bands of a bird as a template draws them, by site, from the body outward.

    Args:
        marks: what it wears.
        colours: letter and sRGB of every colour that is worn.
        metal_letter: the park's letter for metal.

    Raises:
        KeyError: it wears a colour that is not in `colours`.
    """
    return {site: [_band(word, colours, metal_letter) for word in bands] for site, bands in marks.sites}


def letters_told(colours: Mapping[str, ColourOnPaper]) -> list[list[str]]:
    """The key of the letters: each with its colour."""
    return [[colour.letter, name] for name, colour in colours.items()]


def _band(word: str, colours: Mapping[str, ColourOnPaper], metal_letter: str) -> dict[str, Any]:
    if word == METAL:
        return {"letter": metal_letter, "dark": False, "metal": True}
    colour = colours[word]
    return {"letter": colour.letter, "dark": luminance(colour.hex) < DARKEST_WHITE_LETTER, "metal": False}


def luminance(hexed: str) -> float:
    """Relative luminance of an sRGB colour, 0 to 1.

    Source:
        WCAG 2.2, definition of relative luminance.
    """
    channels = [int(hexed[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
