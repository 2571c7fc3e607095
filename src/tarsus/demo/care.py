"""Weights, band checks and handlings of the last thirteen months."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from tarsus.core.readings.misreading import Misreading
from tarsus.demo.calendar import Calendar
from tarsus.demo.eyes import read_bird
from tarsus.demo.garden import ALDER, HESPER, JORY, NELL, TAMSIN
from tarsus.demo.prepared import (
    PreparedBand,
    PreparedBird,
    PreparedHandling,
    PreparedSpecies,
    PreparedWeight,
)
from tarsus.demo.species import AFRICAN_PENGUIN, AVOCET, IBIS, RUFF, SPECIES, SPOONBILL, STILT
from tarsus.demo.stories import FADED, IN_MOULT, IN_MOULT_SINCE_DAYS, LIGHT, WORN

# Mean mass by sex and spread between birds: avocet, ruff and African penguin after printed means, the
# others spun within the species' weak ranges (see species.py).
_MASS_G: Final = {
    AVOCET.name: ({"F": 306.0, "M": 310.0, "U": 300.0}, 15.0),
    STILT.name: ({"F": 178.0, "M": 184.0, "U": 175.0}, 7.0),
    RUFF.name: ({"F": 104.0, "M": 171.0, "U": 130.0}, 6.0),
    SPOONBILL.name: ({"F": 1520.0, "M": 1780.0, "U": 1500.0}, 80.0),
    IBIS.name: ({"F": 1220.0, "M": 1390.0, "U": 1150.0}, 60.0),
    AFRICAN_PENGUIN.name: ({"F": 2960.0, "M": 3310.0, "U": 3000.0}, 150.0),
}
_WITHIN: Final = 0.013
_PERCH_WITHIN: Final = 0.008
CATCH_UPS_DAYS_AGO: Final = (371, 286, 203, 118, 47)
PERCH_DAYS_AGO: Final = (40, 33, 26, 19, 12)
LIGHT_DAYS_AGO: Final = 2
LIGHT_SHARE: Final = 0.92
GROWN_AT_DAYS: Final = 60
KINDS: Final = {species.name: species for species in SPECIES}


def usual_weights(birds: Sequence[PreparedBird], rng: np.random.Generator) -> dict[str, float]:
    """Each bird's own usual weight."""
    usual = {}
    for bird in birds:
        if bird.species in _MASS_G:
            means, spread = _MASS_G[bird.species]
            usual[bird.name] = means[bird.sex] + spread * float(rng.standard_normal())
    return usual


def weighings(
    birds: Sequence[PreparedBird], usual: dict[str, float], rng: np.random.Generator, at: Calendar
) -> list[PreparedWeight]:
    """Penguins on the walk-on scale every two weeks; Tansy on the perch scale, at last 8 % light."""
    told = []
    for bird in birds:
        if bird.species == AFRICAN_PENGUIN.name and not bird.left:
            for days_ago in range(394, 0, -14):
                grams = usual[bird.name] * _fattened(bird, days_ago) * (1 + _WITHIN * rng.standard_normal())
                moment = at.at(days_ago, "15:40", 40.0 * rng.integers(0, 30))
                moulting = bird.name == IN_MOULT and days_ago <= IN_MOULT_SINCE_DAYS
                told.append(
                    PreparedWeight(bird.name, moment, _rounded(grams), "walk-on", False, JORY, moulting)
                )
    shares = [*(1 + _PERCH_WITHIN * rng.standard_normal(len(PERCH_DAYS_AGO))), LIGHT_SHARE]
    for days_ago, share in zip((*PERCH_DAYS_AGO, LIGHT_DAYS_AGO), shares, strict=True):
        grams = round(usual[LIGHT] * float(share))
        told.append(PreparedWeight(LIGHT, at.at(days_ago, "06:40"), grams, "perch", False, TAMSIN))
    return told


def _fattened(bird: PreparedBird, days_ago: int) -> float:
    """Penguins gain before the moult (common practice: up to half); Tide did in its last thirty days."""
    before = days_ago - IN_MOULT_SINCE_DAYS
    return 1.0 + 0.013 * max(0, 30 - before) if bird.name == IN_MOULT and before > 0 else 1.0


def _rounded(grams: float) -> float:
    return float(round(grams / 5) * 5 if grams > 1000 else round(grams))


def handlings(
    birds: Sequence[PreparedBird],
    usual: dict[str, float],
    misreading: Misreading,
    rng: np.random.Generator,
    at: Calendar,
) -> list[PreparedHandling]:
    """Everybody with leg bands at five catch-ups: read before catching, weighed, each band looked at."""
    told = []
    for days_ago in CATCH_UPS_DAYS_AGO:
        for bird in birds:
            if _caught(bird, days_ago, at):
                told.append(_caught_up(bird, days_ago, usual[bird.name], misreading, rng, at))
    note = "Seen by the vet. Fed after release."
    told.append(PreparedHandling("Marsh", at.at(70, "09:10"), ALDER, "health check", 1490.0, note=note))
    return told


def _caught(bird: PreparedBird, days_ago: int, at: Calendar) -> bool:
    day = at.day(days_ago)
    leg_banded = bool(KINDS[bird.species].sites) and KINDS[bird.species].form != "wings"
    here = bird.exhibit_on(day) is not None and (bird.left_on is None or bird.left_on > day)
    return leg_banded and here and (day - bird.hatched_on).days > GROWN_AT_DAYS


def _caught_up(
    bird: PreparedBird,
    days_ago: int,
    usual: float,
    misreading: Misreading,
    rng: np.random.Generator,
    at: Calendar,
) -> PreparedHandling:
    day = at.day(days_ago)
    kind: PreparedSpecies = KINDS[bird.species]
    worn = bird.marks_on(day)
    on = [band for band in bird.bands if band.since <= day and (band.until is None or band.until > day)]
    last = days_ago == CATCH_UPS_DAYS_AGO[-1]
    return PreparedHandling(
        bird=bird.name,
        at=at.at(days_ago, "05:20", 55.0 * float(rng.integers(0, 100))),
        by=HESPER,
        why="catch-up: bands and weight",
        grams=_rounded(usual * (1 + _WITHIN * float(rng.standard_normal()))),
        conditions={(b.site, b.order, b.since): _condition(bird, b) if last else "good" for b in on},
        engraving_read=next((band.engraving for band in on if band.engraving), ""),
        read_before=read_bird(worn, kind, misreading, None, rng) if worn.sites else None,
        read_by=str(rng.choice((TAMSIN, JORY, NELL))),
        worn=worn,
    )


def _condition(bird: PreparedBird, band: PreparedBand) -> str:
    if bird.name == FADED and band.colour == "red":
        return "faded"
    if bird.name == WORN and band.kind == "colour" and band.order == 100:
        return "worn"
    return "good"


def bands_off_for_moult(bird: PreparedBird, at: Calendar) -> PreparedBird:
    """The moulting penguin without its wing band; every other bird as it is."""
    if bird.name != IN_MOULT:
        return bird
    off = at.day(IN_MOULT_SINCE_DAYS)
    bands = tuple(replace(b, until=off, off_because="moult") if b.until is None else b for b in bird.bands)
    return replace(bird, bands=bands)
