"""A keeper reads a bird and says who it is: the reading model makes the errors, the identification names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.simulation import simulate_reading
from tarsus.core.words.certainty import DOUBTFUL_BELOW
from tarsus.demo.prepared import PreparedBird, PreparedSpecies

KEPT_FROM: Final = 0.001
BOTH_SIDES_SEEN: Final = 0.88
COLOUR_NOT_MADE_OUT: Final = 0.01


@dataclass(frozen=True)
class Named:
    """What the model says of one reading; `bird` is empty where nobody is nearly certain."""

    bird: str
    chance: float
    candidates: tuple[tuple[str, float], ...]
    none_of_these: float


class FlockEyes:
    """Names the birds of one look-alike flock, as the record knows their marks."""

    def __init__(self, birds: Sequence[PreparedBird], marks: Sequence[Marks], misreading: Misreading) -> None:
        self.flock = Flock([Bird(b.name, worn) for b, worn in zip(birds, marks, strict=True)], misreading)
        self._named: dict[Reading, Named] = {}

    def name(self, reading: Reading) -> Named:
        """Weigh every bird of the flock, and none of them, against one reading."""
        if reading not in self._named:
            self._named[reading] = self._weigh(reading)
        return self._named[reading]

    def _weigh(self, reading: Reading) -> Named:
        posterior = self.flock.posterior(reading)
        likely = self.flock.candidates(posterior, at_least=KEPT_FROM)[:6]
        candidates = tuple((bird.id, round(chance, 6)) for bird, chance in likely)
        best, chance = candidates[0] if candidates else ("", 0.0)
        bird = best if chance >= DOUBTFUL_BELOW else ""
        return Named(bird, chance, candidates, round(posterior.none_of_these, 6))


def read_bird(
    worn: Marks,
    species: PreparedSpecies,
    misreading: Misreading,
    faded: tuple[str, int, str, float] | None,
    rng: np.random.Generator,
) -> Reading:
    """What a trained keeper writes down of a bird in view: read with errors, now and then a side hidden."""
    if faded is not None and rng.random() < faded[3]:
        worn = _as_it_looks(worn, *faded[:3])
    seen = species.sites
    if rng.random() > BOTH_SIDES_SEEN:
        seen = (species.sites[int(rng.integers(len(seen)))],)
    return simulate_reading(rng, worn, misreading, sites=seen, unclear=COLOUR_NOT_MADE_OUT)


def _as_it_looks(worn: Marks, site: str, order: int, colour: str) -> Marks:
    bands: Mapping[str, Sequence[str]] = {
        where: [colour if (where, i) == (site, order) else band for i, band in enumerate(stack)]
        for where, stack in worn.sites
    }
    return Marks.of(bands)


def really_worn(recorded: Marks, lost: tuple[str, int, int] | None, days_ago: int) -> Marks:
    """What a bird wears in truth: the record, less a band that it has lost since and nobody wrote down."""
    if lost is None or days_ago > lost[2]:
        return recorded
    site, order, _ = lost
    kept = {s: [b for i, b in enumerate(stack) if (s, i) != (site, order)] for s, stack in recorded.sites}
    return Marks.of(kept)
