"""What is thought of one error chance before any check, and a draw of it after some."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import betainc, betaln

LEAST: Final = 5e-4
"""Least median of a prior: what a reader is said never to do may still be learned."""

_MOST: Final = 0.45
"""Largest median: at a half there is nothing left to place."""

_EVENT: Final = 0.5
_TIMES: Final = np.array([0.25, 1.0, 4.0, 16.0, 64.0])

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class ChancePrior:
    """Betas each worth half an event, their scales a factor of four apart, equally likely.

    One such Beta alone would hold back a chance that is really many times higher: its second parameter
    counts as that many occasions on which nothing happened.
    """

    median: float
    others: Real

    def _weights(self, happened: float, not_happened: float) -> Real:
        log = betaln(_EVENT + happened, self.others + not_happened) - betaln(_EVENT, self.others)
        return np.asarray(np.exp(log - log.max()))

    def mean(self, happened: float, not_happened: float) -> float:
        """The chance that is expected after it happened so often and did not so often.

        Source:
            docs/science/learning.md, "Chances": conjugate Betas, mixed.
        """
        a = _EVENT + happened
        each = a / (a + self.others + not_happened)
        return float(np.average(each, weights=self._weights(happened, not_happened)))

    def draw(self, happened: float, not_happened: float, rng: np.random.Generator) -> float:
        """Draw the chance after it happened so often and did not so often.

        Source:
            docs/science/learning.md, "Chances".
        """
        weights = np.cumsum(self._weights(happened, not_happened))
        at = min(int(np.searchsorted(weights, rng.random() * weights[-1], side="right")), len(weights) - 1)
        return float(rng.beta(_EVENT + happened, self.others[at] + not_happened))


@lru_cache(maxsize=256)
def chance_prior(median: float) -> ChancePrior:
    """A prior with this median, brought to `LEAST` at least and `_MOST` at most.

    Source:
        docs/science/learning.md, *Chances*.
    """
    median = min(max(median, LEAST), _MOST)

    def excess(scale: float) -> float:
        return float(betainc(_EVENT, np.maximum(scale / _TIMES, _EVENT), median).mean()) - 0.5

    return ChancePrior(median, np.maximum(float(brentq(excess, 1e-6, 100.0 / median)) / _TIMES, _EVENT))
