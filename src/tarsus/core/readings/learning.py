"""Learn a reader's error chances and colour confusions from confirmed readings.

docs/science/learning.md has the model. Which error happened is hidden, so the posterior is drawn: given the
chances the hidden errors are drawn, given the errors the chances are (Gibbs sampling).

Decision 0025.
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
from tarsus.core.readings.colour_learning import ColourChain, ColourLearner, table_of
from tarsus.core.readings.error_paths import Check, ErrorPaths, error_paths, possible
from tarsus.core.readings.hidden_errors import ErrorCounts, counted, per_pair, weighed
from tarsus.core.readings.lost_bands import lost_bands
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.open_ends import told_bands

DRAWS: Final = 1500
_BURN_IN: Final = 150

Real = NDArray[np.float64]


@dataclass(frozen=True)
class Learned:
    """Draws of a reader's chances after confirmed readings; D draws, C words.

    `chances` holds ``(D,)`` draws of swap, flip, overlook, lost; `tables` is ``(D, C, C)`` the confusion
    table, `expected` ``(D, C, C)`` what it is expected to be given the hidden errors of that draw. `used`
    checks taught something; `set_aside` are those that no error of the model explains, by their place in
    the list. `lost` is the reader's chance before where no check brought a record to learn it from.
    """

    words: tuple[str, ...]
    chances: dict[str, Real]
    tables: Real
    expected: Real
    used: int
    set_aside: tuple[int, ...]
    lost: float | None

    def misreading(self) -> Misreading:
        """The observer at the chances that are expected after the checks.

        Source:
            docs/science/learning.md, eq. 4: means over the draws.
        """
        swap, flip, overlook = (float(self.chances[name].mean()) for name in ("swap", "flip", "overlook"))
        lost = float(self.chances["lost"].mean()) if self.lost is None else self.lost
        rows = tuple(tuple(float(chance) for chance in row) for row in self.expected.mean(axis=0))
        return Misreading(swap, flip, overlook, lost, self.words, rows)

    def cell_intervals(self) -> tuple[Real, Real]:
        """``(C, C)`` lower and upper ends of each cell's 95 % interval.

        Of the draws the middle 94 %: they err on the wide side (docs/science/learning.md, "Checks").

        Source:
            docs/science/learning.md, "Checks".
        """
        low, high = np.quantile(self.tables, (0.03, 0.97), axis=0)
        return low, high

    def colour(self) -> Real:
        """``(D,)`` draws of the mean chance that a colour is taken for something else."""
        return np.asarray(1.0 - np.diagonal(self.tables, axis1=1, axis2=2)[:, 1:].mean(axis=1))


def interval(draws: Real) -> tuple[float, float]:
    """The middle 95 % of some draws.

    Source:
        docs/science/learning.md, "What `tarsus learn` prints".
    """
    low, high = np.quantile(draws, (0.025, 0.975))
    return float(low), float(high)


def learn(
    checks: Sequence[Check],
    before: Misreading,
    rng: np.random.Generator,
    *,
    draws: int = DRAWS,
    palette: Palette | None = None,
) -> Learned:
    """Re-estimate a reader from confirmed readings.

    Args:
        checks: readings of birds whose bands were then confirmed.
        before: the observer as it was thought to be; its chances are the prior's medians.
        rng: the source of chance.
        draws: how many draws of the posterior.
        palette: the colours as their names mean them, from which it is told what may be at work.

    Returns:
        The draws. With no checks they are draws of the prior.

    Raises:
        UnknownWord: a band that is no metal and no colour of the palette.

    Assumes:
        The checks are a fair sample of the reader's readings, not only those that were doubted.

    Source:
        docs/science/learning.md, eq. 1 to 5.
    """
    for check in checks:
        for _, bands in (*check.read.sites, *check.worn.sites):
            for band in told_bands(bands):
                before.band_chance(band, before.words[0])
    usable = [check for check in checks if possible(check)]
    aside = tuple(at for at, check in enumerate(checks) if not possible(check))
    paths = error_paths(usable, before.code) if usable else None
    sampler = _Sampler(paths, before, palette, rng)
    lost, held = lost_bands(checks)
    kept: dict[str, list[float]] = {"swap": [], "flip": [], "overlook": []}
    tables = np.empty((2, draws, len(before.words), len(before.words)))
    for step in range(-_BURN_IN, draws):
        sampler.step()
        if step >= 0:
            for name, chain in kept.items():
                chain.append(getattr(sampler, name))
            tables[:, step] = sampler.table, sampler.expected
    chances = {name: np.array(chain) for name, chain in kept.items()}
    prior = chance_prior(before.lost)
    untold = None if lost + held else before.lost
    chances["lost"] = np.array([prior.draw(lost, held, rng) for _ in range(draws)])
    return Learned(before.words, chances, tables[0], tables[1], len(usable), aside, untold)


class _Sampler:
    """One chain over the chances and the hidden errors."""

    def __init__(
        self, paths: ErrorPaths | None, before: Misreading, palette: Palette | None, rng: np.random.Generator
    ) -> None:
        self.paths, self.rng = paths, rng
        self.colours = ColourChain(ColourLearner(hypotheses(before, palette)))
        self.priors = {name: chance_prior(getattr(before, name)) for name in ("swap", "flip", "overlook")}
        self.swap, self.flip, self.overlook = (prior.median for prior in self.priors.values())
        self.table = self.expected = table_of(self.colours.odds)

    def step(self) -> None:
        """Draw the hidden errors, then the chances."""
        counts = self._draw_errors()
        self.swap = self.priors["swap"].draw(*counts.swap, self.rng)
        self.flip = self.priors["flip"].draw(*counts.flip, self.rng)
        self.overlook = self.priors["overlook"].draw(*counts.overlook, self.rng)
        self.table, self.expected = self.colours.draw_table(counts.read, self.rng)

    def _draw_errors(self) -> ErrorCounts:
        words = len(self.table)
        if self.paths is None:
            never = (0.0, 0.0)
            return ErrorCounts(never, never, never, np.zeros((words, words)))
        found = weighed(self.paths, self.swap, self.flip, self.overlook, self.table)
        mixed_up = self.rng.binomial(self.paths.counts, found.mixed_up)
        times = self.rng.multinomial(per_pair(self.paths, mixed_up).astype(np.int64), found.ways)
        return counted(self.paths, mixed_up, times, words)
