"""Which colours the tapped bands have: all bands, the metal, every light and exposure weighed together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarsus.core.photographs.cameras import AS_THOUGHT, Camera
from tarsus.core.photographs.light import Array
from tarsus.core.photographs.pixels import Tapped
from tarsus.core.photographs.renderings import EXPOSURES, NOISE, Renderings, encoded

FREEDOM: Final = 8.0
"""Degrees of freedom of a band's difference (Student t). Tuned on simulation."""

ANYTHING: Final = 0.01
"""Share of a band that may look like anything: a reflection, a scratch. Tuned on simulation."""

METAL_SPREAD: Final = 0.13
METAL_FREEDOM: Final = 3.0
"""How closely metal shows the light. Spread invented, Student t of three degrees."""

USUAL_STOPS: Final = 2.2
STOPS_SPREAD: Final = 1.0
"""A camera exposes so that a full white lies about so many stops above the picture's mean. Invented."""

DARKEST_MEAN: Final = 1e-4

LEAST: Final = 1e-6
MOST: Final = 512


@dataclass(frozen=True, slots=True)
class Photographed:
    """What one photograph tells of its bands, with axes N bands · X lights and exposures · K colours.

    `chances`: ``(N, K)``, each row sums to 1. `light`: ``(X,)`` logarithm of each light and exposure before
    the bands. `bands`: ``(N, X, K)`` how well each colour explains each band under each.
    """

    names: tuple[str, ...]
    chances: Array
    light: Array
    bands: Array


def photographed(looks: Renderings, taps: Tapped, camera: Camera = AS_THOUGHT) -> Photographed:
    """Weigh the colours of all tapped bands together.

    Args:
        looks: how the palette may look.
        taps: what was tapped.
        camera: how far its colours are trusted, and how bands age in this park.

    Returns:
        The chance of each colour for each band, and what a reader of whole birds needs.

    Assumes:
        All bands stand in one light; a leg half in shade is forgiven by each band's own brightness, a leg
        under a coloured lamp beside daylight is not.

    Source:
        docs/science/photographs.md, eq. 3 to 6.
    """
    light = light_of(looks, taps)
    each = np.array([mixed(fits(looks, colour), camera, looks.names) for colour in taps.bands]).reshape(
        len(taps.bands), len(light), len(looks.names)
    )
    means = np.log(each.mean(axis=-1))
    together = light + means.sum(axis=0)
    rows = []
    for at in range(len(each)):
        # The others' word on the light, and this band's own under it.
        others = together - means[at]
        row = np.exp(others - others.max(initial=-np.inf)) @ each[at]
        rows.append(row / row.sum())
    return Photographed(looks.names, np.array(rows).reshape(len(each), -1), light, each)


def colourings(photo: Photographed) -> list[tuple[tuple[int, ...], float]]:
    """The joint colours that the bands may have, the likeliest first.

    Returns:
        Pairs of palette indices, one a band, and a chance; those under `LEAST` are left out, and all together
        they sum to 1. Their chances are not the product of the rows: bands stand in one light.

    Source:
        docs/science/photographs.md, eq. 6.
    """
    cells = photo.light + np.log(photo.bands.mean(axis=-1)).sum(axis=0)
    weights = np.exp(cells - cells.max())[None, :]
    found: list[tuple[int, ...]] = [()]
    for band in photo.bands:
        ratio = band / band.mean(axis=-1, keepdims=True) / band.shape[-1]
        grown = weights[:, :, None] * ratio[None, :, :]
        totals = grown.sum(axis=1).ravel()
        keep = np.argsort(-totals, kind="stable")[:MOST]
        keep = keep[totals[keep] >= LEAST * totals.sum()]
        width = band.shape[-1]
        found = [(*found[at // width], int(at % width)) for at in keep]
        weights = np.stack([grown[at // width, :, at % width] for at in keep])
    shares = weights.sum(axis=1)
    order = np.argsort(-shares, kind="stable")
    return [(found[at], float(shares[at] / shares.sum())) for at in order]


def light_of(looks: Renderings, taps: Tapped) -> Array:
    """``(X,)`` logarithm of each light and exposure, up to a constant, before the bands.

    Source:
        docs/science/photographs.md, eq. 4.
    """
    light = (looks.prior + _of_metal(looks, taps))[:, None] + _of_exposure(taps.mean)[None, :]
    return np.asarray(light.ravel())


def _of_exposure(mean: float) -> Array:
    stops = EXPOSURES - np.log2(max(mean, DARKEST_MEAN)) - USUAL_STOPS
    return np.asarray(-0.5 * (stops / STOPS_SPREAD) ** 2)


def _of_metal(looks: Renderings, taps: Tapped) -> Array:
    if taps.cast is None:
        return np.zeros(len(looks.prior))
    apart = (((taps.cast - looks.metal) / METAL_SPREAD) ** 2).sum(axis=1)
    return np.asarray(-(METAL_FREEDOM + 2.0) / 2.0 * np.log1p(apart / METAL_FREEDOM))


def fits(looks: Renderings, colour: Array) -> Array:
    """``(X, K, V)`` how well each colour, aged in each way, explains one band under each light.

    Source:
        docs/science/photographs.md, eq. 3.
    """
    apart = encoded(colour) - looks.encoded
    square = (apart * apart).sum(axis=-1) / NOISE**2
    square -= looks.shade * (apart * looks.encoded).sum(axis=-1) ** 2
    fit = np.exp(looks.log_spread - (FREEDOM + 3.0) / 2.0 * np.log1p(square / FREEDOM))
    return np.asarray(fit.reshape(-1, *fit.shape[2:]))


def mixed(fit: Array, camera: Camera, names: Sequence[str]) -> Array:
    """``(X, K)`` how well each colour explains one band, its ways of ageing mixed and tempered.

    Source:
        docs/science/photographs.md, eq. 3, 8 and 10.
    """
    chances = (fit * camera.weights_of(names)).sum(axis=-1)
    chances = (1.0 - ANYTHING) * chances + ANYTHING * chances.mean(axis=-1, keepdims=True)
    return np.asarray(chances if camera.exponent == 1.0 else chances**camera.exponent)
