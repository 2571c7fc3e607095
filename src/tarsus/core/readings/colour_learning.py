"""What is learned about colours: which cause is at work, how much, and what each word is taken for.

docs/science/learning.md, eq. 3 to 5. Each word's odds of being read as another lie around those of a cause,
more or less closely; how closely, and how far the whole reader is off, the checks tell. Array axes: G causes
shared by all colours, S scales, F states of one colour, A closeness, C words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln, logsumexp

from tarsus.core.readings.colour_hypotheses import Hypotheses

_SCALES: Final = np.geomspace(1 / 16, 16, 9)
_SCALE_SPREAD: Final = 1.0
"""The whole reader's odds are thought to be right within a factor of e, one standard deviation."""

_CLOSENESS: Final = np.array([0.5, 2.0, 8.0, 0.3])
"""Events that a cause's odds are worth for one cell: a Gamma's shape. The last is of a word that no cause
explains: its odds may be anything about `_ANYTHING`."""

_CLOSE_SHARES: Final = np.array([0.1, 0.2, 0.65, 0.05])
_ANYTHING: Final = 0.02
_AS_THOUGHT: Final = 0.6
_NEW: Final = 0.7
_SELDOM: Final = 4

Real = NDArray[np.float64]
Counts = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class ColourPosterior:
    """`odds` ``(C, C)`` expected odds of each mistake; `causes` ``(G,)`` chance of each shared cause; `faded`
    ``(F, C)`` of each word's state."""

    odds: Real
    causes: Real
    faded: Real

    @property
    def table(self) -> Real:
        """``(C, C)`` the confusion table at the expected odds; rows sum to 1."""
        return table_of(self.odds)


def table_of(odds: Real) -> Real:
    """The confusion table with these odds against the right word.

    Source:
        docs/science/learning.md, eq. 3.
    """
    table = odds / (1.0 + odds.sum(axis=-1, keepdims=True))
    np.fill_diagonal(table, 1.0 - table.sum(axis=1))
    return np.asarray(table)


class ColourLearner:
    """Weighs causes by counts; ready for many counts over the same hypotheses.

    With u_i ~ Gamma(n_i, 1 + sum of row i's odds) beside the odds, a cell's odds are a Gamma again
    (data augmentation): so sums over causes are exact given u.
    """

    def __init__(self, laid_out: Hypotheses) -> None:
        self.laid_out = laid_out
        causes, states, words, _ = laid_out.odds.shape
        # mean[g, s, f, a, i, j], rate its Gamma's second parameter.
        mean = laid_out.odds[:, None, :, None] * _SCALES[:, None, None, None, None]
        self.shape = _CLOSENESS[:, None, None]
        off = ~np.eye(words, dtype=bool)
        self.rate = self.shape / np.where(off, mean, 1.0)
        self.rate[..., -1, :, :] = _CLOSENESS[-1] / _ANYTHING
        self.off = off
        self.prior_gs = _log_causes(causes)[:, None] + _log_scales()
        self.prior_fa = _log_states(states)[:, None, None] + np.log(_CLOSE_SHARES)[:, None]
        # As it was thought, before any count.
        self.first = np.asarray(laid_out.odds[0, 0])

    def weights(self, counts: Counts, augmented: Real) -> tuple[Real, Real]:
        """Log weight of causes and scales ``(G, S)``, and of states and closeness ``(G, S, F, A, C)``.

        Source:
            docs/science/learning.md, eq. 5.
        """
        grown = np.log1p(augmented[:, None] / self.rate)
        log = -self.shape * grown
        at_row, at_word = np.nonzero((counts > 0.0) & self.off)
        some = counts[at_row, at_word]
        rate = self.rate[..., at_row, at_word]
        gained = some * (-np.log(rate) - grown[..., at_row, at_word])
        shape = _CLOSENESS[:, None]
        gained += gammaln(shape + some) - gammaln(shape)
        rows = np.where(self.off, log, 0.0).sum(axis=-1)
        for cell, row in enumerate(at_row):
            rows[..., row] += gained[..., cell]
        rows = rows + self.prior_fa
        whole = self.prior_gs + logsumexp(rows, axis=(2, 3)).sum(axis=-1)
        return whole, rows

    def expected(self, counts: Counts, right: Real, odds: Real) -> ColourPosterior:
        """Say what odds are expected after counts.

        Args:
            counts: ``(C, C)`` how often a band that is ``i`` was read as ``j``; the diagonal does not count.
            right: ``(C,)`` how often each was read rightly.
            odds: ``(C, C)`` the odds as thought so far, for what stands beside them.

        Source:
            docs/science/learning.md, eq. 4 and 5, at expected counts.
        """
        total = right + np.where(self.off, counts, 0.0).sum(axis=1)
        augmented = total / (1.0 + odds.sum(axis=1))
        whole, rows = self.weights(counts, augmented)
        shared = np.exp(whole - logsumexp(whole))
        each = np.exp(rows - logsumexp(rows, axis=(2, 3), keepdims=True)) * shared[:, :, None, None, None]
        cells = (self.shape + counts) / (self.rate + augmented[:, None])
        found = np.einsum("gsfai,gsfaij->ij", each, cells) * self.off
        return ColourPosterior(np.asarray(found), shared.sum(axis=1), each.sum(axis=(0, 1, 3)))


