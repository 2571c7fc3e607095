"""The clarity map: a row is the bird there, a column the name it was given, a dot's area how often."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

CELL = 18
LEFT = 132
TOP = 92
OFTEN = 0.009
"""From here on a dot is drawn in the signal colour: one reading in a hundred and more, rounded."""
SELDOM = 0.0006
"""Under this no dot is drawn; it would be a speck."""


def radius(chance: float) -> float:
    """A dot's radius; its area grows with the chance until it fills its cell."""
    return min(CELL * 0.62, sqrt(chance) * CELL * 3.1)


def _names(names: Sequence[str]) -> str:
    parts = []
    for at, name in enumerate(names):
        middle = at * CELL + CELL * 0.72
        shown = escape(name if len(name) <= 16 else name[:15] + "…")
        place = f'x="{LEFT - 6}" y="{TOP + middle:.1f}" text-anchor="end"'
        parts.append(f'<text class="name-of" {place}>{shown}</text>')
        turn = f"translate({LEFT + middle:.1f} {TOP - 6}) rotate(-90)"
        parts.append(f'<text class="name-of" transform="{turn}">{shown}</text>')
    return "".join(parts)


def _grid(number: int) -> str:
    side = number * CELL
    lines = "".join(
        f"M{LEFT} {TOP + at * CELL}h{side}M{LEFT + at * CELL} {TOP}v{side}" for at in range(0, number, 5)
    )
    inner = 'width="7.2" height="7.2"'
    own = "".join(
        f'<rect class="self" x="{LEFT + at * CELL + 5.4:.1f}" y="{TOP + at * CELL + 5.4:.1f}" {inner}/>'
        for at in range(number)
    )
    return f'<path class="grid" d="{lines}"/>{own}'


def _dots(confused: Sequence[Sequence[float]]) -> str:
    parts = []
    for row, chances in enumerate(confused):
        for column, chance in enumerate(chances):
            if row == column or chance < SELDOM:
                continue
            kind = "dot worst" if chance > OFTEN else "dot"
            x, y = LEFT + (column + 0.5) * CELL, TOP + (row + 0.5) * CELL
            parts.append(f'<circle class="{kind}" cx="{x:g}" cy="{y:g}" r="{radius(chance):.2f}"/>')
    return "".join(parts)


def clarity_map(names: Sequence[str], confused: Sequence[Sequence[float]], label: str) -> SafeString:
    """The map as SVG.

    Args:
        names: the birds, in the order of rows and columns.
        confused: chance that the row's bird is given the column's name.
        label: the worst of it in words.
    """
    side = len(names) * CELL
    frame = f'<rect class="frame" x="{LEFT}" y="{TOP}" width="{side}" height="{side}"/>'
    return mark_safe(  # names and label are escaped
        f'<svg class="plot map" viewBox="0 0 {LEFT + side + 2} {TOP + side + 4}" width="{LEFT + side + 2}" '
        f'height="{TOP + side + 4}" role="img" aria-label="{escape(label)}">'
        f"{_grid(len(names))}{_names(names)}{_dots(confused)}{frame}</svg>"
    )


def key_of_map() -> list[tuple[SafeString, str]]:
    """Dots of three sizes beside what they mean."""
    found = []
    for chance, words in ((0.002, "0.2 %"), (0.01, "1 %"), (0.04, "4 %")):
        r = radius(chance)
        kind = "dot worst" if chance > OFTEN else "dot"
        size = f"{2 * r + 2:.1f}"
        box = f'viewBox="0 0 {size} {size}" width="{size}" height="{size}"'
        dot = f'<circle class="{kind}" cx="{r + 1:.1f}" cy="{r + 1:.1f}" r="{r:.1f}"/>'
        found.append((mark_safe(f'<svg class="plot fixed" {box} aria-hidden="true">{dot}</svg>'), words))
    return found
