"""From a line of a flock list to a bird with its bands, its age and its papers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from tarsus.core.marks.marks import METAL, Marks
from tarsus.demo.calendar import Calendar
from tarsus.demo.prepared import PreparedBand, PreparedBird, PreparedSpecies, PreparedStay
from tarsus.demo.stories import BANDED_AS_THE_OTHER_SEX

ELSEWHERE = "Saltmere Bird Collection"
GROWN_AT_DAYS = 28
GROWN_SINCE_DAYS = 420
OLD_BANDS_SINCE_DAYS = 900


@dataclass(frozen=True)
class Line:
    """One line of a flock list."""

    name: str
    sex: str
    marks: Marks
    age_days: int
    dam: str = ""
    sire: str = ""


def ages(rng: np.random.Generator, number: int, youngest: int, oldest: int) -> list[int]:
    """Ages in days, oldest first, as a flock that grew year by year."""
    return sorted((int(days) for days in rng.integers(youngest, oldest, number)), reverse=True)


def engravings(first: int) -> Iterator[str]:
    """Metal numbers of one series, each used once."""
    while True:
        yield f"WB {first}"
        first += 1


def fitted(marks: Marks, since: date, size: str, engraving: str) -> tuple[PreparedBand, ...]:
    """All bands of a bird, fitted on one day."""
    wing = any("wing" in site for site, _ in marks.sites)
    bands = []
    for site, colours in marks.sites:
        for order, colour in enumerate(colours):
            metal = colour == METAL
            kind = "metal" if metal else "wing" if wing else "colour"
            bands.append(
                PreparedBand(
                    kind=kind,
                    colour="" if metal else colour,
                    site=site,
                    order=100 * (order + 1),
                    since=since,
                    engraving=engraving if metal else "",
                    size=size,
                )
            )
    return tuple(bands)


def in_season(age_days: int, seasonal: bool, at: Calendar) -> date:
    """A hatch date about so many days ago; a grown bird that breeds by season hatched in early summer."""
    hatched = at.day(age_days)
    if not seasonal or age_days < GROWN_SINCE_DAYS:
        return hatched
    summer = date(hatched.year, 5, 8) + timedelta(days=age_days * 37 % 75)
    return summer if (at.today - summer).days >= GROWN_SINCE_DAYS else summer.replace(year=summer.year - 1)


def bird_of(
    line: Line,
    species: PreparedSpecies,
    exhibit: str,
    numbers: Iterator[str],
    rng: np.random.Generator,
    at: Calendar,
) -> PreparedBird:
    """A bird with everything a park knows of it."""
    hatched = in_season(line.age_days, species.form != "wings", at)
    banded = hatched + timedelta(days=GROWN_AT_DAYS)
    here = line.age_days < OLD_BANDS_SINCE_DAYS or rng.random() < 0.7
    arrived = hatched if here else hatched + timedelta(days=int(rng.integers(120, 300)))
    has_metal = any(METAL in colours for _, colours in line.marks.sites)
    released = None if here else arrived + timedelta(days=30)
    stay = PreparedStay(
        exhibit, arrived, None, "hatched" if here else "arrived", "" if here else ELSEWHERE, released
    )
    bands = fitted(line.marks, banded, species.band_size, next(numbers) if has_metal else "")
    known_on = None if line.sex == "U" else banded + timedelta(days=int(rng.integers(10, 200)))
    by_dna = rng.random() < 0.75 and line.name != BANDED_AS_THE_OTHER_SEX
    known_by = "" if line.sex == "U" else "DNA" if by_dna else "behaviour"
    return PreparedBird(
        name=line.name,
        species=species.name,
        sex=line.sex,
        sex_known_by=known_by,
        sex_known_on=None if known_on is None else min(known_on, at.day(0)),
        hatched_on=hatched,
        hatched_precision="day" if here else "year",
        origin="hatched here" if here else "hatched elsewhere",
        stays=(stay,),
        bands=_with_replacements(bands, rng, at),
        dam=line.dam,
        sire=line.sire,
        # 999 stands in place of a country for test transponders (from memory): no animal wears one of these.
        transponder=f"999000{rng.integers(10**8, 10**9)}",
    )


def _with_replacements(
    bands: tuple[PreparedBand, ...], rng: np.random.Generator, at: Calendar
) -> tuple[PreparedBand, ...]:
    """The same bands, some of them renewed since: plastic cracks and fades, and white and red sooner."""
    renewed: list[PreparedBand] = []
    for band in bands:
        worn_days = (at.day(0) - band.since).days
        hazard = 0.0 if band.kind == "metal" else 0.045 * (1.8 if band.colour in ("red", "white") else 1.0)
        if worn_days > OLD_BANDS_SINCE_DAYS and rng.random() < 1 - np.exp(-hazard * worn_days / 365.25):
            renewed += _renewed(band, int(rng.integers(400, worn_days)), str(rng.choice(WORN_OUT)))
        else:
            renewed.append(band)
    return tuple(renewed)


WORN_OUT = ("replaced", "replaced", "lost")


def _renewed(band: PreparedBand, after_days: int, because: str) -> list[PreparedBand]:
    change = band.since + timedelta(days=after_days)
    common = (band.kind, band.colour, band.site, band.order)
    return [
        PreparedBand(*common, band.since, change, because, band.engraving, band.size),
        PreparedBand(*common, change, engraving=band.engraving, size=band.size),
    ]