class ColourChain:
    """Draws confusion tables one after the other, given how often each word was read of each."""

    def __init__(self, learner: ColourLearner) -> None:
        self.learner = learner
        self.odds = learner.first
        self._steps = 0
        self._shape = np.ones_like(self.odds)
        self._rate = np.ones_like(self.odds)

    def draw_table(self, counts: Counts, rng: np.random.Generator) -> tuple[Real, Real]:
        """Draw a confusion table, and say what it was expected to be.

        Args:
            counts: ``(C, C)`` how often a band that is ``i`` was read as ``j``.
            rng: the source of chance.

        Returns:
            ``(C, C)`` a table whose rows sum to 1; ``(C, C)`` its mean given these counts, the cause drawn
            and what stands beside.

        Source:
            docs/science/learning.md, eq. 4 and 5.
        """
        total = counts.sum(axis=1)
        augmented = rng.standard_gamma(total) / (1.0 + self.odds.sum(axis=1))
        # Which cause it is moves slowly, and its draw is the dear one.
        if self._steps % _SELDOM == 0:
            self._draw_cause(counts, augmented, rng)
        self._steps += 1
        off = self.learner.off
        shape, rate = self._shape + counts, self._rate + augmented[:, None]
        self.odds = np.where(off, np.maximum(rng.standard_gamma(shape) / rate, 1e-15), 0.0)
        return table_of(self.odds), table_of(np.where(off, shape / rate, 0.0))

    def _draw_cause(self, counts: Counts, augmented: Real, rng: np.random.Generator) -> None:
        whole, rows = self.learner.weights(counts, augmented)
        cause, scale = np.unravel_index(_drawn(whole.ravel(), rng), whole.shape)
        words = rows.shape[-1]
        of_rows = rows[cause, scale].reshape(-1, words)
        closeness = rows.shape[3]
        for word in range(words):
            state, close = divmod(_drawn(of_rows[:, word], rng), closeness)
            self._shape[word] = _CLOSENESS[close]
            self._rate[word] = self.learner.rate[cause, scale, state, close, word]


def _log_causes(causes: int) -> Real:
    if causes == 1:
        return np.zeros(1)
    return np.asarray(np.log(np.append(_AS_THOUGHT, np.full(causes - 1, (1.0 - _AS_THOUGHT) / (causes - 1)))))


def _log_states(states: int) -> Real:
    if states == 1:
        return np.zeros(1)
    return np.asarray(np.log(np.append(_NEW, np.full(states - 1, (1.0 - _NEW) / (states - 1)))))


def _log_scales() -> Real:
    log = -0.5 * (np.log(_SCALES) / _SCALE_SPREAD) ** 2
    return np.asarray(log - logsumexp(log))


def _drawn(log_weights: Real, rng: np.random.Generator) -> int:
    """One index, drawn by its weight."""
    heaped = np.cumsum(np.exp(log_weights - log_weights.max()))
    return int(np.searchsorted(heaped, rng.random() * heaped[-1], side="right"))
