"""How clear the marks of a flock are: how often a reading names a wrong bird, and which.

A flock's chance of a wrong name is 1 - P(right), where P(right) = sum over readings of the largest
pi_b P(reading | bird b) among the birds that look alike (docs/science/assignment.md, eq. 2).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.reading_rows import ReadingRows, finest_cut, reading_rows
from tarsus.core.choosing.reading_tables import side_tables
from tarsus.core.errors import WrongValue
from tarsus.core.marks.birds import Bird
from tarsus.core.readings.likelihoods import Likelihoods
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.simulation import simulate_reading
from tarsus.core.words.certainty import ALMOST_CERTAIN

Floats = NDArray[np.float64]

MOST_ENTRIES: Final = 2_000_000
"""Readings of all birds together that are listed; beyond, they are drawn."""

SURENESS: Final = ALMOST_CERTAIN
"""Chance from which a reading is named, without *probably*; below, it is left in doubt."""

DRAWN: Final = 20_000
"""Readings drawn for a flock whose readings are too many to be listed."""


@dataclass(frozen=True, eq=False)
class Clarity:
    """How often a flock is misnamed when every site is seen, and who is taken for whom.

    `misnamed`: the chance that a reading of a random bird names a wrong one. `per_bird`: ``(B,)`` the same
    given the bird. `confused`: ``(B, B)`` chance that bird ``i`` is named ``j``, at ``[i, j]``, ``i !=
    j``; rows sum to `per_bird`. `uncertainty`: how far `misnamed` may be off: what was left out of the
    list, or the standard error where readings were drawn (`drawn`). By an observer who names a bird only
    when its chance is at least `sureness`, `named_wrongly` is the chance of a wrong name and `left_in_doubt`
    that of none.
    """

    misnamed: float
    per_bird: Floats
    confused: Floats
    uncertainty: float
    drawn: bool
    named_wrongly: float
    left_in_doubt: float
    sureness: float

    @property
    def loss(self) -> float:
        """Cost of a reading, in wrong names: one in doubt costs 1 - `sureness` of one (Chow 1970).

        Source:
            docs/science/assignment.md, eq. 3a.
        """
        return self.named_wrongly + (1.0 - self.sureness) * self.left_in_doubt

    def worst_pairs(self, most: int = 10) -> list[tuple[int, int, float]]:
        """The pairs that are taken for each other most: two birds, and the mean of both directions.

        Source:
            docs/science/assignment.md, eq. 3, the mean of both ways.
        """
        both = np.triu(self.confused + self.confused.T, 1) / 2
        order = np.argsort(-both, axis=None, kind="stable")[:most]
        pairs = [tuple(int(at) for at in np.unravel_index(k, both.shape)) for k in order]
        return [(one, other, float(both[one, other])) for one, other in pairs if both[one, other] > 0]

    def lookalikes(self, bird: int, most: int = 3) -> list[tuple[int, float]]:
        """The likeliest wrong answers when this bird is read, with their chances."""
        order = np.argsort(-self.confused[bird], kind="stable")[:most]
        return [(int(at), float(self.confused[bird, at])) for at in order if self.confused[bird, at] > 0]


def flock_clarity(
    birds: Sequence[Bird],
    misreading: Misreading,
    rng: np.random.Generator | None = None,
    *,
    sureness: float = SURENESS,
) -> Clarity:
    """Say how often a flock is misnamed, and who is taken for whom.

    Args:
        birds: the flock; only birds of one look-alike group are taken for each other; `prior` weighs them.
        misreading: the observer, who sees every site and names the likeliest bird.
        rng: draws readings where they are too many to be listed; a fixed one where it is left out.
        sureness: chance from which a reading is named, by an observer who may leave it in doubt.

    Returns:
        Exact chances, but for what `uncertainty` says. Two birds with the same marks share the right names.

    Raises:
        WrongValue: no bird has any prior weight.

    Assumes:
        The bird is one of the flock, and the observer names one every time.

    Source:
        docs/science/assignment.md, eq. 2 and 3.
    """
    weights = np.array([bird.prior for bird in birds], dtype=float)
    if not birds or not weights.sum() > 0:
        raise WrongValue("birds", "no bird has any weight; give at least one a prior")
    share = weights / weights.sum()
    groups = [bird.lookalike for bird in birds]
    confused = np.zeros((len(birds), len(birds)))
    left_out, variance, drawn = np.zeros(len(birds)), 0.0, False
    sure = np.zeros(2)
    for name in dict.fromkeys(groups):
        at = np.array([k for k, group in enumerate(groups) if group == name])
        some = [birds[k] for k in at]
        rows = _listed(some, misreading)
        if rows is not None:
            block, cautious = _named(rows, share[at], sureness)
            left_out[at] = rows.left_out
        else:
            drawn = True
            block, cautious, per_bird = _drawn(
                some, misreading, share[at], rng or np.random.default_rng(1), sureness
            )
            variance += float((share[at] ** 2 * per_bird).sum())
        confused[np.ix_(at, at)] = block
        sure += cautious
    np.fill_diagonal(confused, 0.0)
    per_bird = confused.sum(axis=1)
    uncertainty = float(share @ left_out) + variance**0.5
    wrong, doubt = float(sure[0]), float(sure[1])
    return Clarity(float(share @ per_bird), per_bird, confused, uncertainty, drawn, wrong, doubt, sureness)


def _listed(birds: Sequence[Bird], misreading: Misreading) -> ReadingRows | None:
    tables = side_tables(misreading, [bird.marks for bird in birds])
    if tables is None:
        return None
    cut = finest_cut(tables, tables.left, tables.right, MOST_ENTRIES)
    return None if cut is None else reading_rows(tables, tables.left, tables.right, cut)


def _named(rows: ReadingRows, share: Floats, sureness: float) -> tuple[Floats, Floats]:
    """``(B, B)`` chance that bird ``i`` is named ``j``; of a wrong name and of none by who must be sure."""
    owner = rows.owner
    weight = share[owner] * rows.chance
    # Per reading the heaviest bird first; of equals the first in the flock, and all that equal it share.
    order = np.lexsort((owner, -weight, rows.reading))
    reading, weight, owner, chance = rows.reading[order], weight[order], owner[order], rows.chance[order]
    first = np.concatenate([[True], reading[1:] != reading[:-1]])
    starts = np.flatnonzero(first)
    lengths = np.diff(np.concatenate([starts, [len(reading)]]))
    most = np.repeat(weight[starts], lengths)
    ties = weight >= most * (1 - 1e-12)
    tied = np.repeat(np.add.reduceat(ties.astype(float), starts), lengths)
    total = np.add.reduceat(weight, starts)
    is_sure = weight[starts] >= sureness * total
    cautious = np.array([(total - weight[starts])[is_sure].sum(), total[~is_sure].sum()])
    named = np.zeros((len(share), len(share)))
    single = tied == 1
    np.add.at(named, (owner[single], np.repeat(owner[starts], lengths)[single]), chance[single])
    for start, length in zip(starts, lengths, strict=True):
        if tied[start] > 1:
            best = owner[start : start + int(tied[start])]
            who = owner[start : start + length]
            named[np.ix_(who, best)] += (chance[start : start + length] / tied[start])[:, None]
    return named, cautious


def _drawn(
    birds: Sequence[Bird], misreading: Misreading, share: Floats, rng: np.random.Generator, sureness: float
) -> tuple[Floats, Floats, Floats]:
    """The same from drawn readings, as many of each bird; and the variance of each bird's chance."""
    prepared = Likelihoods(misreading, [bird.marks for bird in birds])
    each = max(DRAWN // len(birds), 50)
    named, cautious = np.zeros((len(birds), len(birds))), np.zeros(2)
    for true, bird in enumerate(birds):
        for _ in range(each):
            weight = share * prepared.of(simulate_reading(rng, bird.marks, misreading))
            best = np.flatnonzero(weight >= weight.max() * (1 - 1e-12))
            named[true, best] += 1 / (len(best) * each)
            if weight.max() < sureness * weight.sum():
                cautious[1] += share[true] / each
            elif true not in best:
                cautious[0] += share[true] / each
    wrong = 1 - np.diag(named)
    # Laplace's rule keeps the standard error honest where no wrong name was drawn.
    smoothed = (wrong * each + 1) / (each + 2)
    return named, cautious, smoothed * (1 - smoothed) / each
