"""The ways in which confirmed readings can have come about, laid out for learning.

A check is a reading and what the bird really wore. Which error happened is hidden: exchanged legs or two
wrong colours, a pair turned over or two colours taken for each other. Every way is listed once here;
learning then asks how probable each is. Array axes: K distinct checks, S sites, N pairs of a stack read and
a stack worn, P ways of a pair, C words (metal, then the colours).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.marks import NOT_MADE_OUT, Bands, Marks, Reading
from tarsus.core.marks.sites import MIRROR, SITES

NO_PAIR_TO_TURN: Final = 0
KEPT_IN_ORDER: Final = 1
TURNED_OVER: Final = 2

Pair = tuple[Bands, Bands]
Whole = NDArray[np.intp]
Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Check:
    """A reading of a bird whose bands were then confirmed in the hand.

    `worn` is what it really wore; `record` what it was thought to wear until then, where that is known:
    bands of the record that are worn no more have been lost.
    """

    read: Reading
    worn: Marks
    record: Marks | None = None


@dataclass(frozen=True, eq=False)
class ErrorPaths:
    """All ways of all checks.

    `counts` is ``(K,)`` how often each distinct check was made; `straight` and `crossed` are ``(K, S)`` the
    pair at each site with the sides read right and mixed up (N where the site was not seen, N + 1 where
    more was read than is worn); `sides_tell` is False where both are the same. Of each pair, `gone` and
    `shown` ``(N,)`` bands. Of each way, ``(N, P)`` its `order` and how many ways alike it stands for
    (`alike`, 0 where a pair has fewer ways), and ``(N, P, L)`` its `cells`: worn word times C plus word
    read, C * C where a colour was not made out.
    """

    counts: Whole
    straight: Whole
    crossed: Whole
    sides_tell: NDArray[np.bool_]
    gone: Whole
    shown: Whole
    order: Whole
    alike: Real
    cells: Whole


def error_paths(checks: Sequence[Check], code: dict[str, int]) -> ErrorPaths:
    """Lay out the ways in which these checks can have come about.

    Args:
        checks: confirmed readings, each possible (`possible`).
        code: index of each word, metal first.

    Returns:
        The ways, distinct checks and distinct pairs once each.
    """
    pairs: dict[Pair, int] = {}
    distinct = Counter((check.read, check.worn) for check in checks)
    rows = [(_pairs(read, worn, pairs), count) for (read, worn), count in distinct.items()]
    straight, crossed = (np.array([row[way] for row, _ in rows], dtype=np.intp) for way in (0, 1))
    unseen, impossible = -1, -2
    for table in (straight, crossed):
        table[table == unseen] = len(pairs)
        table[table == impossible] = len(pairs) + 1
    same = np.sort(straight, axis=1) == np.sort(crossed, axis=1)
    ways = [list(_ways(pair, code)) for pair in pairs]
    most = max((len(each) for each in ways), default=0)
    longest = max((len(read) for read, _ in pairs), default=0)
    order = np.zeros((len(pairs), most), dtype=np.intp)
    alike = np.zeros((len(pairs), most))
    cells = np.full((len(pairs), most, longest), len(code) ** 2, dtype=np.intp)
    for at, each in enumerate(ways):
        for way, (state, cell, times) in enumerate(each):
            order[at, way], alike[at, way] = state, times
            cells[at, way, : len(cell)] = cell
    return ErrorPaths(
        np.array([count for _, count in rows], dtype=np.intp),
        straight,
        crossed,
        ~same.all(axis=1),
        np.array([len(worn) - len(read) for read, worn in pairs], dtype=np.intp),
        np.array([len(read) for read, _ in pairs], dtype=np.intp),
        order,
        alike,
        cells,
    )


def possible(check: Check) -> bool:
    """Say whether any error of the model gives this reading: nowhere more bands read than worn."""
    seen = check.read.sites
    return any(
        all(len(read) <= len(check.worn.at(MIRROR[site] if mixed_up else site)) for site, read in seen)
        for mixed_up in (False, True)
    )


def _pairs(read: Reading, worn: Marks, pairs: dict[Pair, int]) -> tuple[list[int], list[int]]:
    """Index of the pair at each site, straight and crossed; -1 not seen, -2 impossible."""
    both: tuple[list[int], list[int]] = ([], [])
    for site in SITES:
        bands = read.at(site)
        for side, own in zip(both, (site, MIRROR[site]), strict=True):
            if bands is None:
                side.append(-1)
            elif len(bands) > len(worn.at(own)):
                side.append(-2)
            else:
                side.append(pairs.setdefault((bands, worn.at(own)), len(pairs)))
    return both


def _ways(pair: Pair, code: dict[str, int]) -> Iterator[tuple[int, tuple[int, ...], float]]:
    """Order, cells, and how many ways alike; of a pair turned over, the share of all neighbouring pairs."""
    read, worn = pair
    found: Counter[tuple[int, tuple[int, ...]]] = Counter()
    for kept in combinations(worn, len(read)):
        found[KEPT_IN_ORDER if len(read) > 1 else NO_PAIR_TO_TURN, _cells(kept, read, code)] += 1
        for at in range(len(read) - 1):
            turned = (*kept[:at], kept[at + 1], kept[at], *kept[at + 2 :])
            found[TURNED_OVER, _cells(turned, read, code)] += 1
    for (state, cells), times in found.items():
        yield state, cells, times / (len(read) - 1) if state == TURNED_OVER else float(times)


def _cells(worn: Bands, read: Bands, code: dict[str, int]) -> tuple[int, ...]:
    words = len(code)
    return tuple(
        sorted(
            words**2 if r == NOT_MADE_OUT else code[w] * words + code[r]
            for w, r in zip(worn, read, strict=True)
        )
    )
