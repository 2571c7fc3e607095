"""The colours as a keeper with a colour vision deficiency sees them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.marks.palette import Palette

DEFICIENCIES: Final = ("protan", "deutan", "tritan")


@dataclass(frozen=True, slots=True)
class ColourVision:
    """One pair of eyes: which cones are shifted, and how far (0 not at all, 1 entirely)."""

    deficiency: str = "deutan"
    severity: float = 0.0

    def __post_init__(self) -> None:
        if self.deficiency not in DEFICIENCIES:
            raise UnknownWord("deficiency", self.deficiency, "colour vision deficiency", DEFICIENCIES)
        if not 0.0 <= self.severity <= 1.0:
            raise WrongValue("severity", f"{self.severity:g} is out of range; give 0 to 1")


NORMAL: Final = ColourVision()


@lru_cache(maxsize=4096)
def seen_colour(hexed: str, vision: ColourVision) -> str:
    """One colour as these eyes see it.

    Args:
        hexed: ``#rrggbb``.
        vision: the eyes.

    Returns:
        ``#rrggbb``; colours outside sRGB are brought back into it channel by channel.

    Assumes:
        Daylight and a normal screen; for tritan eyes the model is an approximation.

    Source:
        Machado, Oliveira & Fernandes 2009, IEEE TVCG 15(6):1291-1298: matrices on linear RGB, between two
        tabled severities by straight interpolation; through the coloraide library.
    """
    if vision.severity == 0.0:
        return hexed
    from coloraide import Color  # 0.1 s: not for commands that weigh no colours

    seen = Color(hexed).filter(vision.deficiency, vision.severity, method="machado")
    return str(seen.convert("srgb").clip().to_string(hex=True))


def seen_palette(palette: Palette, vision: ColourVision) -> Palette:
    """A palette as these eyes see it, under the same names."""
    return Palette(tuple((name, seen_colour(hexed, vision)) for name, hexed in palette.colours))
