"""What photographs teach whose bird was then read in the hand: of a phone's camera, and of the park's bands.

Nothing is taken over that did not foretell photographs it was not taught: the rule is that of readers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import logsumexp

from tarsus.core.photographs.cameras import AS_THOUGHT, Camera
from tarsus.core.photographs.colours import ANYTHING, fits, light_of, mixed
from tarsus.core.photographs.light import Array
from tarsus.core.photographs.pixels import Tapped
from tarsus.core.photographs.renderings import Renderings
from tarsus.core.readings.earning import Evidence, evidence_of, turns

EXPONENTS: Final[Array] = 2.0 ** np.arange(0.25, -2.3, -0.25)
"""Powers that are weighed, from a little over 1 to a fifth. Invented."""

_UNCHANGED: Final = 1
"""Where the exponent 1 stands among them."""

EXPONENT_SPREAD: Final = 0.7
"""How far the logarithm of a camera's power strays from 0 before anything is checked. Invented."""

AS_MANY: Final = 40.0
"""So many bands the weights of ageing as thought count for. Invented."""

STEPS: Final = 5
"""Steps of EM at each turn; they begin with what was learned at the turn before."""

LATEST: Final = 80
LATEST_OF_PARK: Final = 160
"""Only so many of the latest photographs teach of a camera, and of the park's bands: both change, and a
server has other work. Invented; that bands age otherwise than thought shows later than a strange camera."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """What was tapped in one photograph, and the palette index that each tapped band turned out to have."""

    taps: Tapped
    colours: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Learned:
    """The camera that serves, on how many photographs it rests, and the evidence that it foretells better."""

    camera: Camera
    lessons: int
    evidence: Evidence

    @property
    def earned(self) -> bool:
        """What was learned is used; else `camera` is as it was thought to be."""
        return self.evidence.earned


def log_score(light: Array, bands: Sequence[Array], colours: Sequence[int]) -> float:
    """Log of the chance that a photograph gave to the colours that its bands have.

    Args:
        light: ``(X,)`` logarithm of each light and exposure before the bands.
        bands: of each band ``(X, K)`` how well each colour explains it.
        colours: the palette index of each.

    Source:
        docs/science/photographs.md, eq. 6.
    """
    right = light + sum(np.log(band[:, k]) for band, k in zip(bands, colours, strict=True))
    every = light + sum(np.log(band.sum(axis=1)) for band in bands)
    return float(logsumexp(right) - logsumexp(every))


def learned_exponent(lessons: Sequence[Lesson], looks: Renderings) -> Learned:
    """Say how far one phone's camera is to be trusted.

    Args:
        lessons: photographs that it took, the oldest first; only the latest 80 count.
        looks: how the palette may look.

    Returns:
        The camera with its exponent, the mean over powers weighed by how well they foretold, drawn towards 1;
        as thought where that has not earned its use, which nothing does before the eleventh photograph.

    Assumes:
        The bird was named right when it was photographed. A wrong name makes the camera look stranger.

    Source:
        docs/science/photographs.md, eq. 8; docs/science/learning.md, "When it is used".
    """
    return exponent_by(exponent_scores(lessons[-LATEST:], looks))


def exponent_scores(lessons: Sequence[Lesson], looks: Renderings) -> Array:
    """``(n, len(EXPONENTS))`` log of the chance each photograph gave to its true colours, by each power.

    Source:
        docs/science/photographs.md, eq. 6 and 8.
    """
    rows = [_by_exponent(one, looks) for one in lessons]
    return np.array(rows).reshape(len(rows), len(EXPONENTS))


def exponent_by(scores: Array) -> Learned:
    """What `learned_exponent` says, by the scores of the photographs in their order.

    Source:
        docs/science/photographs.md, "What it learns".
    """
    told = [np.zeros((1, 0))]
    for start, end in turns(len(scores)):
        foretold = _between(scores[start:end], _fitted(scores[:start]))
        told.append((foretold - scores[start:end, _UNCHANGED])[None])
    found = evidence_of(np.concatenate(told, axis=1))
    camera = Camera(exponent=float(np.exp(_fitted(scores)))) if found.earned else AS_THOUGHT
    return Learned(camera, len(scores), found)


def learned_ageing(lessons: Sequence[Lesson], exponents: Sequence[float], looks: Renderings) -> Learned:
    """Say how the park's bands have faded and how much mud is on them.

    Args:
        lessons: photographs by any camera, the oldest first; only the latest 160 count.
        exponents: how far each one's camera is trusted.
        looks: how the palette may look.

    Returns:
        The weights of the ways of ageing after some steps of EM, in which the weights as thought count for 40
        bands; those as thought where the new ones have not earned their use.

    Source:
        Dempster, Laird & Rubin 1977, J. R. Stat. Soc. B 39:1-38 (EM; from memory);
        docs/science/photographs.md, "What it learns".
    """
    own = list(zip(lessons, exponents, strict=True))[-LATEST_OF_PARK:]
    seen: list[_Seen] = []
    told: list[Array] = [np.zeros((1, 0))]
    weights = np.array(AS_THOUGHT.ageing)
    ends = dict(turns(len(own)))
    for at, (one, exponent) in enumerate(own):
        if at in ends:
            weights = _em(seen, weights)
        light, fit = light_of(looks, one.taps), [fits(looks, colour) for colour in one.taps.bands]
        if at >= min(ends, default=len(own)):
            after, before = (
                log_score(
                    light, [mixed(band, Camera(exponent, way), looks.names) for band in fit], one.colours
                )
                for way in (tuple(weights), AS_THOUGHT.ageing)
            )
            told.append(np.array([[after - before]]))
        seen.append(_seen(light, fit, one.colours, exponent))
    found = evidence_of(np.concatenate(told, axis=1))
    camera = Camera(ageing=tuple(_em(seen, weights).tolist())) if found.earned else AS_THOUGHT
    return Learned(camera, len(own), found)


@dataclass(frozen=True, slots=True)
class _Seen:
    """One photograph given its true colours: light ``(X,)``, of each band ways ``(X, V)``, rest ``(X,)``."""

    light: Array
    ways: list[Array]
    rest: list[Array]
    exponent: float


def _seen(light: Array, fit: Sequence[Array], colours: Sequence[int], exponent: float) -> _Seen:
    ways = [(1.0 - ANYTHING) * band[:, k] for band, k in zip(fit, colours, strict=True)]
    thought = np.array(AS_THOUGHT.ageing)
    return _Seen(light, ways, [ANYTHING * (band @ thought).mean(axis=1) for band in fit], exponent)


def _em(seen: Sequence[_Seen], weights: Array) -> Array:
    thought = np.array(AS_THOUGHT.ageing)
    for _ in range(STEPS if seen else 0):
        counts = sum((_counts(one, weights) for one in seen), np.zeros(len(weights)))
        weights = (AS_MANY * thought + counts) / (AS_MANY + counts.sum())
    return weights


def _counts(one: _Seen, weights: Array) -> Array:
    """``(V,)`` how many bands of a photograph aged in each way, by these weights."""
    whole = [ways @ weights + rest for ways, rest in zip(one.ways, one.rest, strict=True)]
    log = one.light + one.exponent * sum(np.log(band) for band in whole)
    light = np.exp(log - logsumexp(log))
    parts = [light @ (ways * weights / band[:, None]) for ways, band in zip(one.ways, whole, strict=True)]
    return np.asarray(sum(parts, np.zeros(len(weights))))


def _by_exponent(one: Lesson, looks: Renderings) -> Array:
    light = light_of(looks, one.taps)
    logs = [np.log(mixed(fits(looks, colour), AS_THOUGHT, looks.names)) for colour in one.taps.bands]
    return np.array(
        [log_score(light, [np.exp(power * band) for band in logs], one.colours) for power in EXPONENTS]
    )


def _fitted(scores: Array) -> float:
    """Logarithm of the exponent: its mean over the powers weighed, after these photographs."""
    powers = np.log(EXPONENTS)
    log = scores.sum(axis=0) - 0.5 * (powers / EXPONENT_SPREAD) ** 2
    return float(np.exp(log - logsumexp(log)) @ powers)


def _between(scores: Array, power: float) -> Array:
    """Scores at a power between two that were weighed. Mixing logarithms claims no chance too much."""
    place = (np.log(EXPONENTS[0]) - power) / np.log(EXPONENTS[0] / EXPONENTS[1])
    low = min(max(int(place), 0), len(EXPONENTS) - 2)
    return np.asarray(scores[:, low] + (place - low) * (scores[:, low + 1] - scores[:, low]))
