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

from tarsus.core.marks.marks import NOT_MADE_OUT, OPEN_END, Bands, Marks, Reading
from tarsus.core.marks.sites import MIRROR, SITES
from tarsus.core.readings.open_ends import spelled_out, told_bands

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
    more was read than is worn); `swap` ``(K,)`` is the reading's own chance that they are mixed up, NaN where
    it tells none; `sides_tell` is False where one was told and where both ways are the same. Of each way,
    ``(N, P)`` its bands `gone` and `shown`, its `order` and how many ways alike it stands for (`alike`, 0
    where a pair has fewer ways), and ``(N, P, L)`` its `cells`: worn word times C plus word read, C * C
    where a colour was not made out.
    """

    counts: Whole
    straight: Whole
    crossed: Whole
    swap: Real
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

    Source:
        docs/science/learning.md, eq. 2.
    """
    pairs: dict[Pair, int] = {}
    distinct = Counter((check.read, check.worn) for check in checks)
    rows = [_pairs(read, worn, pairs) for read, worn in distinct]
    straight, crossed = (np.array([row[way] for row in rows], dtype=np.intp) for way in (0, 1))
    unseen, impossible = -1, -2
    for table in (straight, crossed):
        table[table == unseen] = len(pairs)
        table[table == impossible] = len(pairs) + 1
    same = np.sort(straight, axis=1) == np.sort(crossed, axis=1)
    told = np.array([np.nan if read.swap is None else read.swap for read, _ in distinct])
    ways = [list(_ways(pair, code)) for pair in pairs]
    most = max((len(each) for each in ways), default=0)
    longest = max((len(worn) for _, worn in pairs), default=0)
    order, gone, shown = (np.zeros((len(pairs), most), dtype=np.intp) for _ in range(3))
    alike = np.zeros((len(pairs), most))
    cells = np.full((len(pairs), most, longest), len(code) ** 2, dtype=np.intp)
    for at, (each, (_, worn)) in enumerate(zip(ways, pairs, strict=True)):
        for way, (state, cell, times) in enumerate(each):
            order[at, way], alike[at, way] = state, times
            shown[at, way], gone[at, way] = len(cell), len(worn) - len(cell)
            cells[at, way, : len(cell)] = cell
    counts = np.array(list(distinct.values()), dtype=np.intp)
    telling = ~same.all(axis=1) & np.isnan(told)
    return ErrorPaths(counts, straight, crossed, told, telling, gone, shown, order, alike, cells)


def possible(check: Check) -> bool:
    """Say whether any error of the model gives this reading: nowhere more bands read than worn."""
    seen, swap = check.read.sites, check.read.swap
    # A reading whose sides are told for certain leaves one way only.
    ways = (False, True) if swap is None or 0.0 < swap < 1.0 else (swap == 1.0,)
    return any(
        all(
            len(told_bands(read)) <= len(check.worn.at(MIRROR[site] if mixed_up else site))
            for site, read in seen
        )
        for mixed_up in ways
    )


def _pairs(read: Reading, worn: Marks, pairs: dict[Pair, int]) -> tuple[list[int], list[int]]:
    """Index of the pair at each site, straight and crossed; -1 not seen, -2 impossible.

    A site with more than one open end counts as not seen: what it tells is no sum over single ways.
    """
    both: tuple[list[int], list[int]] = ([], [])
    for site in SITES:
        bands = read.at(site)
        for side, own in zip(both, (site, MIRROR[site]), strict=True):
            if bands is None or bands.count(OPEN_END) > 1:
                side.append(-1)
            elif len(told_bands(bands)) > len(worn.at(own)):
                side.append(-2)
            else:
                side.append(pairs.setdefault((bands, worn.at(own)), len(pairs)))
    return both


def _ways(pair: Pair, code: dict[str, int]) -> Iterator[tuple[int, tuple[int, ...], float]]:
    """Order, cells, and how many ways alike; of a pair turned over, the share of all neighbouring pairs."""
    read, worn = pair
    for told in spelled_out(read, len(worn)):
        found: Counter[tuple[int, tuple[int, ...]]] = Counter()
        for kept in combinations(worn, len(told)):
            found[KEPT_IN_ORDER if len(told) > 1 else NO_PAIR_TO_TURN, _cells(kept, told, code)] += 1
            for at in range(len(told) - 1):
                turned = (*kept[:at], kept[at + 1], kept[at], *kept[at + 2 :])
                found[TURNED_OVER, _cells(turned, told, code)] += 1
        for (state, cells), times in found.items():
            yield state, cells, times / (len(told) - 1) if state == TURNED_OVER else float(times)


def _cells(worn: Bands, read: Bands, code: dict[str, int]) -> tuple[int, ...]:
    words = len(code)
    return tuple(
        sorted(
            words**2 if r == NOT_MADE_OUT else code[w] * words + code[r]
            for w, r in zip(worn, read, strict=True)
        )
    )
