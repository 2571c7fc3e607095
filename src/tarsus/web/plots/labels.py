"""Labels of a plot that lie on no line: the first free place of several is taken."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

LEFT, RIGHT, TOP, FOOT = 44, 384, 20, 196
SIGN, HIGH, DEEP = 7.0, 10.0, 3.0
"""Width of a sign at 12 px in strong type; how far it reaches over its foot, and under it."""

Point = tuple[float, float]
Segment = tuple[Point, Point]
ANCHORS: Final = {"start": 0.0, "middle": 0.5, "end": 1.0}


@dataclass(frozen=True, slots=True)
class Label:
    """A piece of text and where its foot stands."""

    text: str
    x: float
    y: float
    anchor: str
    kind: str = "strong"

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom."""
        wide = SIGN * len(self.text)
        left = self.x - ANCHORS[self.anchor] * wide
        return left, self.y - HIGH, left + wide, self.y + DEEP

    def drawn(self) -> str:
        """The label as SVG; its text is a number and our own words."""
        place = f'x="{self.x:.1f}" y="{self.y:.1f}" text-anchor="{self.anchor}"'
        return f'<text class="{self.kind}" {place}>{self.text}</text>'


def free_label(
    text: str,
    places: Iterable[tuple[float, float, str]],
    lines: Sequence[Segment],
    others: Sequence[Label],
    kind: str = "strong",
) -> Label:
    """Put a label where it lies on nothing; where no place is free, where it lies on least.

    Args:
        text: what it says.
        places: where it may stand, the best first: x, y of its foot, anchor.
        lines: what is drawn already.
        others: labels that stand already.
        kind: its class.
    """
    labels = [Label(text, *place, kind=kind) for place in places]
    inside = [one for one in labels if one.box[1] >= TOP - 18 and one.box[3] <= FOOT] or labels
    return min(inside, key=lambda one: _lies_on(one, lines) + 10 * sum(_over(one, other) for other in others))


def _lies_on(label: Label, lines: Sequence[Segment]) -> int:
    return sum(crosses(label.box, line) for line in lines)


def _over(one: Label, other: Label) -> bool:
    a, b = one.box, other.box
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def crosses(box: tuple[float, float, float, float], line: Segment) -> bool:
    """Whether a line runs through a box (Liang & Barsky 1984, ACM Trans. Graphics 3:1-22; from memory)."""
    (x1, y1), (x2, y2) = line
    enters, leaves = 0.0, 1.0
    for start, way, low, high in ((x1, x2 - x1, box[0], box[2]), (y1, y2 - y1, box[1], box[3])):
        if way == 0.0:
            if not low < start < high:
                return False
            continue
        first, last = sorted(((low - start) / way, (high - start) / way))
        enters, leaves = max(enters, first), min(leaves, last)
    return enters < leaves
