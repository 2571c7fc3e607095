"""Photographs of legs that one keeper took before the last catch-up, with a phone whose colours are strange.

What the phone tapped is drawn; what the register makes of it, it learns as in any park.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import Any, Final
from uuid import UUID

import numpy as np

from tarsus.actions.bulk.frozen import FrozenRows, frozen
from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.rounds.naming import BY_READING
from tarsus.demo.chance import SEED, stream, uuids
from tarsus.demo.frozen.keys import Keys
from tarsus.demo.garden import TAMSIN
from tarsus.demo.prepared import PreparedHandling, PreparedPark

PHOTOGRAPHS: Final = 40
SURE: Final = 0.97
DEVICE: Final = "tamsins-phone"
DAYS_BEFORE: Final = (2, 9)
"""So long before it was caught a bird was photographed."""

# A phone that shows greys as they are, and every colour a twelfth further round the wheel and gaudier. Ours.
_GAUDY: Final = 1.3
_TURNED: Final = np.array([[0.911, -0.244, 0.333], [0.333, 0.911, -0.244], [-0.244, 0.333, 0.911]])
_GRAIN: Final = 11.0


def photograph_rows(park: PreparedPark, keys: Keys, seed: int = SEED) -> Iterator[FrozenRows]:
    """The photographs, each with the sighting that was read from it; none where no roll was called yet then.

    Args:
        park: the invented park, whose last catch-up says what each bird wore.
        keys: what its names turned into.
        seed: of the phone's colours.
    """
    first = next((one.started_at for one in park.rounds), None)
    rng = stream(seed, "photographs")
    caught = [one for one in park.handlings if one.engraving_read and _has_colours(one.worn)]
    last = max((one.at.date() for one in caught), default=None)
    sightings: list[dict[str, object]] = []
    photographs: list[dict[str, object]] = []
    for one in [one for one in caught if one.at.date() == last][:PHOTOGRAPHS]:
        at = one.at - timedelta(days=int(rng.integers(*DAYS_BEFORE)))
        if first is None or at < first:
            continue
        seen, kept = (UUID(key) for key in uuids(rng, 2))
        told = keys.told(at, TAMSIN) | {"device": DEVICE}
        sightings.append({"id": seen, **_sighting(park, one, keys, at.date()), **told})
        taps = _taps(one.worn, park.palette, rng)
        photographs.append({"id": kept, "sighting_id": seen, "own_camera": True, "taps": taps, **told})
    if sightings:
        yield frozen("sighting", sightings)
        yield frozen("photograph", photographs)


def _has_colours(worn: Marks | None) -> bool:
    return worn is not None and any(band != METAL for _, bands in worn.sites for band in bands)


def _sighting(park: PreparedPark, one: PreparedHandling, keys: Keys, day: date) -> dict[str, object]:
    assert one.worn is not None
    bird = next(bird for bird in park.birds if bird.name == one.bird)
    home = bird.exhibit_on(day)
    assert home is not None
    named = keys.birds[one.bird]
    return {
        "exhibit_id": keys.exhibits[home],
        "bird_id": named,
        "how": BY_READING,
        "reading": one.worn.as_mapping(),
        "candidates": [{"bird": named, "chance": SURE}],
        "none_of_these": 0.001,
        "chance": SURE,
        "accepted_by_id": keys.people[TAMSIN],
        "photographed": True,
    }


def _taps(worn: Marks | None, palette: Mapping[str, str], rng: np.random.Generator) -> dict[str, Any]:
    assert worn is not None
    told: dict[str, list[int | str]] = {}
    bands: list[list[float]] = []
    for site, stack in worn.sites:
        told[site] = []
        for band in stack:
            if band == METAL:
                told[site].append(METAL)
            else:
                told[site].append(len(bands))
                bands.append(_shown(palette[band], rng))
    return {"mean": 0.2, "metal": [128.0, 126.0, 121.0], "bands": bands, "worn": told}


def _shown(colour: str, rng: np.random.Generator) -> list[float]:
    """The codes that the phone shows of a band of this colour."""
    code = np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)], dtype=np.float64)
    turned = _TURNED @ code
    gaudy = turned.mean() + _GAUDY * (turned - turned.mean()) + _GRAIN * rng.standard_normal(3)
    return [float(one) for one in np.clip(gaudy, 0.0, 255.0).round()]
