"""Bands that fall off over a season, each on a day of its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from tarsus.core.marks.marks import Bands, Marks

_DAYS_A_YEAR: Final = 365.25


class BandLosses:
    """Which bands of each bird are still worn on a day of the season."""

    def __init__(self, marks: Sequence[Marks], per_year: float, rng: np.random.Generator) -> None:
        self.marks = marks
        """Draw the day on which each band falls off.

        Args:
            marks: what the birds wear on day 0.
            per_year: chance that a band falls off within a year, the same at every age.
            rng: the source of chance.
        """
        hazard = -np.log1p(-min(per_year, 1.0 - 1e-12)) / _DAYS_A_YEAR
        self.falls: list[dict[str, list[float]]] = []
        for worn in marks:
            # Drawn for every band, also where none is lost: the stream must not depend on the chance.
            days = {site: rng.standard_exponential(len(bands)) for site, bands in worn.sites}
            self.falls.append({s: (d / hazard if hazard else d + np.inf).tolist() for s, d in days.items()})
        self.first = [min((min(days) for days in falls.values()), default=np.inf) for falls in self.falls]

    def worn(self, bird: int, day: float) -> Marks:
        """What this bird wears on this day."""
        if day < self.first[bird]:
            return self.marks[bird]
        left: dict[str, Bands] = {}
        for site, bands in self.marks[bird].sites:
            days = self.falls[bird][site]
            left[site] = tuple(band for band, falls in zip(bands, days, strict=True) if falls > day)
        return Marks.of(left)
