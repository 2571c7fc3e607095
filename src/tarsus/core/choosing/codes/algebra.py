"""Codes that algebra gives: repetition, parity, Reed-Solomon extended, products, dropped symbols."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.codes.fields import field
from tarsus.core.choosing.codes.words import Words, all_words

RESTARTS: Final = 40


def repetition(symbols: int, positions: int) -> Words:
    """One word a symbol, the same on every position; distance n."""
    return np.repeat(np.arange(symbols, dtype=np.uint8)[:, None], positions, axis=1)


def parity(symbols: int, positions: int) -> Words:
    """Every word whose last symbol makes the sum nought modulo q (a Latin square for three positions);
    distance 2.
    """
    head = all_words(symbols, positions - 1)
    check = (-head.sum(axis=1, dtype=np.int64)) % symbols
    return np.concatenate([head, check[:, None].astype(np.uint8)], axis=1)


def longest_reed_solomon(size: int, dimension: int) -> int:
    """How many positions an extended Reed-Solomon code of this dimension reaches: q + 1, or q + 2 for the
    doubly extended code of dimension three over a field of even size (for q = 4 the hexacode)."""
    return size + 2 if size % 2 == 0 and dimension == 3 else size + 1


def reed_solomon(size: int, positions: int, dimension: int) -> Words:
    """The extended Reed-Solomon code over GF(size): ``size ** dimension`` words at distance n − k + 1.

    A word is a polynomial of degree below k, evaluated at every element of the field; the first extra
    position is its leading coefficient, the second (size even, k = 3) its middle one.

    Source: MacWilliams & Sloane 1977, The Theory of Error-Correcting Codes, chapters 10 and 11.
    """
    assert positions <= longest_reed_solomon(size, dimension)
    gf = field(size)
    coefficients = all_words(size, dimension)
    columns = []
    for point in range(min(positions, size)):
        value = coefficients[:, dimension - 1]
        for power in range(dimension - 2, -1, -1):  # Horner, from the leading coefficient down
            value = gf.add[gf.times[value, point], coefficients[:, power]]
        columns.append(value)
    if positions > size:
        columns.append(coefficients[:, dimension - 1])
    if positions > size + 1:
        columns.append(coefficients[:, 1])
    return np.stack(columns, axis=1).astype(np.uint8)


def product_code(one: Words, symbols_of_one: int, other: Words) -> Words:
    """Pair every word of one code with every word of another: symbols multiply, the lesser distance stays.

    Source:
        MacWilliams & Sloane 1977, The Theory of Error-Correcting Codes, chapter 18 (from memory);
        docs/science/capacity.md.
    """
    paired = other[:, None, :].astype(np.int64) * symbols_of_one + one[None, :, :]
    return paired.reshape(-1, one.shape[1]).astype(np.uint8)


def with_symbols_dropped(code: Words, size: int, symbols: int, rng: np.random.Generator) -> Words:
    """The words of a code over `size` symbols that use only the `symbols` best ones kept at each position.

    Which symbols to drop at each position is chosen by coordinate descent from random starts: with all other
    positions settled, the best to drop at one are those its remaining words use least.
    """
    positions = code.shape[1]
    best = code[:0]
    for _ in range(RESTARTS):
        keep = np.ones((positions, size), dtype=bool)
        for position in range(positions):
            keep[position, rng.permutation(size)[symbols:]] = False
        kept = _descend(code, keep, symbols)
        if kept.sum() > len(best):
            best = _renumbered(code[kept], keep)
    return best


def _descend(code: Words, keep: NDArray[np.bool_], symbols: int) -> NDArray[np.bool_]:
    """Improve `keep` in place until no position can do better; which words are left."""
    positions, size = keep.shape
    inside = keep[np.arange(positions), code]
    count = -1
    while inside.all(axis=1).sum() > count:
        count = int(inside.all(axis=1).sum())
        for position in range(positions):
            others = np.delete(inside, position, axis=1).all(axis=1)
            used = np.bincount(code[others, position], minlength=size)
            keep[position] = False
            keep[position, np.argsort(-used, kind="stable")[:symbols]] = True
            inside[:, position] = keep[position, code[:, position]]
    return np.asarray(inside.all(axis=1))


def _renumbered(code: Words, keep: NDArray[np.bool_]) -> Words:
    number = np.cumsum(keep, axis=1) - 1
    return number[np.arange(code.shape[1]), code].astype(np.uint8)
