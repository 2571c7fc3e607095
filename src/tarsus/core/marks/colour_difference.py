"""How far apart two colours look."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.palette import Palette

_CACHED: Final = 64


Lab = tuple[float, float, float]


def lab_difference(one: Lab, other: Lab) -> float:
    """Tell two colours apart as an eye in daylight does.

    Args:
        one: L*, a*, b* under daylight (D65).
        other: the same of the other colour.

    Returns:
        CIEDE2000, at least 0; about 1 is just to be noticed side by side.

    Source:
        Sharma, Wu & Dalal 2005, Color Res. Appl. 30:21-30, through the coloraide library.
    """
    from coloraide import Color  # 0.1 s: not for commands that weigh no colours

    return float(Color("lab-d65", one).delta_e(Color("lab-d65", other), method="2000"))


def lab(hexed: str) -> Lab:
    """L*, a*, b* of an sRGB colour under daylight (D65)."""
    from coloraide import Color  # 0.1 s: not for commands that weigh no colours

    lightness, a, b = Color(hexed).convert("lab-d65").coords(nans=False)
    return float(lightness), float(a), float(b)


def difference(one: str, other: str) -> float:
    """`lab_difference` of two sRGB colours, written ``#rrggbb``."""
    return lab_difference(lab(one), lab(other))


@lru_cache(maxsize=_CACHED)
def _differences(looks: tuple[str, ...], names: tuple[str, ...]) -> NDArray[np.float64]:
    labs, others = [lab(look) for look in looks], [lab(name) for name in names]
    table = np.array([[lab_difference(one, other) for other in others] for one in labs], dtype=np.float64)
    table.setflags(write=False)
    return table.reshape(len(looks), len(names))


def differences(looks: Palette, names: Palette) -> NDArray[np.float64]:
    """How far each band's look is from what each colour name stands for.

    Args:
        looks: the colours as the bands look now.
        names: the colours as the names mean them; the same names in the same order.

    Returns:
        ``(C, C)`` CIEDE2000 of look ``i`` from name ``j`` at ``[i, j]``. Symmetric only where nothing has
        faded.
    """
    return _differences(
        tuple(hexed for _, hexed in looks.colours), tuple(hexed for _, hexed in names.colours)
    )
