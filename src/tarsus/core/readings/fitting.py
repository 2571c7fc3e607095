"""A reader fitted to checks in some hundredths of a second, for what is asked often: the reader in use.

The same model as `learning`, at expected errors in place of drawn ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.palette import Palette
from tarsus.core.readings.chance_prior import chance_prior
from tarsus.core.readings.colour_hypotheses import hypotheses
from tarsus.core.readings.colour_learning import ColourLearner, ColourPosterior, table_of
from tarsus.core.readings.error_paths import Check, ErrorPaths, error_paths, possible
from tarsus.core.readings.hidden_errors import ErrorCounts, counted, per_pair, weighed
from tarsus.core.readings.lost_bands import lost_bands
from tarsus.core.readings.misreading import Misreading

Real = NDArray[np.float64]

_STEPS: Final = 40
_STILL: Final = 1e-5


@dataclass(frozen=True, eq=False)
class Fitted:
    """The observer after the checks; `colours` says what is at work; `counts` the errors as weighed."""

    misreading: Misreading
    colours: ColourPosterior
    counts: ErrorCounts | None


class Fitter:
    """Fits one observer to any checks; what the colours may look like is laid out once."""

    def __init__(self, before: Misreading, palette: Palette | None = None) -> None:
        self.before = before
        self.learner = ColourLearner(hypotheses(before, palette))
        self.priors = {n: chance_prior(getattr(before, n)) for n in ("swap", "flip", "overlook", "lost")}

    def fitted(self, checks: Sequence[Check]) -> Fitted:
        """Fit the observer to checks.

        Args:
            checks: confirmed readings; those that no error explains are passed over.

        Returns:
            The observer at expected chances; as it was where no check teaches anything.

        Assumes:
            As `learning.learn`. Expectations take the place of draws (mean field): chances that checks leave
            wide open come out a little too sure.

        Source:
            docs/science/learning.md, eq. 1 to 5, "In use".
        """
        usable = [check for check in checks if possible(check)]
        if not usable:
            odds = self.learner.first
            return Fitted(
                self.before, self.learner.expected(np.zeros_like(odds), np.zeros(len(odds)), odds), None
            )
        paths = error_paths(usable, self.before.code)
        swap, flip, overlook = (self.priors[name].median for name in ("swap", "flip", "overlook"))
        odds = self.learner.first
        table = table_of(odds)
        for _ in range(_STEPS):
            counts = _expected(paths, swap, flip, overlook, table)
            swap = self.priors["swap"].mean(*counts.swap)
            flip = self.priors["flip"].mean(*counts.flip)
            overlook = self.priors["overlook"].mean(*counts.overlook)
            colours = self.learner.expected(counts.read, np.diagonal(counts.read), odds)
            odds, old, table = colours.odds, table, colours.table
            if np.abs(table - old).max() < _STILL:
                break
        lost, held = lost_bands(checks)
        chance = self.priors["lost"].mean(lost, held) if lost + held else self.before.lost
        rows = tuple(tuple(float(chance) for chance in row) for row in table)
        return Fitted(Misreading(swap, flip, overlook, chance, self.before.words, rows), colours, counts)


def _expected(paths: ErrorPaths, swap: float, flip: float, overlook: float, table: Real) -> ErrorCounts:
    found = weighed(paths, swap, flip, overlook, table)
    mixed_up = paths.counts * found.mixed_up
    times = per_pair(paths, mixed_up)[:, None] * found.ways
    return counted(paths, mixed_up, times, len(table))
