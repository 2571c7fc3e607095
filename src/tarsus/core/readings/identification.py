"""Who is it: weigh every bird of a flock, and *none of these*, by what was read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Reading
from tarsus.core.readings.likelihoods import Likelihoods
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.strangers import OTHERWISE, otherwise_chance, stranger_marks

STRANGERS: Final = 0.001
"""Prior chance that a bird is none of the flock, where nothing else is said."""

Chances = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Posterior:
    """The chance of each bird after one reading, and of a bird that is none of them; together they sum to 1.

    `birds` is ``(B,)`` in the order of the flock. `straight` and `crossed` are ``(B + K,)``: the same
    weights split by whether the sides were read right or mixed up, for the birds and then the K layouts of
    strangers; `otherwise` is the weight of a stranger that is banded in another way.
    """

    birds: Chances
    none_of_these: float
    straight: Chances
    crossed: Chances
    otherwise: float


class Flock:
    """Birds that may be taken for one another, made ready for one observer's readings.

    Assumes:
        Given the bird, and whether the sides were mixed up, sites are read independently. Mud that hides
        white but not red breaks this.
    """

    def __init__(
        self, birds: Sequence[Bird], misreading: Misreading, *, strangers: float = STRANGERS
    ) -> None:
        """Code the birds' marks and weigh them.

        Args:
            birds: the flock, each with its prior weight.
            misreading: the observer.
            strangers: prior chance that the bird is none of the flock, 0 to 1.

        Raises:
            WrongValue: no bird has any prior weight.
        """
        self.birds = tuple(birds)
        self.misreading = misreading
        self.strangers = strangers if birds else 1.0
        unknown = stranger_marks([bird.marks for bird in birds])
        marks = [bird.marks for bird in birds] + [layout for layout, _ in unknown]
        self.likelihoods = Likelihoods(misreading, marks)
        weights = np.array([bird.prior for bird in birds], dtype=np.float64)
        if len(birds) and not weights.sum() > 0.0:
            raise WrongValue("birds", "every prior is 0; give at least one bird some weight")
        shares = np.array([share for _, share in unknown])
        self.prior = np.concatenate(
            [(1.0 - self.strangers) * weights / (weights.sum() or 1.0), self.strangers * shares]
        )
        self._prior_both_ways = np.tile(self.prior, 2)

    def posterior(self, reading: Reading) -> Posterior:
        """Weigh every bird of the flock by how well it explains one reading.

        Args:
            reading: what was seen; sites that were not seen carry no evidence.

        Returns:
            Chances that sum to 1. A reading that no bird and no stranger could have given is one of *none of
            these*: the limit of ever rarer strangers.

        Raises:
            UnknownWord: a band that is no metal and no colour of the palette.

        Source:
            Bayes' rule; docs/science/reading.md, eq. 5.
        """
        weights = self.likelihoods.both_ways(reading)
        weights *= self._prior_both_ways
        otherwise = self._otherwise(reading)
        total = float(weights.sum()) + otherwise
        if total <= 0.0:
            otherwise = total = 1.0
        weights /= total
        every = len(weights) // 2
        straight, crossed = weights[:every], weights[every:]
        birds = straight[: len(self.birds)] + crossed[: len(self.birds)]
        otherwise /= total
        none = float(straight[len(self.birds) :].sum() + crossed[len(self.birds) :].sum()) + otherwise
        return Posterior(birds, none, straight, crossed, otherwise)

    def _otherwise(self, reading: Reading) -> float:
        if self.strangers == 0.0:
            return 0.0
        return self.strangers * OTHERWISE * otherwise_chance(self.misreading, reading)

    def candidates(self, posterior: Posterior, *, at_least: float = 1e-6) -> list[tuple[Bird, float]]:
        """The birds that may have been seen, the likeliest first, those under `at_least` left out."""
        order = np.argsort(-posterior.birds, kind="stable")
        likely = [(self.birds[at], float(posterior.birds[at])) for at in order]
        return [(bird, chance) for bird, chance in likely if chance >= at_least]
