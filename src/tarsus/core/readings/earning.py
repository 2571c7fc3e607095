"""Whether what was learned of a reader has earned its use: it foretells checks that it was not taught."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import logsumexp

from tarsus.core.readings.error_paths import Check, possible
from tarsus.core.readings.fitting import Fitter
from tarsus.core.readings.misreading import Misreading

WANTED: Final = float(np.log(100.0))
"""Nats of evidence from which a learned reader serves: a factor of a hundred, which a reader who errs as
thought reaches with a chance of one in a hundred at most (docs/science/learning.md, "When it is used")."""

LEARNERS: Final = ("all", "colours", "all but colours")
_AS_THOUGHT: Final = 2.0
"""Weight of the observer as thought against all that is learned together, before any check."""

FIRST: Final = 10
_GROWTH: Final = 1.4

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Evidence:
    """How much better checks were foretold by what had been learned before them.

    `by_learner` is the evidence in nats of three learners (`LEARNERS`) over all `checks` that were foretold;
    `mean` the gain of the first in nats a check and `error` its standard error.
    """

    by_learner: tuple[float, ...] = (0.0, 0.0, 0.0)
    checks: int = 0
    mean: float = 0.0
    error: float = 0.0

    @property
    def nats(self) -> float:
        """The evidence of all learners, evenly weighed.

        Where the reader errs as it was thought to, it seldom ever reaches `WANTED`.

        Source:
            docs/science/learning.md, "When it is used".
        """
        return float(logsumexp(self.by_learner) - np.log(len(self.by_learner)))

    @property
    def earned(self) -> bool:
        """The learned reader should be used."""
        return self.nats >= WANTED

    def in_use(self, before: Misreading, after: Misreading) -> Misreading:
        """The reader that serves: what was learned, as far as the evidence goes, else what was thought.

        Args:
            before: the observer as it was thought to be.
            after: the same after the checks.

        Returns:
            Chances and confusions averaged over the learners and the observer as thought, each weighed by
            what it foretold: nothing is taken over that did not foretell.

        Source:
            Bayesian model averaging (Hoeting et al. 1999, Stat. Sci. 14:382-417; from memory).
        """
        log = np.append(np.array(self.by_learner) - np.log(len(self.by_learner)), np.log(_AS_THOUGHT))
        every, colours, chances, _ = np.exp(log - logsumexp(log))
        share, of_colours = float(every + chances), float(every + colours)
        table = (1.0 - of_colours) * before.table + of_colours * after.table
        mean = {
            name: (1.0 - share) * getattr(before, name) + share * getattr(after, name)
            for name in ("swap", "flip", "overlook")
        }
        rows = tuple(tuple(float(chance) for chance in row) for row in table)
        return replace(after, **mean, confusion=rows)


def evidence(checks: Sequence[Check], fitter: Fitter, practice: Sequence[Check] = ()) -> Evidence:
    """Measure what learning gained on checks before they were taught.

    Args:
        checks: confirmed readings, in the order in which they were made.
        fitter: the observer as it was thought to be, ready to be fitted.
        practice: what the learners were taught before any check; none of it is foretold.

    Returns:
        The evidence of three learners against the observer as thought: one that learns all, one colours only,
        one all but colours. Each stakes half of what it has on every check. The first ten are not foretold.

    Source:
        Prequential (Dawid 1984, J. R. Stat. Soc. A 147:278-292); the ratio is a martingale where the observer
        is as thought, so that Ville's inequality bounds false claims however often one looks (both from
        memory); docs/science/learning.md, "When it is used".
    """
    told = _told(checks, fitter, practice)
    if not told.shape[1]:
        return Evidence()
    return evidence_of(told)


def evidence_of(told: Real) -> Evidence:
    """Say how much the gains of learners come to.

    Args:
        told: ``(A, K)`` what each of A learners gained on each check before it was taught, in nats: the log
            ratio of its chance of what was found to the chance as thought.

    Returns:
        The evidence; each learner stakes half of what it has on every check.

    Source:
        docs/science/learning.md, "When it is used".
    """
    if not told.shape[1]:
        return Evidence((0.0,) * len(told))
    full = told[0]
    error = float(full.std(ddof=1) / np.sqrt(len(full))) if len(full) > 1 else 0.0
    by_learner = tuple(float(one) for one in _staked(told).sum(axis=1))
    return Evidence(by_learner, len(full), float(full.mean()), error)


def turns(checks: int) -> Iterator[tuple[int, int]]:
    """From which check to which is foretold at a time, by what all before them taught; not the first ten.

    Source:
        docs/science/learning.md, "When it is used".
    """
    start = FIRST
    while start < checks:
        end = min(int(np.ceil(start * _GROWTH)), checks)
        yield start, end
        start = end


def followed(checks: Sequence[Check], fitter: Fitter) -> Real:
    """``(K,)`` the evidence in nats after each check that was foretold: `Evidence.nats` as it grew.

    Source:
        docs/science/learning.md, "When it is used".
    """
    fortunes = _staked(_told(checks, fitter)).cumsum(axis=1)
    return np.asarray(logsumexp(fortunes, axis=0) - np.log(len(LEARNERS)))


def _told(checks: Sequence[Check], fitter: Fitter, practice: Sequence[Check] = ()) -> Real:
    """``(3, K)`` what each learner gained on each check before it was taught; not on the first ten."""
    usable = [check for check in checks if possible(check)]
    gains: list[Real] = [np.zeros((len(LEARNERS), 0))]
    for start, end in turns(len(usable)):
        after = fitter.fitted([*practice, *usable[:start]]).misreading
        gains.append(_gains(usable[start:end], fitter.before, after))
    return np.concatenate(gains, axis=1)


def _staked(told: Real) -> Real:
    return np.asarray(np.log(0.5 + 0.5 * np.exp(told)))


def _gains(checks: Sequence[Check], before: Misreading, after: Misreading) -> Real:
    """``(3, K)`` log ratio of the chance of each check by each learner and by the observer as thought."""
    learners = (
        after,
        replace(before, confusion=after.confusion),
        replace(after, confusion=before.confusion),
    )
    as_thought = _log_chances(checks, before)
    return np.stack([_log_chances(checks, one) - as_thought for one in learners])


def _log_chances(checks: Sequence[Check], misreading: Misreading) -> Real:
    """Log chance of each reading; what an observer could not have read at all counts as one in a million."""
    chances = [misreading.reading_chance(check.read, check.worn) for check in checks]
    return np.asarray(np.log(np.maximum(chances, 1e-6)))
