"""Which colours are taken for which: from how far apart they look.

The page is docs/science/reading.md, "Colours".
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.colour_difference import differences
from tarsus.core.marks.colour_vision import NORMAL, ColourVision, seen_palette
from tarsus.core.marks.palette import Palette

SCALE: Final = 10.0
"""CIEDE2000 over which a confusion becomes e times rarer.

Ours: no published confusion table of bands was found.
"""

Table = NDArray[np.float64]


def confusability(
    palette: Palette, colour: float, *, looks: Palette | None = None, vision: ColourVision = NORMAL
) -> Table:
    """Derive how often each colour is read as each other one.

    Args:
        palette: the colours as their names mean them (new bands).
        colour: mean chance that a new band is taken for another colour by normal eyes, 0 to 1.
        looks: the same colours as the bands look now, where some have faded.
        vision: the observer's eyes.

    Returns:
        ``(C, C)`` chance that worn colour ``i`` is read as ``j`` at ``[i, j]``; rows sum to 1. For new
        bands and normal eyes the mean of the rows' wrong chances is `colour` (0 where the palette has a
        single colour).

    Assumes:
        The observer names a band by the nearest name he knows, and knows names by new bands. What fading
        and eyes cost is on top of `colour`, which was calibrated on new bands.

    Source:
        Luce's choice rule on similarities exp(-dE/SCALE) (Shepard 1957, Psychometrika 22:325-345; Luce 1963);
        docs/science/reading.md, eq. 4.
    """
    new = np.exp(-differences(palette, palette) / SCALE)
    weight = _weight_of_others(new, colour)
    if weight is None:
        return np.eye(len(palette.colours))
    seen = seen_palette(palette, vision)
    now = seen if looks is None else seen_palette(looks, vision)
    # Similarities of a faded band are all small; only their ratios count, so they are taken from the
    # nearest name.
    apart = differences(now, seen)
    return _chosen(np.exp(-(apart - apart.min(axis=1, keepdims=True)) / SCALE), weight)


def _chosen(similarity: Table, weight: float) -> Table:
    """Choice chances where the other names count `weight` times against the right one."""
    odds = similarity * weight
    np.fill_diagonal(odds, np.diagonal(similarity))
    return np.asarray(odds / odds.sum(axis=1, keepdims=True))


def _weight_of_others(new: Table, colour: float) -> float | None:
    """The weight at which new bands are misread as often as `colour` says.

    None where nothing can be misread.
    """
    if len(new) < 2 or colour <= 0.0:
        return None
    others = new.sum(axis=1) - 1.0
    # By halving, which needs a hundred steps of a microsecond: a library's root finder costs commands 0.6 s
    # to import.
    low, high = -80.0, 80.0
    for _ in range(100):
        middle = 0.5 * (low + high)
        wrong = np.exp(middle) * others
        if np.mean(wrong / (1.0 + wrong)) < colour:
            low = middle
        else:
            high = middle
    return float(np.exp(high))
