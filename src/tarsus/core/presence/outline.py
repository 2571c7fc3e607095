"""What is drawn on the plan of an exhibit: lines and patches as the points of an SVG."""

from __future__ import annotations

import re
from typing import Final

from tarsus.core.errors import WrongValue

SHAPES: Final = (
    ("wall", "wall or fence"),
    ("water", "water"),
    ("bank", "ground or bank"),
    ("green", "reeds, trees"),
    ("house", "house or hide"),
    ("perch", "perch or rail"),
)
"""What a shape is, and how a form says it. Walls and perches are lines, the rest are patches."""

MOST_SHAPES: Final = 60
MOST_POINTS: Final = 150
LONGEST_POINTS: Final = 2400
"""Characters of all points of one shape."""

_POINT: Final = re.compile(r"(0(?:\.\d+)?|1(?:\.0+)?|\.\d+),(0(?:\.\d+)?|1(?:\.0+)?|\.\d+)")


def parse_points(text: str, place: str) -> str:
    """The points of a shape, each rounded to a thousandth of the plan.

    Args:
        text: ``x,y x,y``, as the ``points`` of an SVG, in shares of the plan's width and height.
        place: what a refusal names.

    Raises:
        WrongValue: no such points, fewer than two, or more than `MOST_POINTS`.
    """
    told = text.split()
    if not 2 <= len(told) <= MOST_POINTS:
        raise WrongValue(place, f"has {len(told)} points; draw 2 to {MOST_POINTS}")
    found = [_POINT.fullmatch(one) for one in told]
    if odd := next((one for one, point in zip(told, found, strict=True) if point is None), ""):
        raise WrongValue(place, f"{odd[:40]!r} is no point of the plan; write x,y with both from 0 to 1")
    return " ".join(f"{round(float(one[1]), 3):g},{round(float(one[2]), 3):g}" for one in found if one)
