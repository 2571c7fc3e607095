"""How each colour of a park has aged, by what checks in the hand found of the bands that are worn."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tarsus.core.photographs.cameras import AS_THOUGHT, Camera
from tarsus.core.photographs.light import Array
from tarsus.core.photographs.renderings import AGEING

CALLED_FADED: Final[Array] = np.array([0.02, 0.3, 0.9, 0.02, 0.02, 0.3])
"""Chance that whoever checks a band in the hand calls it faded, by its way of `AGEING`: what has lost a
seventh of its colour now and then, what has lost a third nearly always. Mud is wiped off. Invented."""

FEWEST_CALLED: Final = 0.5
"""Where fewer are called faded than the weights let expect, half of them at most are taken to be passed over.
Invented."""

AS_MANY_OF_PARK: Final = 40.0
"""So many bands the park's weights count for against its checks, as against its photographs. Invented."""

AS_MANY_OF_COLOUR: Final = 20.0
"""So many bands what holds of all colours counts for against the checks of one. Invented."""

STEPS: Final = 100
"""Steps of EM, all colours at once: it climbs to the one maximum there is."""

FINE: Final = 2
"""Places of the weights that are told: finer ones would change with every day and tell nothing."""


@dataclass(frozen=True, slots=True)
class CheckedBand:
    """A band that is worn: its colour, its age in years when last checked and now, and what was found.

    `faded`: the check said so; else the band was seen and not called faded.
    """

    colour: str
    years_then: float
    years_now: float
    faded: bool

    @property
    def counts(self) -> float:
        """For how much of a band it speaks today: what was fine when young says less of when it is old.

        To the first order in the yearly chance of fading the share of faded bands comes out right.

        Source:
            docs/science/photographs.md, eq. 9.
        """
        if self.faded:
            return 1.0
        return min(1.0, max(self.years_then, 0.0) / self.years_now) if self.years_now > 0.0 else 0.0


def aged_by_checks(bands: Iterable[CheckedBand], camera: Camera = AS_THOUGHT, taught_by: int = 0) -> Camera:
    """Say how a park's bands have aged, colour by colour.

    Args:
        bands: the colour bands that are worn and were checked, each by its last check.
        camera: what photographs taught, of this phone's camera and of all bands.
        taught_by: how many photographs taught its weights of ageing; none where they are as thought.

    Returns:
        The camera with the park's weights, and of each colour whose weights differ from them its own. The
        very camera that was given where no band speaks.

    Assumes:
        Whoever checks a bird in the hand writes down its good bands too. That few are called faded may mean
        that nobody looks closely; that many are cannot. Mud does not depend on the colour.

    Source:
        docs/science/photographs.md, eq. 9 and 10; Dempster, Laird & Rubin 1977 (EM; from memory).
    """
    counted: dict[str, Array] = defaultdict(lambda: np.zeros(2))
    for band in bands:
        counted[band.colour] += np.array([band.faded, not band.faded]) * band.counts
    total = sum(counted.values(), np.zeros(2))
    if not total.sum() > 0.0:
        return camera
    before = np.array(camera.ageing)
    strength = AS_MANY_OF_PARK + taught_by
    called = CALLED_FADED * share_called(total, before)
    park = after_checks(total, before, strength, called)
    colours = sorted(counted)
    own = after_checks(np.array([counted[colour] for colour in colours]), park, AS_MANY_OF_COLOUR, called)
    of_all = _told(park)
    told = ((colour, _told(weights)) for colour, weights in zip(colours, own, strict=True))
    return replace(camera, ageing=of_all, ageing_of=tuple(one for one in told if one[1] != of_all))


def faded_share(weights: Sequence[float]) -> float:
    """Of 1, how much of a colour has faded, a little or more, by its weights of the ways of ageing."""
    return sum(weight for weight, (_, fade, _) in zip(weights, AGEING, strict=True) if fade > 0.0)


def share_called(counts: Array, weights: Array) -> float:
    """Of bands that are to be called faded, the share that is: 1, or less where too few are.

    Args:
        counts: ``(2,)`` bands called faded, and bands that were not.
        weights: ``(V,)`` of the ways of ageing, before the checks.

    Source:
        docs/science/photographs.md, "Each colour ages by its own checks".
    """
    expected = float(weights @ CALLED_FADED)
    return float(np.clip(counts[0] / counts.sum() / expected, FEWEST_CALLED, 1.0))


def after_checks(counts: Array, weights: Array, strength: float, called: Array) -> Array:
    """``(…, V)`` the likeliest weights of the ways of ageing after checks.

    Args:
        counts: ``(…, 2)`` bands called faded, and bands that were not.
        weights: ``(V,)`` before the checks.
        strength: so many bands those count for.
        called: ``(V,)`` chance that a band that aged so is called faded.

    Source:
        docs/science/photographs.md, eq. 10.
    """
    ways = np.array([called, 1.0 - called])
    known = strength * weights
    whole = strength + counts.sum(axis=-1)[..., None]
    told = np.broadcast_to(weights, (*counts.shape[:-1], len(weights)))
    for _ in range(STEPS):
        parts = ways * told[..., None, :]
        told = (known + (counts[..., None] * parts / parts.sum(axis=-1, keepdims=True)).sum(axis=-2)) / whole
    return np.asarray(told)


def _told(weights: Array) -> tuple[float, ...]:
    """Weights to the places that are told; what rounding leaves over is the likeliest way's."""
    fine = np.round(weights, FINE)
    fine[int(weights.argmax())] += 1.0 - fine.sum()
    return tuple(round(float(weight), FINE) for weight in fine)
