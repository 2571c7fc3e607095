"""Lights under which a photograph may have been taken, and what a light does to a colour.

A camera has taken most of the light out already (its white balance); what is left is a cast. Casts are laid
out along the daylight locus and beside it, in steps of mired (a million divided by the temperature), in which
equal steps look about equally large.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SRGB_TO_XYZ: Final[Array] = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
"""Linear sRGB to CIE XYZ. Published: IEC 61966-2-1 (D65)."""

CAT16: Final[Array] = np.array(
    [[0.401288, 0.650173, -0.051461], [-0.250268, 1.204414, 0.045854], [-0.002079, 0.048952, 0.953127]]
)
"""XYZ to the responses that a change of light scales (Li et al. 2017, Color Res. Appl. 42:703-718)."""

LUMINANCE: Final[Array] = np.array([0.2126, 0.7152, 0.0722])
"""What each linear sRGB channel adds to luminance. Published: ITU-R BT.709."""

TO_RESPONSES: Final[Array] = CAT16 @ SRGB_TO_XYZ

DAYLIGHT_MIRED: Final = 153.75
DAYLIGHT_DUV: Final = 0.0032
"""D65 in mired and its distance from the Planckian locus: the middle of all casts (CIE 015:2018)."""

MIRED: Final[Array] = np.arange(-110.0, 231.0, 26.0)
DUV: Final[Array] = np.array([-0.03, -0.02, -0.01, 0.0, 0.01, 0.02, 0.03])
"""Casts laid out: from blue shade to lamplight, from pink to green. The steps are invented."""

MIRED_SPREAD: Final = 50.0
DUV_SPREAD: Final = 0.01
CAST_FREEDOM: Final = 3.0
"""How far casts stray after white balance (Student t of three degrees). Invented."""

_DARKEST_CHANNEL: Final = 0.02


def planckian(kelvin: float) -> Array:
    """The colour of a glowing body.

    Args:
        kelvin: its temperature, 1000 to 15000.

    Returns:
        ``(2,)`` u, v of the CIE 1960 diagram.

    Source:
        Krystek 1985, Color Res. Appl. 10(1):38-40.
    """
    t = kelvin
    u = (0.860117757 + 1.54118254e-4 * t + 1.28641212e-7 * t * t) / (
        1.0 + 8.42420235e-4 * t + 7.08145163e-7 * t * t
    )
    v = (0.317398726 + 4.22806245e-5 * t + 4.20481691e-8 * t * t) / (
        1.0 - 2.89741816e-5 * t + 1.61456053e-7 * t * t
    )
    return np.array([u, v])


def white(mired: float, duv: float) -> Array:
    """The linear sRGB of a white sheet under a light.

    Args:
        mired: a million divided by the light's temperature.
        duv: its distance from the Planckian locus in the CIE 1960 diagram, positive towards green.

    Returns:
        ``(3,)`` of luminance 1; a channel that would vanish is kept a little above 0.

    Source:
        CIE 1960 (u, v) to XYZ; Krystek 1985; docs/science/photographs.md.
    """
    kelvin = 1e6 / mired
    along = planckian(kelvin * 1.001) - planckian(kelvin * 0.999)
    across = np.array([-along[1], along[0]]) / np.hypot(*along)
    across *= np.sign(across[1])
    u, v = planckian(kelvin) + across * duv
    scale = 2.0 * u - 8.0 * v + 4.0
    x, y = 3.0 * u / scale, 2.0 * v / scale
    sheet = np.linalg.solve(SRGB_TO_XYZ, np.array([x / y, 1.0, (1.0 - x - y) / y]))
    return np.asarray(np.clip(sheet, _DARKEST_CHANNEL, None))


def casts() -> tuple[Array, Array]:
    """All casts that are weighed, and how likely each is before anything is seen.

    Returns:
        ``(L, 3)`` linear sRGB of a white sheet of luminance 1 · ``(L,)`` logarithms, up to a constant.

    Source:
        docs/science/photographs.md, "The model"; the spread of casts is invented.
    """
    sheets, priors = [], []
    neutral = white(DAYLIGHT_MIRED, DAYLIGHT_DUV)
    for mired in MIRED:
        for duv in DUV:
            sheet = white(DAYLIGHT_MIRED + float(mired), float(duv) + DAYLIGHT_DUV) / neutral
            sheets.append(sheet / (sheet @ LUMINANCE))
            priors.append(_stray(float(mired) / MIRED_SPREAD) + _stray(float(duv) / DUV_SPREAD))
    return np.array(sheets), np.array(priors)


def _stray(distance: float) -> float:
    return -(CAST_FREEDOM + 1.0) / 2.0 * float(np.log1p(distance * distance / CAST_FREEDOM))


def under(sheets: Array, colours: Array) -> Array:
    """Colours as they look under casts.

    Args:
        sheets: ``(L, 3)`` white under each cast, linear sRGB.
        colours: ``(..., 3)`` linear sRGB in daylight.

    Returns:
        ``(L, ..., 3)`` linear sRGB, none below 0.

    Assumes:
        A change of light scales three responses of the eye (von Kries). A narrow-band lamp breaks this.

    Source:
        Li et al. 2017 (CAT16), full adaptation.
    """
    gains = (sheets @ TO_RESPONSES.T) / TO_RESPONSES.sum(axis=1)
    gains = gains.reshape(len(sheets), *(1,) * (colours.ndim - 1), 3)
    looks = (colours @ TO_RESPONSES.T) * gains @ np.linalg.inv(TO_RESPONSES).T
    return np.asarray(np.clip(looks, 0.0, None))
