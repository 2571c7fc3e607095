"""Readings that share a state nobody saw for certain: one light, one mud for a whole round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Reading
from tarsus.core.readings.identification import STRANGERS, Flock
from tarsus.core.readings.lights import shares_of_states
from tarsus.core.readings.misreading import Misreading

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class SharedPosterior:
    """Chances of each bird after one reading, and of none of them, whatever the state; and of each state."""

    birds: Real
    none_of_these: float
    states: Real


class FlockInStates:
    """A flock made ready for an observer who may read in one of several ways.

    Assumes:
        All readings that are weighed together were made in one and the same state; given it and the birds,
        they are independent.
    """

    def __init__(
        self, birds: Sequence[Bird], observers: Sequence[Misreading], *, strangers: float = STRANGERS
    ) -> None:
        self.flocks = [Flock(birds, observer, strangers=strangers) for observer in observers]

    def evidence(self, reading: Reading) -> Real:
        """``(S,)`` how probable a reading is in each state, whichever bird it is of."""
        return np.array([flock.posterior(reading).evidence for flock in self.flocks])

    def posterior(
        self, reading: Reading, prior: Sequence[float] | Real, others: Sequence[Reading] = ()
    ) -> SharedPosterior:
        """Weigh every bird by one reading, the state by it and the others.

        Args:
            reading: what was read of the bird.
            prior: ``(S,)`` how likely each state was before.
            others: what else was read in the same state, of whichever birds.

        Source:
            docs/science/reading.md, eq. 10.
        """
        told = [self.evidence(one) for one in (*others, reading)]
        return self.mixed(reading, shares_of_states(prior, told))

    def mixed(self, reading: Reading, shares: Real) -> SharedPosterior:
        """Weigh every bird by one reading, whatever the state.

        Args:
            reading: what was read of the bird.
            shares: ``(S,)`` how likely each state is after this reading and all others.

        Source:
            docs/science/reading.md, eq. 10.
        """
        found = [flock.posterior(reading) for flock in self.flocks]
        birds = shares @ np.array([one.birds for one in found])
        none = float(shares @ np.array([one.none_of_these for one in found]))
        return SharedPosterior(np.asarray(birds), none, shares)
