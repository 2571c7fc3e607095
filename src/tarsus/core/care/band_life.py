"""How long bands stay readable, from those that failed and those that are still fine."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class WornBand:
    """One band's life so far: years worn, and whether it ended unreadable, faded, broken or lost.

    A band that is still fine, or came off for another reason (moult, a bird that left), counts as seen so
    far.
    """

    kind: str
    colour: str
    years: float
    failed: bool


@dataclass(frozen=True)
class LifeCurve:
    """Kaplan-Meier: at each time at which bands failed, the share still readable and its standard error."""

    years: Floats
    readable: Floats
    standard_error: Floats
    median_years: float | None


def life_curve(years: Sequence[float], failed: Sequence[bool]) -> LifeCurve:
    """Estimate the share of bands still readable after any time.

    Args:
        years: how long each band was worn until it failed or was last known to be fine.
        failed: whether it failed then; the others are censored.

    Returns:
        Steps at the failures, with Greenwood's standard errors; `median_years` is the first time at which
        half or fewer are readable, `None` where it never comes to that.

    Assumes:
        Bands that came off for other reasons would have failed as the others did.

    Source:
        Kaplan & Meier by `scipy.stats.ecdf`; Greenwood's formula; docs/science/band-life.md.
    """
    from scipy.stats import CensoredData, ecdf  # heavy: imported where it is used

    time, ended = np.asarray(years, dtype=float), np.asarray(failed, dtype=bool)
    if not ended.any():
        nothing = np.zeros(0)
        return LifeCurve(nothing, nothing, nothing, None)
    survival = ecdf(CensoredData(uncensored=time[ended], right=time[~ended])).sf
    steps = np.unique(time[ended])
    readable = np.asarray(survival.evaluate(steps), dtype=float)
    at_risk = np.array([(time >= step).sum() for step in steps], dtype=float)
    lost = np.array([(time[ended] == step).sum() for step in steps], dtype=float)
    with np.errstate(divide="ignore"):
        terms = np.cumsum(np.where(at_risk > lost, lost / (at_risk * (at_risk - lost)), np.nan))
    half = steps[readable <= 0.5]
    return LifeCurve(steps, readable, readable * np.sqrt(terms), float(half[0]) if len(half) else None)


AGES: Final = (2.0, 5.0, 10.0)
"""Ages in years at which the yearly chance of failing may change."""

LOSS_PER_YEAR: Final = 0.025
WEAR_PER_YEAR: Final = 0.01
"""Plastic colour rings of oystercatchers (Avian Research 2019 10:11): a prior here, and said to be one."""
RED_OR_WHITE: Final = 2.0
OLD: Final = 3.0
"""That source: *more* for red and white, *fast* after 10 to 15 years, no figures. These two are ours."""
PRIOR_BAND_YEARS: Final = 20.0
"""The published rates count as so many band-years of the park's own record."""


_EDGES: Final = (0.0, *AGES, np.inf)


@dataclass(frozen=True)
class Lived:
    """What all bands of a kind and colour lived through within one span of ages."""

    band_years: float
    failures: int


BandRecord = Mapping[tuple[str, str], tuple[Lived, ...]]
"""The park's bands by kind and colour: one `Lived` for each span between 0, `AGES` and no end."""


def record_of(bands: Iterable[WornBand]) -> BandRecord:
    """Sum up a park's bands, those that failed and those that did not, once for all weighed by it."""
    alike: dict[tuple[str, str], list[WornBand]] = defaultdict(list)
    for band in bands:
        alike[band.kind, band.colour].append(band)
    return {
        key: tuple(
            Lived(
                sum(max(0.0, min(band.years, high) - low) for band in told),
                sum(band.failed and low <= band.years < high for band in told),
            )
            for low, high in pairwise(_EDGES)
        )
        for key, told in alike.items()
    }


_NOTHING: Final = tuple(Lived(0.0, 0) for _ in pairwise(_EDGES))


@dataclass(frozen=True)
class Wear:
    """Chance that a band becomes unreadable within a time, and what it rests on."""

    chance: float
    failures: int
    band_years: float

    @property
    def rests_on(self) -> str:
        """What the chance rests on, in words."""
        if self.band_years < 1.0:
            return "published wear of other birds' bands only, none of this park's yet"
        return (
            f"{self.failures} failures in {self.band_years:.0f} band-years here, "
            f"with published wear counted as {PRIOR_BAND_YEARS:.0f} more"
        )


def likely_unreadable(
    kind: str, colour: str, years_worn: float, years_ahead: float, record: BandRecord
) -> Wear:
    """Weigh how likely a band that is fine today is unreadable before a day.

    Args:
        kind: of the band; only bands of the same kind and colour speak for it.
        colour: of the band.
        years_worn: its age today.
        years_ahead: how far ahead.
        record: the park's bands, as `record_of` sums them up.

    Returns:
        The chance with the evidence it rests on. The hazard is constant within the ages of `AGES`, each a
        gamma whose prior is the published rate.

    Source:
        Gamma-Poisson per age; docs/science/band-life.md, eq. 3.
    """
    lived = record.get((kind, colour), _NOTHING)
    log_readable = 0.0
    for (low, high), here in zip(pairwise(_EDGES), lived, strict=True):
        ahead = max(0.0, min(years_worn + years_ahead, high) - max(years_worn, low))
        shape = prior_rate(colour, low) * PRIOR_BAND_YEARS + here.failures
        rate = PRIOR_BAND_YEARS + here.band_years
        log_readable += shape * math.log(rate / (rate + ahead))
    failures, band_years = sum(one.failures for one in lived), sum(one.band_years for one in lived)
    return Wear(-math.expm1(log_readable), failures, band_years)


def prior_rate(colour: str, age_years: float) -> float:
    """Yearly chance of failing before anything is known here, from published wear of plastic rings.

    Source:
        Plastic colour rings of oystercatchers, Avian Research 2019 10:11 (from memory); the factors are ours.
        docs/science/band-life.md.
    """
    wear = WEAR_PER_YEAR * (RED_OR_WHITE if colour in ("red", "white") else 1.0)
    return (LOSS_PER_YEAR + wear) * (OLD if age_years >= AGES[-1] else 1.0)
