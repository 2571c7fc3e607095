"""Plans of the garden's exhibits, as its lead drew them; all of it is invented."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from tarsus.demo.garden import HERON_WOOD, HESPER, KEA_TERRACE, SHINGLE_AVIARY, SOUTH_STRAND


@dataclass(frozen=True, slots=True)
class DrawnPlan:
    """A drawn plan: its width in metres, height over width, entrance, pins (x, y, minutes) and shapes."""

    width_m: float
    tall: float
    entrance: tuple[float, float]
    pins: Mapping[str, tuple[float, float, float]]
    shapes: tuple[tuple[str, str], ...]


DRAWN_BY: Final = HESPER
_FENCE: Final = ("wall", "0.02,0.07 0.4,0.02 0.98,0.05 0.98,0.95 0.42,0.98 0.02,0.94 0.02,0.07")

PLANS: Final[Mapping[str, DrawnPlan]] = {
    SHINGLE_AVIARY: DrawnPlan(
        38,
        1.2,
        (0.1, 0.92),
        {
            "north spit": (0.34, 0.2, 3),
            "reed edge": (0.8, 0.48, 5),
            "rail": (0.84, 0.24, 1),
            "shingle bank": (0.22, 0.68, 2.5),
            "behind the hide": (0.62, 0.76, 3),
        },
        (
            _FENCE,
            (
                "water",
                "0.16,0.3 0.28,0.22 0.5,0.2 0.66,0.26 0.76,0.38 0.8,0.52 0.72,0.64 0.56,0.69 0.4,0.66 "
                "0.22,0.56 0.13,0.44",
            ),
            ("bank", "0.2,0.18 0.34,0.14 0.53,0.18 0.54,0.24 0.46,0.28 0.3,0.3 0.2,0.26"),
            ("bank", "0.08,0.6 0.18,0.57 0.3,0.62 0.34,0.73 0.24,0.79 0.12,0.75"),
            ("perch", "0.74,0.21 0.95,0.21"),
            ("green", "0.85,0.38 0.95,0.36 0.96,0.58 0.86,0.58"),
            ("house", "0.74,0.78 0.93,0.78 0.93,0.86 0.74,0.86"),
        ),
    ),
    HERON_WOOD: DrawnPlan(
        60,
        0.9,
        (0.5, 0.94),
        {
            "tall oaks": (0.22, 0.26, 6),
            "nest ledges": (0.78, 0.18, 4),
            "shallows": (0.48, 0.48, 2),
            "feeding lawn": (0.3, 0.76, 1.5),
            "alder stand": (0.8, 0.66, 5),
        },
        (
            _FENCE,
            ("green", "0.08,0.14 0.3,0.1 0.38,0.24 0.32,0.4 0.12,0.42"),
            ("perch", "0.64,0.12 0.92,0.12"),
            ("water", "0.32,0.5 0.44,0.4 0.6,0.42 0.66,0.52 0.56,0.6 0.4,0.6"),
            ("bank", "0.14,0.68 0.46,0.68 0.46,0.86 0.16,0.88"),
            ("green", "0.7,0.56 0.92,0.52 0.94,0.8 0.72,0.8"),
        ),
    ),
    SOUTH_STRAND: DrawnPlan(
        45,
        0.7,
        (0.06, 0.5),
        {
            "beach": (0.24, 0.68, 1.5),
            "burrows": (0.72, 0.26, 7),
            "pool": (0.5, 0.72, 1),
            "high rocks": (0.3, 0.24, 4),
        },
        (
            _FENCE,
            ("bank", "0.1,0.56 0.34,0.5 0.38,0.84 0.12,0.86"),
            ("water", "0.4,0.56 0.66,0.54 0.92,0.6 0.92,0.88 0.44,0.88"),
            ("bank", "0.16,0.12 0.42,0.1 0.44,0.34 0.2,0.38"),
            ("house", "0.58,0.14 0.9,0.14 0.9,0.36 0.58,0.36"),
        ),
    ),
    KEA_TERRACE: DrawnPlan(
        24,
        0.8,
        (0.08, 0.86),
        {
            "scree": (0.3, 0.3, 2.5),
            "log pile": (0.54, 0.66, 2),
            "hut roof": (0.76, 0.28, 1),
            "night box": (0.84, 0.74, 1),
        },
        (
            _FENCE,
            ("bank", "0.12,0.16 0.44,0.12 0.5,0.36 0.2,0.46"),
            ("perch", "0.42,0.6 0.66,0.7"),
            ("perch", "0.42,0.7 0.66,0.6"),
            ("house", "0.64,0.18 0.9,0.18 0.9,0.4 0.64,0.4"),
            ("house", "0.76,0.66 0.92,0.66 0.92,0.82 0.76,0.82"),
        ),
    ),
}
