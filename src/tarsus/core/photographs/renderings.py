"""How each colour of a palette may look in a photograph: aged, under every cast and exposure weighed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarsus.core.marks.palette import Palette
from tarsus.core.photographs.light import Array, casts, under
from tarsus.core.photographs.pixels import linear

EXPOSURES: Final[Array] = np.arange(-4.0, 1.6, 0.5)
"""Exposures weighed, in stops: a band of full brightness may be four stops under or one and a half over."""

AGEING: Final = (
    (0.35, 0.0, 0.0),
    (0.17, 0.15, 0.0),
    (0.12, 0.3, 0.0),
    (0.15, 0.0, 0.17),
    (0.09, 0.0, 0.38),
    (0.12, 0.15, 0.25),
)
"""How bands age: weight, share that is faded, share under mud. Invented; weights sum to 1."""

FADED: Final = 0.55
"""Linear grey towards which a colour fades where its own faded look is not known. Invented."""

MUD: Final[Array] = np.array([0.20, 0.155, 0.10])
"""Linear sRGB of dried mud. Invented."""

NOISE: Final = 0.028
"""Spread of a band's encoded colour about its rendering. Tuned on simulation."""

SHADE: Final = 0.25
"""Spread of a band's own brightness (a cylinder turns from the light), as a share. Tuned on simulation."""


@dataclass(frozen=True, slots=True)
class Renderings:
    """All looks of a palette, with axes L casts · E exposures · K colours · V ways of ageing.

    `encoded`: ``(L, E, K, V, 3)``. `log_spread`: ``(L, E, K, V)`` half the logarithm of what a band's own
    brightness adds to the spread. `shade`: ``(L, E, K, V)`` how far a difference along the rendering itself
    is forgiven. `prior`: ``(L,)`` logarithms. `metal`: ``(L, 2)`` log red/green and log blue/green of a grey
    thing.
    """

    names: tuple[str, ...]
    encoded: Array
    log_spread: Array
    shade: Array
    prior: Array
    metal: Array


def encoded(light: Array) -> Array:
    """Linear light as it is compared: a power near a camera's, in which noise is about even.

    A perceptual space does not serve better here; an encoded one does (.03 of the error, simulated).

    Source:
        docs/science/photographs.md, eq. 2.
    """
    return np.asarray(0.8 * np.clip(light, 0.0, None) ** (1.0 / 2.4))


def renderings(palette: Palette, faded: Mapping[str, str] | None = None) -> Renderings:
    """Lay out how a palette's colours may look.

    Args:
        palette: the park's colours when new.
        faded: of a colour how it looks when old, ``#rrggbb``, where the park knows; others fade to grey.

    Returns:
        The looks; about 0.3 million numbers for thirteen colours.

    Source:
        docs/science/photographs.md, eq. 1 and 2.
    """
    known = dict(faded or {})
    new = _linear_of([palette.hex_of(name) for name in palette.names])
    old = np.array(
        [_linear_of([known[name]])[0] if name in known else np.full(3, FADED) for name in palette.names]
    ).reshape(-1, 3)
    aged = np.stack(
        [(1.0 - mud) * ((1.0 - fade) * new + fade * old) + mud * MUD for _, fade, mud in AGEING], axis=1
    )
    sheets, prior = casts()
    looks = under(sheets, aged)
    stops = (2.0**EXPOSURES).reshape(1, -1, 1, 1, 1)
    shown = encoded(np.minimum(looks[:, None] * stops, 1.0))
    brightness = (shown * shown).sum(axis=-1) / 9.0
    along = SHADE**2 / (NOISE**2 * (NOISE**2 + SHADE**2 * brightness)) / 9.0
    return Renderings(
        palette.names,
        shown,
        -0.5 * np.log1p(SHADE**2 * brightness / NOISE**2),
        along,
        prior,
        np.log(sheets[:, [0, 2]] / sheets[:, [1]]),
    )


def _linear_of(hexes: list[str]) -> Array:
    codes = [[int(value[at : at + 2], 16) for at in (1, 3, 5)] for value in hexes]
    return linear(np.array(codes, dtype=np.float64).reshape(-1, 3))
