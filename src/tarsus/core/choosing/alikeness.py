"""How alike two birds' marks read, for whole tables of birds at once.

The Bhattacharyya coefficient of two birds is the sum over readings of √(P(r|a)·P(r|b)): 1 where no reading
tells them apart, 0 where no reading fits both. Half of it is never less than the chance that, with just
these two birds equally likely, the better guess is wrong. Without an exchange of sides it is a product over
the sites, so a table of stacks and a look-up a site give it for every pair. With the exchange each bird is
a mixture of two such products, and √ of a sum is at most the sum of the √s: the coefficient used here is
that bound, so it is never too small.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.clarity import SURENESS
from tarsus.core.marks.marks import Marks
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.stacks import Stacks, stack_chances

Floats = NDArray[np.float64]


def alikeness(misreading: Misreading, one: Sequence[Marks], other: Sequence[Marks]) -> Floats:
    """Say for every pair how alike two birds' marks read.

    Args:
        misreading: the observer; whole legs are seen.
        one: marks of A birds.
        other: marks of B birds.

    Returns:
        ``(A, B)``, from 0 (no reading fits both) to 1 (nothing tells them apart); half of it bounds the
        chance of guessing wrong between the two.

    Assumes:
        Both birds are equally likely and every site is seen.

    Source:
        Bhattacharyya 1943; the bound on the error of a guess: Kailath 1967, IEEE Trans. Commun. Technol.
        15:52-60. docs/science/clashes.md, eq. 1 and 2.
    """
    stacks = Stacks.of(misreading, [*one, *other])
    table = stack_alikeness(misreading, stacks)
    ours, theirs = stacks.codes[:, : len(one)], stacks.codes[:, len(one) :]
    our_mirror, their_mirror = stacks.mirrored[:, : len(one)], stacks.mirrored[:, len(one) :]
    straight = _over_sites(table, ours, theirs)
    if misreading.swap == 0:
        return straight
    swap = misreading.swap
    crossed = _over_sites(table, our_mirror, theirs) + _over_sites(table, ours, their_mirror)
    both = _over_sites(table, our_mirror, their_mirror)
    total = (1 - swap) * straight + swap * both + sqrt(swap * (1 - swap)) * crossed
    return np.asarray(np.minimum(total, 1.0))


def pair_loss(
    misreading: Misreading, one: Sequence[Marks], other: Sequence[Marks], sureness: float = SURENESS
) -> Floats:
    """Say for every pair how much a reading of the two costs at most, in wrong names.

    Args:
        misreading: the observer; whole legs are seen.
        one: marks of A birds.
        other: marks of B birds.
        sureness: the chance from which a reading is named; in doubt it costs 1 - `sureness` of a wrong name.

    Returns:
        ``(A, B)``, never less than the sum over readings of what is less, naming the likelier of the two or
        leaving it in doubt; ½ or less.

    Assumes:
        Both birds are equally likely, every site is seen, and nobody else is weighed: a third bird that
        resembles both only adds doubt.

    Source:
        The reject rule (Chow 1970, IEEE Trans. Inf. Theory 16:41-46; from memory) bounded as a geometric
        mean: min(c (a + b), a, b) <= min(1, √(2 c)) √(a b). docs/science/clashes.md, eq. 3.
    """
    return alikeness(misreading, one, other) / 2 * min(1.0, sqrt(2 * (1 - sureness)))


def stack_alikeness(misreading: Misreading, stacks: Stacks) -> Floats:
    """``(U, U)``: the coefficient of two stacks on one site.

    Source:
        docs/science/clashes.md, eq. 1, on one site.
    """
    roots = np.sqrt(_reading_chances(misreading, stacks))
    return np.asarray(np.minimum(roots.T @ roots, 1.0))


def _reading_chances(misreading: Misreading, stacks: Stacks) -> Floats:
    """``(R, U)``: the chance of every reading of a site for every stack."""
    longest = max(len(bands) for bands in stacks.bands)
    reads = (read for length in range(longest + 1) for read in product(misreading.words, repeat=length))
    return np.stack([stack_chances(misreading, read, stacks) for read in reads])


def _over_sites(table: Floats, ours: NDArray[np.intp], theirs: NDArray[np.intp]) -> Floats:
    result = np.ones((ours.shape[1], theirs.shape[1]))
    for mine, yours in zip(ours, theirs, strict=True):
        if mine.any() or yours.any():  # bare on every bird of both tables: nothing to tell apart
            result *= table[mine[:, None], yours[None, :]]
    return result
