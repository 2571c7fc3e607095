"""The band chart of an exhibit for the wall: every bird with its bands drawn large, in their order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from tarsus.core.marks.marks import METAL
from tarsus.paper.bands import ColourOnPaper, bands_on_paper, letters_told
from tarsus.paper.roll_call_sheet import SheetBird, SheetFlock
from tarsus.paper.typesetting import typeset

SIZES: Final = {"a4": 4, "a3": 6}
"""Papers, and how many birds stand in a row on each."""
_SEX: Final = {"F": "female", "M": "male"}


def band_chart(
    *,
    park: str,
    exhibit: str,
    printed: str,
    flocks: Sequence[SheetFlock],
    colours: Mapping[str, ColourOnPaper],
    metal_letter: str = "m",
    size: str = "a4",
) -> bytes:
    """Set the chart.

    Args:
        park: the park's name.
        exhibit: the exhibit's name.
        printed: when it was printed, in words.
        flocks: who lives there, by look-alike group.
        colours: letter and sRGB of every colour that is worn.
        metal_letter: the park's letter for metal.
        size: one of `SIZES`.

    Returns:
        A PDF in which a bird is found by what it wears: on its left from the body outward, then on its
        right; the names follow in the order of the alphabet. Readable in black and white.

    Raises:
        KeyError: a bird wears a colour that is not in `colours`, or no such paper.
        PaperFailed: the template did not set.
    """
    order = {name: place for place, name in enumerate((METAL, *colours))}
    chart = {
        "title": f"Band chart, {exhibit}",
        "exhibit": exhibit,
        "park": park,
        "printed": printed,
        "size": size,
        "in_a_row": SIZES[size],
        "letters": letters_told(colours),
        "metal": metal_letter,
        "flocks": [_flock(flock, colours, metal_letter, order) for flock in flocks],
    }
    return typeset("band_chart", chart=chart)


def _flock(
    flock: SheetFlock, colours: Mapping[str, ColourOnPaper], metal_letter: str, order: Mapping[str, int]
) -> dict[str, Any]:
    birds = sorted(flock.birds, key=lambda bird: _by_bands(bird, order))
    return {
        "name": flock.name,
        "counted": flock.counted,
        "inventory": flock.inventory,
        "birds": [
            {
                "name": bird.name,
                "sex": _SEX.get(bird.sex, "unsexed"),
                "engraving": bird.engraving,
                "told": list(bird.told),
                "marks": bands_on_paper(bird.marks, colours, metal_letter),
            }
            for bird in birds
        ],
        "names": [
            [bird.name, number]
            for bird, number in sorted(
                ((bird, number) for number, bird in enumerate(birds, start=1)), key=lambda one: one[0].name
            )
        ],
    }


def _by_bands(bird: SheetBird, order: Mapping[str, int]) -> tuple[Any, ...]:
    """Banded birds first, by the left side from the body outward, then by the right."""
    sides = [
        tuple(order[word] for site, bands in bird.marks.sites if site.startswith(side) for word in bands)
        for side in ("left", "right")
    ]
    return (not bird.marks.sites, *sides, bird.name)
