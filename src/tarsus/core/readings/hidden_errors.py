"""How probable each way is in which checks can have come about, at given chances of the errors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tarsus.core.readings.error_paths import KEPT_IN_ORDER, NO_PAIR_TO_TURN, TURNED_OVER, ErrorPaths

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class ErrorCounts:
    """How often each error happened and did not, drawn or expected; `read` ``(C, C)`` words read of words."""

    swap: tuple[float, float]
    flip: tuple[float, float]
    overlook: tuple[float, float]
    read: Real


@dataclass(frozen=True, eq=False)
class WeighedPaths:
    """`mixed_up` ``(K,)`` chance that a check's sides were mixed up; `ways` ``(N, P)`` share of each way."""

    mixed_up: Real
    ways: Real


def weighed(paths: ErrorPaths, swap: float, flip: float, overlook: float, table: Real) -> WeighedPaths:
    """Weigh the ways of all checks.

    Args:
        paths: the ways.
        swap: chance that the sides of a reading are mixed up, where it tells none itself.
        flip: chance that a pair is turned over.
        overlook: chance that a band is not noticed.
        table: ``(C, C)`` chance that a word is read as another.

    Source:
        docs/science/learning.md, eq. 1 and 2.
    """
    cells = np.append(table.ravel(), 1.0)
    orders = np.empty(3)
    orders[NO_PAIR_TO_TURN], orders[KEPT_IN_ORDER], orders[TURNED_OVER] = 1.0, 1.0 - flip, flip
    there = overlook**paths.gone * (1.0 - overlook) ** paths.shown
    ways = paths.alike * there * orders[paths.order] * cells[paths.cells].prod(axis=2)
    whole = ways.sum(axis=1)
    pair = np.append(whole, (1.0, 0.0))
    own = np.where(np.isnan(paths.swap), swap, paths.swap)
    straight = (1.0 - own) * pair[paths.straight].prod(axis=1)
    crossed = own * pair[paths.crossed].prod(axis=1)
    return WeighedPaths(crossed / (straight + crossed), ways / whole[:, None])


def counted(
    paths: ErrorPaths, mixed_up: NDArray[np.number], times: NDArray[np.number], words: int
) -> ErrorCounts:
    """Count the errors.

    Args:
        paths: the ways.
        mixed_up: ``(K,)`` how many of each check's readings had the sides mixed up.
        times: ``(N, P)`` how often each way was taken.
        words: how many words there are.

    Source:
        docs/science/learning.md, eq. 1 and 2.
    """
    telling = paths.sides_tell
    swaps = float(mixed_up[telling].sum())
    by_order = np.bincount(paths.order.ravel(), times.ravel(), 3)
    read = np.bincount(paths.cells.ravel(), np.repeat(times.ravel(), paths.cells.shape[2]), words * words + 1)
    return ErrorCounts(
        (swaps, float(paths.counts[telling].sum()) - swaps),
        (float(by_order[TURNED_OVER]), float(by_order[KEPT_IN_ORDER])),
        (float((times * paths.gone).sum()), float((times * paths.shown).sum())),
        read[:-1].astype(np.float64).reshape(words, words),
    )


def per_pair(paths: ErrorPaths, mixed_up: NDArray[np.number]) -> Real:
    """``(N,)`` how often each pair of a stack read and a stack worn came about."""
    sites, pairs = paths.straight.shape[1], len(paths.order)
    found = np.bincount(
        np.concatenate([paths.straight.ravel(), paths.crossed.ravel()]),
        np.concatenate([np.repeat(paths.counts - mixed_up, sites), np.repeat(mixed_up, sites)]),
        pairs + 2,
    )
    return np.asarray(found[:pairs], dtype=np.float64)
