"""The light and the mud of a round, and how a reader reads under them.

A round is made in one light, and its birds wade in one mud. Each is a state of the whole round: what it does
to one reading it does to all of them, so that readings tell together which state it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.palette import Palette
from tarsus.core.readings.colour_hypotheses import odds_under
from tarsus.core.readings.colour_learning import table_of
from tarsus.core.readings.misreading import Misreading

LIGHTS: Final = ("bright", "dull", "dusk")

_CAUSE: Final = {"bright": 0, "dull": 3, "dusk": 4}
"""Which cause of `colour_hypotheses.CAUSES` each light is."""

_MUD: Final = 2
_OVERLOOKED: Final = {"bright": 1.0, "dull": 1.5, "dusk": 4.0}
_OVERLOOKED_IN_MUD: Final = 6.0
"""By which factor the odds of not noticing a band rise. Ours: nothing published was found."""

_UNTOLD: Final = {"bright": 0.86, "dull": 0.10, "dusk": 0.04}
_MUDDY: Final = 0.06
_TOLD: Final = 0.94
"""Shares of rounds where nobody said, and how far what was said is believed. Ours."""

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RoundState:
    """One light, with or without mud on the bands."""

    light: str
    mud: bool


STATES: Final = tuple(RoundState(light, mud) for mud in (False, True) for light in LIGHTS)


def prior_of_states(light: str = "", mud: bool | None = None) -> Real:
    """``(S,)`` how likely each of `STATES` is before anything was read; sums to 1.

    Args:
        light: what somebody said at the start of the round; empty where nobody did.
        mud: whether somebody said that bands are muddy; `None` where nobody said either.

    Assumes:
        Who says a light may be wrong, and a light may change: the readings can still tell another.

    Source:
        The shares are ours; docs/science/reading.md, "Light and mud".
    """
    lights = {one: _TOLD if one == light else (1.0 - _TOLD) / 2 for one in LIGHTS} if light else _UNTOLD
    muddy = _MUDDY if mud is None else _TOLD if mud else (1.0 - _TOLD) / 2
    return np.array([lights[one.light] * (muddy if one.mud else 1.0 - muddy) for one in STATES])


@lru_cache(maxsize=256)
def under(misreading: Misreading, palette: Palette, state: RoundState) -> Misreading:
    """The same observer in a light and mud.

    Args:
        misreading: the observer in daylight, with clean bands.
        palette: the colours as their names mean them.
        state: the light, and whether bands are muddy.

    Returns:
        Odds of each confusion changed as that light and mud change what follows from the colours alone; a
        band is overlooked more often. The observer itself in a bright light without mud, and where the
        colours are not those of the palette.

    Source:
        docs/science/reading.md, "Light and mud"; docs/science/learning.md, eq. 3.
    """
    clean, lit, muddy = (odds_under(misreading, palette, at) for at in (0, _CAUSE[state.light], _MUD))
    if state == STATES[0] or clean is None or lit is None or muddy is None:
        return misreading
    changed = lit * (muddy / np.where(clean > 0.0, clean, 1.0) if state.mud else 1.0)
    rows = tuple(tuple(float(chance) for chance in row) for row in table_of(changed))
    more = _OVERLOOKED[state.light] * (_OVERLOOKED_IN_MUD if state.mud else 1.0)
    overlooked = more * misreading.overlook / (1.0 - misreading.overlook)
    return replace(misreading, overlook=overlooked / (1.0 + overlooked), confusion=rows)


def shares_of_states(prior: Sequence[float] | Real, evidence: Sequence[Sequence[float] | Real]) -> Real:
    """Say how likely each state is after readings that were all made in it.

    Args:
        prior: ``(S,)`` shares before.
        evidence: of each reading ``(S,)`` how probable it was in each state, whichever bird it was of.

    Returns:
        ``(S,)``; a reading that nobody could have given in any state tells nothing.

    Source:
        Bayes' rule; docs/science/reading.md, eq. 10.
    """
    log = np.log(np.maximum(np.asarray(prior, dtype=np.float64), 1e-300))
    for one in evidence:
        told = np.asarray(one, dtype=np.float64)
        if told.max() > 0.0:
            log = log + np.log(np.maximum(told / told.max(), 1e-12))
    shares = np.exp(log - log.max())
    return np.asarray(shares / shares.sum())
