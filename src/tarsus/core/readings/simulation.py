"""Readings as an observer would make them: the error process, drawn."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from tarsus.core.marks.marks import NOT_MADE_OUT, Bands, Marks, Reading
from tarsus.core.marks.sites import MIRROR, SITES
from tarsus.core.readings.misreading import Misreading


def simulate_reading(
    rng: np.random.Generator,
    marks: Marks,
    misreading: Misreading,
    *,
    sites: Iterable[str] | None = None,
    unclear: float = 0.0,
) -> Reading:
    """Draw one reading of one bird.

    Args:
        rng: the source of chance.
        marks: what the bird wears.
        misreading: the observer.
        sites: sites that are seen; left out, those the bird wears bands on and their mirrors.
        unclear: chance that a band is noticed without its colour (``?``).

    Returns:
        The reading; without `unclear` its distribution is that of `Misreading.reading_chance`.

    Source:
        docs/science/reading.md, eqs. 1 to 3.
    """
    if sites is None:
        worn = {site for site, _ in marks.sites}
        seen = [site for site in SITES if site in worn or MIRROR[site] in worn]
    else:
        seen = list(sites)
    mixed_up = rng.random() < misreading.swap
    return Reading.of(
        {s: _site(rng, marks.at(MIRROR[s] if mixed_up else s), misreading, unclear) for s in seen}
    )


def _site(rng: np.random.Generator, worn: Bands, misreading: Misreading, unclear: float) -> Bands:
    shown = [band for band in worn if rng.random() >= misreading.gone]
    if len(shown) > 1 and rng.random() < misreading.flip:
        at = int(rng.integers(len(shown) - 1))
        shown[at], shown[at + 1] = shown[at + 1], shown[at]
    return tuple(_read(rng, band, misreading, unclear) for band in shown)


def _read(rng: np.random.Generator, band: str, misreading: Misreading, unclear: float) -> str:
    if unclear > 0.0 and rng.random() < unclear:
        return NOT_MADE_OUT
    row = misreading.table[misreading.code[band]]
    # The last word takes what rounding leaves over.
    at = min(int(np.searchsorted(np.cumsum(row), rng.random(), side="right")), len(row) - 1)
    return misreading.words[at]
