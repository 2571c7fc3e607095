"""Where to look next: the site whose sight would settle most."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.marks import NOT_MADE_OUT, OPEN_END, Reading
from tarsus.core.marks.sites import SITES
from tarsus.core.readings.identification import Flock, Posterior
from tarsus.core.readings.stacks import MIRRORED
from tarsus.core.readings.strangers import otherwise_site_chance

OUTCOMES: Final = 256
"""Stacks that are told apart as the outcome of a look; what is left is one outcome, *something else*."""

_ALIVE: Final = 1e-9
_WORTH_A_LOOK: Final = 1e-6

Chances = NDArray[np.float64]


def look_next(flock: Flock, reading: Reading, posterior: Posterior) -> str | None:
    """Name the site whose sight would settle most.

    Args:
        flock: the birds and the observer.
        reading: what was seen so far.
        posterior: what the flock made of it.

    Returns:
        A site that was not seen, or seen with a band not made out or an open end, and that somebody of the
        flock wears a band on (or on its mirror); None where no look would tell a millionth of a bit.

    Source:
        Expected information (Lindley 1956, Ann. Math. Stat. 27:986-1005); docs/science/reading.md, eq. 8.
    """
    best, most = None, _WORTH_A_LOOK
    for site in open_sites(flock, reading):
        told = expected_information(flock, posterior, site)
        # A later site must be better by more than rounding, so that every machine names the same one.
        if told > most + 1e-12:
            best, most = site, told
    return best


def open_sites(flock: Flock, reading: Reading) -> list[str]:
    """Sites that a look could add something about."""
    codes = flock.likelihoods.stacks.codes[:, : len(flock.worn)]
    worn = np.any(codes != 0, axis=1).tolist()
    seen = {site for site, bands in reading.sites if not {NOT_MADE_OUT, OPEN_END} & set(bands)}
    return [s for at, s in enumerate(SITES) if s not in seen and (worn[at] or worn[MIRRORED[at]])]


def expected_information(flock: Flock, posterior: Posterior, site: str) -> float:
    """Say how much the sight of one site is expected to tell about who it is.

    Args:
        flock: the birds and the observer.
        posterior: what is known so far.
        site: where to look.

    Returns:
        Bits: the entropy of who it is now, less its mean after the look. *None of these* counts as one
        answer.

    Assumes:
        The look is read as any other. Its outcomes are the stacks that the birds still in question wear
        there (the `OUTCOMES` likeliest, mixed-up sides included) and *something else*: exact for what these
        tell apart. What a site that was partly read told of a stranger's colours is forgotten for the look.

    Source:
        docs/science/reading.md, eq. 8.
    """
    at = SITES.index(site)
    codes = flock.likelihoods.stacks.codes
    here, there = codes[at], flock.likelihoods.stacks.mirrored[at]
    outcomes = _outcomes(flock, posterior, here, there)
    chances = np.stack([flock.likelihoods.table(flock.likelihoods.stacks.bands[o]) for o in outcomes])
    # mass[o, h]: weight of hypothesis h together with outcome o; strangers are one hypothesis, the last.
    straight, crossed = posterior.straight, posterior.crossed
    every = straight * chances[:, here] + crossed * chances[:, there]
    # Of birds that wear the same a look tells nothing: what it tells of the marks it tells of the birds.
    worn = len(flock.worn)
    alive = np.flatnonzero(posterior.worn > _ALIVE)
    otherwise = [otherwise_site_chance(flock.misreading, flock.likelihoods.stacks.bands[o]) for o in outcomes]
    none = every[:, worn:].sum(axis=1) + posterior.otherwise * np.array(otherwise)
    mass = np.column_stack([every[:, alive], none])
    weights = np.append(posterior.worn[alive], posterior.none_of_these)
    mass = np.vstack([mass, np.maximum(weights - mass.sum(axis=0), 0.0)])
    return _entropy(mass.sum(axis=1)) + _entropy(weights) - _entropy(mass)


def _outcomes(
    flock: Flock, posterior: Posterior, here: NDArray[np.intp], there: NDArray[np.intp]
) -> list[int]:
    """Stacks that a look would likely show, by their code."""
    worn = len(flock.worn)
    size = len(flock.likelihoods.stacks.bands)
    shown = np.bincount(here[:worn], posterior.straight[:worn], size)
    shown += np.bincount(there[:worn], posterior.crossed[:worn], size)
    order = np.argsort(-shown, kind="stable")[:OUTCOMES]
    likely = [int(code) for code in order if shown[code] > _ALIVE]
    return likely or [0]


def _entropy(weights: Chances) -> float:
    some = weights[weights > 0.0]
    return float(-(some * np.log2(some)).sum())
