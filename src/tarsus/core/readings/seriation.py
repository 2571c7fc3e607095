"""An order of birds in which those that are taken for one another stand together."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

LEAST: Final = 1e-9


def together(confused: NDArray[np.float64]) -> list[int]:
    """Put rows of a confusion table in an order in which large entries lie near the diagonal.

    Birds that are never taken for one another fall into groups of their own; within a group the order is
    that of the second eigenvector of its Laplacian. Groups with most confusion come first.

    Args:
        confused: ``(B, B)`` chance that the row's bird is given the column's name; the diagonal is ignored.

    Returns:
        ``B`` places, each once.

    Source:
        Spectral seriation: Atkins, Boman and Hendrickson 1998, SIAM Journal on Computing 28, 297-310
        (from memory).
    """
    alike = np.asarray(confused, dtype=np.float64)
    alike = (alike + alike.T) / 2
    np.fill_diagonal(alike, 0.0)
    alike[alike < LEAST] = 0.0
    groups = sorted(_groups(alike), key=lambda own: (-float(alike[np.ix_(own, own)].sum()), own[0]))
    return [at for own in groups for at in _along(alike[np.ix_(own, own)], own)]


def _groups(alike: NDArray[np.float64]) -> list[list[int]]:
    left, found = set(range(len(alike))), []
    while left:
        own, edge = set(), {min(left)}
        while edge:
            own |= edge
            edge = {int(j) for i in edge for j in np.flatnonzero(alike[i])} - own
        left -= own
        found.append(sorted(own))
    return found


def _along(alike: NDArray[np.float64], own: list[int]) -> list[int]:
    if len(own) < 3:
        return own
    _, vectors = np.linalg.eigh(np.diag(alike.sum(axis=1)) - alike)
    second = vectors[:, 1]
    # An eigenvector has no sign of its own: the first bird stands in the first half.
    if second[0] > 0:
        second = -second
    return [own[int(i)] for i in np.argsort(second, kind="stable")]
