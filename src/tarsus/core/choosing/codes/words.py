"""Words over colours, and how far apart they are.

A word is a row of ``uint8`` symbols 0 to q−1, one a position; a code is a ``(W, n)`` array of words. The
distance of two words is the number of positions in which they differ (Hamming).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Words = NDArray[np.uint8]


def all_words(symbols: int, positions: int) -> Words:
    """Every word, in counting order; ``(symbols ** positions, positions)``."""
    grid = np.indices((symbols,) * positions, dtype=np.uint8)
    return np.ascontiguousarray(grid.reshape(positions, -1).T)


def distances(words: Words, word: Words) -> NDArray[np.intp]:
    """Distance of each of ``(W, n)`` words to one; ``(W,)``."""
    return np.asarray(np.count_nonzero(words != word, axis=1))


def least_distance(code: Words) -> int:
    """The least distance between two different rows; `n + 1` where there are fewer than two."""
    least = int(code.shape[1]) + 1
    for i in range(len(code) - 1):
        least = min(least, int(distances(code[i + 1 :], code[i]).min()))
    return least


def completed(code: Words, universe: Words, distance: int) -> Words:
    """The code with every further word of `universe` that still keeps the distance, taken in order."""
    free = np.ones(len(universe), dtype=bool)
    for word in code:
        free &= distances(universe, word) >= distance
    chosen = [code]
    while free.any():
        word = universe[int(np.argmax(free))]
        chosen.append(word[None, :])
        free &= distances(universe, word) >= distance
    return np.concatenate(chosen)
