"""What no code can pass: Singleton, Hamming, Plotkin, Delsarte, and what shorter codes say.

Sources: MacWilliams & Sloane 1977, The Theory of Error-Correcting Codes (Singleton, Hamming, Plotkin);
Delsarte 1973, An algebraic approach to the association schemes of coding theory (linear programme).
Published bounds that these do not reach stand in `PUBLISHED` with their source.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import comb, floor
from typing import Final

import numpy as np


@dataclass(frozen=True, order=True)
class Bound:
    """At most `birds` words, and by whose argument."""

    birds: int
    source: str


TARRY: Final = "Tarry 1900: no two orthogonal Latin squares of order 6"
BROUWER: Final = "Brouwer's tables of general codes"
PUBLISHED: Final = {
    # (colours, positions, distance): a 35th word would complete to the 36 of two orthogonal squares.
    (6, 4, 3): Bound(34, TARRY),
    (3, 6, 3): Bound(38, BROUWER),
    (4, 6, 3): Bound(176, BROUWER),
}


def singleton(symbols: int, positions: int, distance: int) -> int:
    """q^(n−d+1): words still differ when d − 1 positions are covered.

    Source:
        MacWilliams & Sloane 1977, chapter 1, theorem 11 (numbers from memory).
    """
    return int(symbols ** (positions - distance + 1))


def hamming(symbols: int, positions: int, distance: int) -> int:
    """Words with balls of radius ⌊(d−1)/2⌋ around them, which must not meet.

    Source:
        MacWilliams & Sloane 1977, chapter 1, theorem 6 (numbers from memory).
    """
    ball = sum(comb(positions, i) * (symbols - 1) ** i for i in range((distance - 1) // 2 + 1))
    return int(symbols**positions // ball)


def plotkin(symbols: int, positions: int, distance: int, at_most: int) -> int:
    """The most words whose summed distances fit into the positions; `at_most` where they always do.

    On one position M words differ in at most the pairs left when the symbols are shared out as evenly as
    can be. A code that is too large contains one of every smaller size, so the first size that fails
    settles it.

    Source:
        MacWilliams & Sloane 1977, chapter 2 (from memory), in whole numbers; docs/science/capacity.md.
    """
    for words in range(2, at_most + 1):
        share, over = divmod(words, symbols)
        alike = (symbols - over) * comb(share, 2) + over * comb(share + 1, 2)
        if comb(words, 2) * distance > positions * (comb(words, 2) - alike):
            return words - 1
    return at_most


def krawtchouk(symbols: int, positions: int, degree: int, at: int) -> int:
    """The Krawtchouk polynomial K_degree at a distance, over `positions` places.

    Source:
        MacWilliams & Sloane 1977, chapter 5 (from memory).
    """
    return sum(
        (-1) ** j * (symbols - 1) ** (degree - j) * comb(at, j) * comb(positions - at, degree - j)
        for j in range(degree + 1)
    )


def delsarte(symbols: int, positions: int, distance: int) -> int:
    """The optimum of Delsarte's linear programme, rounded down.

    The largest Σ A_i over distance distributions A with A_0 = 1, A_i = 0 below the distance and Σ A_i
    K_k(i) ≥ 0.

    Source:
        Delsarte 1973, An algebraic approach to the association schemes of coding theory (from memory).
    """
    from scipy.optimize import linprog

    free = range(distance, positions + 1)
    # Each row is divided by K_k(0), so that large fields do not swamp the solver's tolerances.
    rows = np.array(
        [
            [krawtchouk(symbols, positions, k, i) / krawtchouk(symbols, positions, k, 0) for i in free]
            for k in range(1, positions + 1)
        ]
    )
    solved = linprog(
        -np.ones(len(free)), A_ub=-rows, b_ub=np.ones(positions), bounds=(0, None), method="highs"
    )
    assert solved.fun is not None, "A = all words is feasible and Singleton bounds it"
    return floor(1 - float(solved.fun) + 1e-6)


@cache
def upper_bound(symbols: int, positions: int, distance: int) -> Bound:
    """The least of all bounds, with the argument that gives it (the plainest where several do).

    Args:
        symbols: colours, at least 2.
        positions: bands, at least 1.
        distance: 1 to `positions`.

    Source:
        docs/science/capacity.md, "Bounds".
    """
    found = [
        Bound(singleton(symbols, positions, distance), "Singleton bound"),
        Bound(hamming(symbols, positions, distance), "Hamming bound"),
    ]
    if distance * symbols > positions * (symbols - 1):  # else the sum always fits
        found.append(Bound(plotkin(symbols, positions, distance, min(found).birds), "Plotkin bound"))
    if positions > 1:
        if distance < positions:
            shorter = upper_bound(symbols, positions - 1, distance)
            found.append(Bound(symbols * shorter.birds, f"{symbols} × one position less ({shorter.source})"))
        if distance > 1:
            punctured = upper_bound(symbols, positions - 1, distance - 1)
            found.append(Bound(punctured.birds, f"one position covered ({punctured.source})"))
    if 2 < distance < positions:
        found.append(Bound(delsarte(symbols, positions, distance), "Delsarte's linear programme"))
    published = PUBLISHED.get((symbols, positions, distance))
    if published is not None:
        found.append(published)
    least = min(bound.birds for bound in found)
    return next(bound for bound in found if bound.birds == least)
