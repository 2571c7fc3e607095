"""Pixels that were tapped: decoded, and boiled down to one colour or cast, with what may mislead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.photographs.light import LUMINANCE, Array

BURNT_OUT: Final = 250.0
"""From this code (0 to 255) on a channel is taken for clipped. Invented: a little below the end."""

BLACK: Final = 20.0
"""Metal whose brightest channel is not above this tells nothing of the light. Invented."""

FEWEST_OF_METAL: Final = 3
"""So many good pixels of metal are needed; with fewer the error rises to .42, sure of itself (simulated)."""

TOO_DARK: Final = 45.0
"""A band whose brightest channel is under this is too dark to tell. Tuned on simulation."""

STRONG_CAST: Final = 0.8
"""A metal whose log ratio of channels exceeds this stands in strongly coloured light. Tuned on simulation."""

_DARKEST: Final = 1e-3

TOO_DARK_SAID: Final = "too dark"
CLIPPED: Final = "clipped"
METAL_BURNT_OUT: Final = "metal burnt out"
COLOURED_LIGHT: Final = "strong coloured light"
TAP_ALL: Final = "tap all bands"
NO_METAL: Final = "no metal tapped"

REMEDIES: Final = {
    TOO_DARK_SAID: "Too dark to tell colours: retake with more light.",
    CLIPPED: "Half a band is burnt out: retake darker.",
    METAL_BURNT_OUT: "The metal is burnt out: tap white plumage in its place, or retake darker.",
    COLOURED_LIGHT: "Strongly coloured light: colours are less sure than they look; retake in daylight.",
    TAP_ALL: "One band alone tells little of the light: tap all bands.",
    NO_METAL: "No metal tapped: tap the metal band, or white plumage, to show the light.",
}
"""What to do about each doubt."""


@dataclass(frozen=True, slots=True)
class Tapped:
    """What the taps of one photograph boil down to.

    `bands`: ``(N, 3)`` linear sRGB of each colour band. `cast`: ``(2,)`` log red/green and log blue/green of
    the metal, `None` where it tells nothing. `mean`: mean linear luminance of the picture. `doubts`: what may
    mislead.
    """

    bands: Array
    cast: Array | None
    mean: float
    doubts: tuple[str, ...]


def linear(codes: Array) -> Array:
    """Linear sRGB, 0 to 1, of codes 0 to 255.

    Source:
        IEC 61966-2-1, the inverse of its transfer function.
    """
    share = codes / 255.0
    return np.asarray(np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4))


def tapped(bands: Sequence[Array], metal: Array | None, mean: float) -> Tapped:
    """Boil the taps of a photograph down.

    Args:
        bands: of each colour band ``(n, 3)`` codes, 0 to 255.
        metal: ``(n, 3)`` codes of the metal band, or `None` where none was tapped.
        mean: the picture's mean linear luminance, 0 to 1.

    Returns:
        One colour a band (the median of each channel: glare and an edge within the patch do not move it), the
        metal's cast, and the doubts.

    Source:
        docs/science/photographs.md, eq. 3: medians.
    """
    colours = np.array([np.median(linear(pixels), axis=0) for pixels in bands]).reshape(len(bands), 3)
    cast = None if metal is None else metal_cast(metal)
    return Tapped(colours, cast, mean, tuple(_doubts(bands, metal, cast)))


def metal_cast(pixels: Array) -> Array | None:
    """The cast that a metal band shows: the light's own colour, since metal has none.

    Args:
        pixels: ``(n, 3)`` codes, 0 to 255.

    Returns:
        ``(2,)`` log red/green and log blue/green in linear light, each a median weighted by luminance; `None`
        where fewer than `FEWEST_OF_METAL` pixels are neither clipped nor black.

    Assumes:
        The metal is grey (steel, aluminium) and mirrors no coloured thing nearby. A gilt band breaks this.

    Source:
        docs/science/photographs.md, eq. 4: log ratios of channels.
    """
    brightest = pixels.max(axis=1)
    good = pixels[(brightest < BURNT_OUT) & (brightest > BLACK)]
    if len(good) < FEWEST_OF_METAL:
        return None
    light = np.clip(linear(good), _DARKEST, None)
    ratios = np.log(light[:, [0, 2]] / light[:, [1]])
    weights = light @ LUMINANCE
    return np.array([_weighted_median(ratios[:, at], weights) for at in (0, 1)])


def _weighted_median(values: Array, weights: Array) -> float:
    order: NDArray[np.intp] = np.argsort(values, kind="stable")
    running = np.cumsum(weights[order])
    return float(values[order[np.searchsorted(running, running[-1] / 2.0 - 1e-12)]])


def _doubts(bands: Sequence[Array], metal: Array | None, cast: Array | None) -> list[str]:
    told = []
    if any(float(np.median(pixels.max(axis=1))) < TOO_DARK for pixels in bands):
        told.append(TOO_DARK_SAID)
    if any(float(np.mean(pixels.max(axis=1) >= BURNT_OUT)) >= 0.5 for pixels in bands):
        told.append(CLIPPED)
    if metal is None:
        told.append(NO_METAL)
    elif cast is None:
        told.append(METAL_BURNT_OUT if float(np.median(metal.max(axis=1))) > BLACK else TOO_DARK_SAID)
    elif float(np.abs(cast).max()) > STRONG_CAST:
        told.append(COLOURED_LIGHT)
    if len(bands) == 1:
        told.append(TAP_ALL)
    return list(dict.fromkeys(told))
