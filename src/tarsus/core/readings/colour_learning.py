"""What is learned about colours: a mean error, each colour's own, and what it is taken for.

docs/science/learning.md, eq. 3 to 5. Rows lean on the mean as far as the checks bear out that colours are
alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln, gammaln

from tarsus.core.readings.chance_prior import LEAST, chance_prior
from tarsus.core.readings.misreading import Misreading

_UNFORESEEN: Final = 0.04
"""Share of a colour's mistakes kept for what the prior does not foresee, metal among it."""

_NEVER: Final = 1e-12
"""Least chance that is drawn: rarer ones would underflow where a reading has several errors."""

_FACTOR: Final = 2.5
_SELDOM: Final = 3
_MEANS: Final = np.geomspace(2e-5, 0.6, 60)
_WORTH: Final = np.array([0.5, 0.5, 2.0, 8.0])
_TIMES: Final = np.array([1.0, 5.0, 1.0, 1.0])
_MIX: Final = np.array([1.0, 1.0, 1.0, 1.0])
"""Kinds of colours: events that the mean error is worth for one, times higher it may lie, colours thought
of so.

Most colours may be alike, and one (a red that faded) far out: how many are of which kind is learned.
"""

_SHARING: Final = np.array([1.0, 3.0, 10.0])

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class ColourPrior:
    """What is thought of colours before the checks.

    `mean` error of the colours; `relative` ``(C - 1,)`` each colour's error against it, without metal;
    `metal` error of metal; `shares` ``(C, C)`` what each word is taken for when it is misread, rows sum to
    1, diagonal 0.
    """

    mean: float
    relative: Real
    metal: float
    shares: Real

    def mean_table(self) -> Real:
        """``(C, C)`` the confusion table at the prior's means."""
        wrong = np.append(self.metal, np.minimum(self.mean * self.relative, 0.9))
        return _table(wrong, self.shares)


def colour_prior(before: Misreading) -> ColourPrior:
    """Take the prior from an observer as it was thought to be."""
    table = before.table
    words = len(table)
    wrong = 1.0 - np.diagonal(table)
    off = table.copy()
    np.fill_diagonal(off, 0.0)
    even = (1.0 - np.eye(words)) / max(words - 1, 1)
    told = off.sum(axis=1, keepdims=True)
    shares = np.where(told > 0.0, off / np.where(told > 0.0, told, 1.0), even)
    to_metal = np.zeros((words, words))
    to_metal[1:, 0] = 1.0
    to_metal[0] = even[0]
    shares = (1.0 - _UNFORESEEN) * shares + _UNFORESEEN / 2 * (even + to_metal)
    mean = max(float(wrong[1:].mean()), LEAST)
    return ColourPrior(mean, np.maximum(wrong[1:] / mean, 0.1), max(float(wrong[0]), LEAST), shares)


class ColourChain:
    """Draws confusion tables one after the other, given how often each word was read of each."""

    def __init__(self, prior: ColourPrior) -> None:
        self.prior = prior
        colours = len(prior.relative)
        self._mean, self._mix = prior.mean, _MIX / _MIX.sum()
        self._kinds = np.zeros(colours, dtype=np.intp)
        self._sharing = np.full(colours + 1, _SHARING[1])
        self._metal = chance_prior(prior.metal)
        self._steps = 0
        # Of every mean, kind and colour: the second parameter of its Beta.
        each = np.minimum(_MEANS[:, None, None] * _TIMES[:, None] * prior.relative, 0.9)
        self._b = _WORTH[:, None] * (1.0 - each) / each
        self._before = betaln(_WORTH[:, None], self._b)
        # The mean error is thought to be the prior's within a factor; the grid is even in the logarithm.
        self._log_prior = -0.5 * (np.log(_MEANS / prior.mean) / _FACTOR) ** 2

    def draw_table(self, counts: Real, rng: np.random.Generator) -> tuple[Real, Real]:
        """Draw a confusion table, and say what it was expected to be.

        Args:
            counts: ``(C, C)`` how often a band that is ``i`` was read as ``j``.
            rng: the source of chance.

        Returns:
            ``(C, C)`` a table whose rows sum to 1; ``(C, C)`` the mean of such tables given these counts, but
            for metal, whose error stays the drawn one.
        """
        prior = self.prior
        right = np.diagonal(counts)
        wrong = counts.sum(axis=1) - right
        # What rows have in common moves slowly, and its draw is the dear one.
        if self._steps % _SELDOM == 0:
            self._draw_shared(wrong[1:], right[1:], rng)
            self._draw_sharing(counts, rng)
        self._steps += 1
        each = np.minimum(self._mean * _TIMES[self._kinds] * prior.relative, 0.9)
        worth = _WORTH[self._kinds]
        a, b = worth + wrong[1:], worth * (1.0 - each) / each + right[1:]
        metal = self._metal.draw(wrong[0], right[0], rng)
        chances = np.maximum(np.append(metal, rng.beta(a, b)), _NEVER)
        heads = self._sharing[:, None] * prior.shares + counts
        np.fill_diagonal(heads, 0.0)
        weights = np.maximum(rng.standard_gamma(heads), _NEVER)
        np.fill_diagonal(weights, 0.0)
        drawn = _table(chances, _rows_to_one(weights))
        return drawn, _table(np.append(metal, a / (a + b)), _rows_to_one(heads))

    def _draw_shared(self, wrong: Real, right: Real, rng: np.random.Generator) -> None:
        """Draw the mean error, of which kind each colour is, and how many are of each kind."""
        log = betaln(_WORTH[:, None] + wrong, self._b + right) - self._before
        # fits[m, k, c]: how well kind k explains colour c at mean m, as a share of the best kind.
        best = log.max(axis=1, keepdims=True)
        fits = np.exp(log - best) * self._mix[:, None]
        colours = (np.log(fits.sum(axis=1)) + best[:, 0]).sum(axis=1)
        at = int(_drawn((self._log_prior + colours)[:, None], rng)[0])
        self._mean = float(_MEANS[at])
        self._kinds = _drawn(np.log(np.maximum(fits[at], 1e-300)), rng)
        self._mix = rng.dirichlet(_MIX + np.bincount(self._kinds, minlength=len(_WORTH)))

    def _draw_sharing(self, counts: Real, rng: np.random.Generator) -> None:
        """Draw for each row how many mistakes the prior's shares are worth."""
        worn, read = np.nonzero((counts > 0.0) & ~np.eye(len(counts), dtype=bool))
        totals = counts.sum(axis=1) - np.diagonal(counts)
        log = gammaln(_SHARING[:, None]) - gammaln(_SHARING[:, None] + totals)
        a = _SHARING[:, None] * self.prior.shares[worn, read]
        cells = gammaln(a + counts[worn, read]) - gammaln(a)
        log += np.stack([np.bincount(worn, of_one, len(counts)) for of_one in cells])
        self._sharing = _SHARING[_drawn(log, rng)]


def _rows_to_one(weights: Real) -> Real:
    total = weights.sum(axis=1, keepdims=True)
    return np.asarray(weights / np.where(total > 0.0, total, 1.0))


def _table(wrong: Real, shares: Real) -> Real:
    table = wrong[:, None] * shares
    np.fill_diagonal(table, 1.0 - wrong)
    return np.asarray(table)


def _drawn(log_weights: Real, rng: np.random.Generator) -> NDArray[np.intp]:
    """One index of each column, drawn by its weights."""
    heaped = np.cumsum(np.exp(log_weights - log_weights.max(axis=0)), axis=0)
    return np.asarray((heaped < rng.random(heaped.shape[1]) * heaped[-1]).sum(axis=0))
