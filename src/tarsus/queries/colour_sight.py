"""The park's colours as different eyes see them, and which of them draw together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tarsus.core.marks.colour_difference import differences
from tarsus.core.marks.colour_vision import NORMAL, ColourVision, seen_palette
from tarsus.core.marks.palette import Palette

TOGETHER: Final = 12.0
"""CIEDE2000 under which two bands are told as drawing together. Ours: no published limit was found."""

EYES: Final = (
    ("usual sight", NORMAL),
    ("red-blind", ColourVision("protan", 1.0)),
    ("green-blind", ColourVision("deutan", 1.0)),
    ("blue-blind", ColourVision("tritan", 1.0)),
)


@dataclass(frozen=True, slots=True)
class ColourSight:
    """A palette through one pair of eyes; `together` are pairs of indices, the nearest first."""

    eyes: str
    names: tuple[str, ...]
    seen: tuple[str, ...]
    together: tuple[tuple[int, int], ...]
    nearest: tuple[str, str, float] | None


def colour_sights(palette: Palette, names: Sequence[str] | None = None) -> tuple[ColourSight, ...]:
    """A palette as usual and as colour-deficient eyes see it.

    Args:
        palette: the park's colours.
        names: only these of them, where given; the order stays the palette's.

    Returns:
        One row for each pair of eyes, usual sight first.
    """
    wanted = palette.names if names is None else tuple(name for name in palette.names if name in names)
    chosen = Palette(tuple((name, palette.hex_of(name)) for name in wanted))
    return tuple(_sight(eyes, chosen, vision) for eyes, vision in EYES)


def _sight(eyes: str, palette: Palette, vision: ColourVision) -> ColourSight:
    seen = seen_palette(palette, vision)
    apart = differences(seen, seen)
    pairs = sorted(
        (float(apart[i, j]), i, j)
        for i in range(len(palette.names))
        for j in range(i + 1, len(palette.names))
    )
    nearest = (palette.names[pairs[0][1]], palette.names[pairs[0][2]], pairs[0][0]) if pairs else None
    return ColourSight(
        eyes=eyes,
        names=palette.names,
        seen=tuple(value for _, value in seen.colours),
        together=tuple((i, j) for distance, i, j in pairs if distance < TOGETHER),
        nearest=nearest,
    )
