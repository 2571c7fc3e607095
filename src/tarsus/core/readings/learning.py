"""Learn a reader's error chances and colour confusions from confirmed readings.

docs/science/learning.md has the model. Which error happened is hidden, so the posterior is drawn: given the
chances the hidden errors are drawn, given the errors the chances are (Gibbs sampling).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.readings.chance_prior import chance_prior
from tarsus.core.readings.colour_learning import ColourChain, colour_prior
from tarsus.core.readings.error_paths import (
    KEPT_IN_ORDER,
    NO_PAIR_TO_TURN,
    TURNED_OVER,
    Check,
    ErrorPaths,
    error_paths,
    possible,
)
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
    the list.
    """

    words: tuple[str, ...]
    chances: dict[str, Real]
    tables: Real
    expected: Real
    used: int
    set_aside: tuple[int, ...]

    def misreading(self) -> Misreading:
        """The observer at the medians.

        A row of the table keeps what its errors leave over for the right word.
        """
        swap, flip, overlook, lost = (
            float(np.median(self.chances[name])) for name in ("swap", "flip", "overlook", "lost")
        )
        wrong = np.median(1.0 - np.diagonal(self.expected, axis1=1, axis2=2), axis=0)
        shares = self.expected.mean(axis=0)
        np.fill_diagonal(shares, 0.0)
        told = shares.sum(axis=1)
        table = shares * np.where(told > 0.0, wrong / np.where(told > 0.0, told, 1.0), 0.0)[:, None]
        np.fill_diagonal(table, 1.0 - table.sum(axis=1))
        rows = tuple(tuple(float(chance) for chance in row) for row in table)
        return Misreading(swap, flip, overlook, lost, self.words, rows)

    def colour(self) -> Real:
        """``(D,)`` draws of the mean chance that a colour is taken for something else."""
        return np.asarray(1.0 - np.diagonal(self.tables, axis1=1, axis2=2)[:, 1:].mean(axis=1))


def interval(draws: Real) -> tuple[float, float]:
    """The middle 95 % of some draws."""
    low, high = np.quantile(draws, (0.025, 0.975))
    return float(low), float(high)


def learn(
    checks: Sequence[Check], before: Misreading, rng: np.random.Generator, *, draws: int = DRAWS
) -> Learned:
    """Re-estimate a reader from confirmed readings.

    Args:
        checks: readings of birds whose bands were then confirmed.
        before: the observer as it was thought to be; its chances are the prior's medians.
        rng: the source of chance.
        draws: how many draws of the posterior.

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
    sampler = _Sampler(paths, before, rng)
    lost, held = _lost_bands(checks)
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
    chances["lost"] = np.array([prior.draw(lost, held, rng) for _ in range(draws)])
    return Learned(before.words, chances, tables[0], tables[1], len(usable), aside)


class _Sampler:
    """One chain over the chances and the hidden errors."""

    def __init__(self, paths: ErrorPaths | None, before: Misreading, rng: np.random.Generator) -> None:
        self.paths, self.rng = paths, rng
        self.colours = ColourChain(colour_prior(before))
        self.priors = {name: chance_prior(getattr(before, name)) for name in ("swap", "flip", "overlook")}
        self.swap, self.flip, self.overlook = (prior.median for prior in self.priors.values())
        words = len(before.words)
        self.counts = np.zeros((words, words))
        self.table = self.expected = self.colours.prior.mean_table()

    def step(self) -> None:
        """Draw the hidden errors, then the chances."""
        swaps = kept = turned = in_order = gone = shown = 0.0
        if self.paths is not None:
            mixed_up, per_pair = self._draw_sides(self.paths)
            telling = self.paths.sides_tell
            swaps = float(mixed_up[telling].sum())
            kept = float(self.paths.counts[telling].sum()) - swaps
            turned, in_order, gone, shown = self._draw_ways(self.paths, per_pair)
        self.swap = self.priors["swap"].draw(swaps, kept, self.rng)
        self.flip = self.priors["flip"].draw(turned, in_order, self.rng)
        self.overlook = self.priors["overlook"].draw(gone, shown, self.rng)
        self.table, self.expected = self.colours.draw_table(self.counts, self.rng)

    def _way_chances(self, paths: ErrorPaths) -> Real:
        """``(N, P)`` chance of each way of each pair."""
        cells = np.append(self.table.ravel(), 1.0)
        orders = np.empty(3)
        orders[NO_PAIR_TO_TURN], orders[KEPT_IN_ORDER], orders[TURNED_OVER] = 1.0, 1.0 - self.flip, self.flip
        there = self.overlook**paths.gone * (1.0 - self.overlook) ** paths.shown
        return np.asarray(paths.alike * there * orders[paths.order] * cells[paths.cells].prod(axis=2))

    def _draw_sides(self, paths: ErrorPaths) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """How often each check's sides were mixed up, and how often each pair came about."""
        self.ways = self._way_chances(paths)
        pair = np.append(self.ways.sum(axis=1), (1.0, 0.0))
        swap = np.where(np.isnan(paths.swap), self.swap, paths.swap)
        straight = (1.0 - swap) * pair[paths.straight].prod(axis=1)
        crossed = swap * pair[paths.crossed].prod(axis=1)
        mixed_up = self.rng.binomial(paths.counts, crossed / (straight + crossed))
        sites = paths.straight.shape[1]
        per_pair = np.bincount(
            np.concatenate([paths.straight.ravel(), paths.crossed.ravel()]),
            np.concatenate([np.repeat(paths.counts - mixed_up, sites), np.repeat(mixed_up, sites)]),
            len(pair),
        )
        return mixed_up, per_pair[:-2].astype(np.int64)

    def _draw_ways(self, paths: ErrorPaths, per_pair: NDArray[np.int64]) -> tuple[float, float, float, float]:
        """Draw the way of each pair; keeps the counts of colours read.

        Answers how many pairs were turned over and how many not, how many bands gone and how many shown.
        """
        shares = self.ways / self.ways.sum(axis=1, keepdims=True)
        times = self.rng.multinomial(per_pair, shares)
        words = len(self.table)
        read = np.bincount(
            paths.cells.ravel(), np.repeat(times.ravel(), paths.cells.shape[2]), words * words + 1
        )
        self.counts = read[:-1].astype(np.float64).reshape(words, words)
        by_order = np.bincount(paths.order.ravel(), times.ravel(), 3)
        gone, shown = float((times * paths.gone).sum()), float((times * paths.shown).sum())
        return float(by_order[TURNED_OVER]), float(by_order[KEPT_IN_ORDER]), gone, shown


def _lost_bands(checks: Sequence[Check]) -> tuple[int, int]:
    """Bands of the record that were worn no more, and those that still were."""
    lost = held = 0
    for check in checks:
        if check.record is None:
            continue
        for site, recorded in check.record.sites:
            worn = check.worn.at(site)
            rest = iter(recorded)
            if all(band in rest for band in worn):  # worn is what is left of the record, in its order
                lost += len(recorded) - len(worn)
                held += len(worn)
    return lost, held
