"""Who is it: weigh every bird of a flock, and *none of these*, by what was read.

Decision 0011.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Bands, Marks, Reading
from tarsus.core.marks.sites import SITES
from tarsus.core.readings.likelihoods import Likelihoods
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.plumage import plumage_factors
from tarsus.core.readings.stacks import ANY_COLOUR
from tarsus.core.readings.strangers import OTHERWISE, otherwise_site_chance, stranger_marks

STRANGERS: Final = 0.001
"""Prior chance that a bird is none of the flock, where nothing else is said."""

Chances = NDArray[np.float64]
Entry = TypeVar("Entry", np.float64, np.intp)

NEVER: Final = 1e-300
"""A reading rarer than this nobody could have given: beyond, numbers lose their digits."""

_READY: Final = 512
"""Stacks whose tables are made with the flock; a flock that wears more makes the rest when they are read."""


@dataclass(frozen=True, eq=False)
class Posterior:
    """The chance of each bird after one reading, and of a bird that is none of them; together they sum to 1.

    `birds` is ``(B,)`` in the order of the flock, `worn` ``(H,)`` the same summed over those that wear the
    same, in the order of `Flock.worn`. `both_ways` splits that by whether the sides were read right or mixed
    up: H marks with them read right, H with them mixed up, then so the K layouts of strangers. `otherwise` is
    the weight of a stranger that is banded in another way. `evidence` is how probable the reading was before
    it was made, 0 where nobody could have given it.
    """

    birds: Chances
    worn: Chances
    none_of_these: float
    both_ways: Chances
    otherwise: float
    evidence: float

    @property
    def straight(self) -> Chances:
        """``(H + K,)`` `both_ways` with the sides read right, what is worn before layouts of strangers."""
        worn, layouts = self._counts
        return np.concatenate([self.both_ways[:worn], self.both_ways[2 * worn : 2 * worn + layouts]])

    @property
    def crossed(self) -> Chances:
        """``(H + K,)`` `both_ways` with the sides mixed up, what is worn before layouts of strangers."""
        worn, layouts = self._counts
        return np.concatenate([self.both_ways[worn : 2 * worn], self.both_ways[2 * worn + layouts :]])

    @property
    def _counts(self) -> tuple[int, int]:
        return len(self.worn), len(self.both_ways) // 2 - len(self.worn)


class Flock:
    """Birds that may be taken for one another, made ready for one observer's readings.

    `worn` is what is weighed: the marks of each bird or, where several birds wear the same, each of them once
    (and once more for each plumage), so that a reading costs what is worn, and each bird one look-up.

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
        kinds: dict[tuple[Marks, float | None], int] = {}
        kind = np.array([kinds.setdefault((b.marks, b.young), len(kinds)) for b in birds], dtype=np.intp)
        # In a small flock, or one of many marks, a look-up a bird costs more than it spares.
        together = len(kinds) * 2 <= len(birds)
        self.worn = tuple(marks for marks, _ in kinds) if together else tuple(b.marks for b in birds)
        self._kind = kind if together else np.arange(len(birds))
        count = np.bincount(self._kind, minlength=len(self.worn))
        unknown = stranger_marks(self.worn, count.tolist())
        self.likelihoods = Likelihoods(misreading, [*self.worn, *(layout for layout, _ in unknown)])
        weights = np.array([bird.prior for bird in birds], dtype=np.float64)
        heaviest = weights.max(initial=0.0)
        if len(birds) and not heaviest > 0.0:
            raise WrongValue("birds", "every prior is 0; give at least one bird some weight")
        weights /= heaviest or 1.0  # else the sum of very large priors would overflow
        each = (1.0 - self.strangers) * weights / (weights.sum() or 1.0)
        summed = np.bincount(self._kind, each, len(self.worn))
        # Birds that wear the same no reading tells apart: each keeps its share of what they have together.
        self._share = each / np.maximum(summed, NEVER)[self._kind] if together else None
        self.prior = np.concatenate([summed, self.strangers * np.array([share for _, share in unknown])])
        self._young = [bird.young for bird in birds]
        self._start = self._started(self.prior, misreading.swap)
        self._ones = np.ones(len(self._start))
        stacks = self.likelihoods.stacks
        self._codes = {
            site: self._laid_out(stacks.codes[at], stacks.mirrored[at]) for at, site in enumerate(SITES)
        }
        self._otherwise: dict[Bands, float] = {}
        self.likelihoods.make_ready(b for b in stacks.bands[:_READY] if ANY_COLOUR not in b)

    def _laid_out(self, straight: NDArray[Entry], crossed: NDArray[Entry]) -> NDArray[Entry]:
        """The order of `Posterior.both_ways`."""
        worn = len(self.worn)
        return np.concatenate([straight[:worn], crossed[:worn], straight[worn:], crossed[worn:]])

    def _started(self, prior: Chances, swap: float) -> Chances:
        return self._laid_out(prior * (1.0 - swap), prior * swap)

    def _started_for(self, reading: Reading) -> Chances:
        """The weights before the sites are weighed: by the plumage and by how sure the sides are."""
        swap = self.misreading.swap if reading.swap is None else reading.swap
        if not reading.plumage:
            return self._start.copy() if reading.swap is None else self._started(self.prior, swap)
        count = len(self.worn)
        factors = np.empty(count)
        factors[self._kind] = plumage_factors(self._young, reading.plumage)  # alike in marks and young
        weights = self.prior[:count] * factors
        whole = self.prior[:count].sum() / (weights.sum() or 1.0)  # strangers look as the flock does
        return self._started(np.concatenate([weights * whole, self.prior[count:]]), swap)

    def posterior(self, reading: Reading) -> Posterior:
        """Weigh every bird of the flock by how well it explains one reading.

        Args:
            reading: what was seen; sites that were not seen carry no evidence. Its own `swap`, where it
                tells one, stands in place of the observer's; a plumage weighs the birds' prior.

        Returns:
            Chances that sum to 1. A reading that no bird and no stranger could have given is one of *none of
            these*: the limit of ever rarer strangers.

        Raises:
            UnknownWord: a band that is no metal and no colour of the palette.

        Source:
            Bayes' rule; docs/science/reading.md, eq. 5.
        """
        weights = self._started_for(reading)
        otherwise = self.strangers * OTHERWISE
        for site, read in reading.sites:
            weights *= self.likelihoods.table(read).take(self._codes[site])
            otherwise *= self._otherwise_site(read)
        # A product with ones takes a third of the time of a sum at the size of a flock.
        total = float(weights.dot(self._ones)) + otherwise
        evidence = total if total >= NEVER else 0.0
        if total < NEVER:
            otherwise = total = 1.0
        weights *= 1.0 / total
        otherwise /= total
        count = len(self.worn)
        worn = birds = weights[:count] + weights[count : 2 * count]
        if self._share is not None:
            birds = worn.take(self._kind)
            birds *= self._share
        return Posterior(
            birds, worn, sum(weights[2 * count :].tolist(), otherwise), weights, otherwise, evidence
        )

    def _otherwise_site(self, read: Bands) -> float:
        known = self._otherwise.get(read)
        if known is None:
            known = self._otherwise[read] = otherwise_site_chance(self.misreading, read)
        return known

    def candidates(self, posterior: Posterior, *, at_least: float = 1e-6) -> list[tuple[Bird, float]]:
        """The birds that may have been seen, the likeliest first, those under `at_least` left out."""
        chances = posterior.birds
        likely = np.flatnonzero(chances >= at_least)
        order = likely[np.argsort(-chances[likely], kind="stable")]
        return [(self.birds[at], float(chances[at])) for at in order]
