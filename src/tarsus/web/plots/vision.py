"""A park's colours through other eyes, with those that draw together joined."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

STEP = 50


@dataclass(frozen=True)
class Swatch:
    """One colour as these eyes see it."""

    name: str
    letter: str
    hex: str
    dark: bool


def _tracks(joins: Sequence[tuple[int, int]]) -> list[list[tuple[int, int]]]:
    """Joins laid into as few lines as the shortest-first order gives, none over another."""
    tracks: list[list[tuple[int, int]]] = []
    for first, last in sorted(joins, key=lambda join: (join[1] - join[0], join)):
        for track in tracks:
            if all(last < a or first > b for a, b in track):
                track.append((first, last))
                break
        else:
            tracks.append([(first, last)])
    return tracks


def vision_row(swatches: Sequence[Swatch], joins: Sequence[tuple[int, int]], label: str) -> SafeString:
    """Swatches in a row; a line below joins each pair that draws together.

    Args:
        swatches: the colours in the park's order.
        joins: pairs of indices into `swatches`, the smaller first.
        label: the same in words.
    """
    parts = []
    for at, swatch in enumerate(swatches):
        x = at * STEP
        parts.append(
            f'<rect class="swatch" x="{x + 4}" y="4" width="42" height="28" rx="6" fill="{swatch.hex}"/>'
        )
        kind = "v-l on-dark" if swatch.dark else "v-l"
        parts.append(
            f'<text class="{kind}" x="{x + 25}" y="25" text-anchor="middle">{escape(swatch.letter)}</text>'
        )
    tracks = _tracks(joins)
    for line, track in enumerate(tracks):
        y = 42 + 9 * line
        for first, last in track:
            a, b = first * STEP + 25, last * STEP + 25
            parts.append(f'<path class="join" d="M{a} {y}H{b}"/>')
            parts.extend(f'<circle class="join-end" cx="{x}" cy="{y}" r="4"/>' for x in (a, b))
    high = 38 + 9 * max(1, len(tracks))
    return mark_safe(  # hexes are checked by the register, letters are escaped
        f'<svg class="plot" viewBox="0 0 {STEP * len(swatches)} {high}" role="img" '
        f'aria-label="{escape(label)}">{"".join(parts)}</svg>'
    )
