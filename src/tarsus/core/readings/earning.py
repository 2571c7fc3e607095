"""Whether what was learned of a reader has earned its use: it foretells checks that it was not taught."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.readings.error_paths import Check, possible
from tarsus.core.readings.learning import learn
from tarsus.core.readings.misreading import Misreading

FOLDS: Final = 5
_DRAWS: Final = 300


@dataclass(frozen=True, slots=True)
class Gain:
    """How much better a learned reader foretells a check than the one before, in nats; `error` is its
    standard error.

    `earned` where the gain is more than two standard errors: until then the reader as it was before serves.
    """

    mean: float
    error: float

    @property
    def earned(self) -> bool:
        """The learned reader should be used."""
        return self.mean > 2.0 * self.error


def gain(checks: Sequence[Check], before: Misreading, rng: np.random.Generator) -> Gain | None:
    """Measure what learning gains on checks that were left out of it.

    Args:
        checks: confirmed readings.
        before: the observer as it was thought to be.
        rng: the source of chance.

    Returns:
        Mean gain a check over five parts, each foretold from the other four; None for fewer than ten checks
        that the model can explain.

    Source:
        Cross-validated logarithmic score; docs/science/learning.md, "When it is used".
    """
    usable = [check for check in checks if possible(check)]
    if len(usable) < 2 * FOLDS:
        return None
    part = rng.permutation(len(usable)) % FOLDS
    gains = np.empty(len(usable))
    for fold in range(FOLDS):
        taught = [check for check, of in zip(usable, part, strict=True) if of != fold]
        asked = [check for check, of in zip(usable, part, strict=True) if of == fold]
        after = learn(taught, before, rng, draws=_DRAWS).misreading()
        gains[part == fold] = _log_chances(asked, after) - _log_chances(asked, before)
    return Gain(float(gains.mean()), float(gains.std(ddof=1) / np.sqrt(len(gains))))


def _log_chances(checks: Sequence[Check], misreading: Misreading) -> NDArray[np.float64]:
    """Log chance of each reading; what an observer could not have read at all counts as one in a million."""
    chances = [misreading.reading_chance(check.read, check.worn) for check in checks]
    return np.asarray(np.log(np.maximum(chances, 1e-6)))
