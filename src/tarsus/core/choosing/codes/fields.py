"""Finite fields, as tables of sums and products, for the sizes that colours come in."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

LARGEST: Final = 32


@dataclass(frozen=True)
class Field:
    """GF(q): ``add[a, b]`` and ``times[a, b]`` over the elements 0 to q−1; 0 is nought and 1 is one."""

    size: int
    add: NDArray[np.uint8]
    times: NDArray[np.uint8]


def prime_power(number: int) -> tuple[int, int] | None:
    """The prime and the exponent of a prime power, or `None`."""
    for prime in range(2, number + 1):
        if number % prime:
            continue
        exponent, rest = 0, number
        while rest % prime == 0:
            rest //= prime
            exponent += 1
        return (prime, exponent) if rest == 1 else None
    return None


def next_prime_power(number: int) -> int:
    """The least prime power that is not smaller."""
    while prime_power(number) is None:
        number += 1
    return number


def _digits(value: int, base: int, length: int) -> tuple[int, ...]:
    return tuple(value // base**i % base for i in range(length))


def _multiply(
    a: tuple[int, ...], b: tuple[int, ...], modulus: tuple[int, ...], prime: int
) -> tuple[int, ...]:
    """Product of two polynomials (least power first) modulo a monic one of their degree + 1."""
    degree = len(a)
    full = [0] * (2 * degree - 1)
    for i, x in enumerate(a):
        for j, y in enumerate(b):
            full[i + j] = (full[i + j] + x * y) % prime
    for top in range(2 * degree - 2, degree - 1, -1):
        lead = full[top]
        for i in range(degree + 1):
            full[top - degree + i] = (full[top - degree + i] - lead * modulus[i]) % prime
    return tuple(full[:degree])


@cache
def field(size: int) -> Field:
    """GF(size).

    Raises:
        ValueError: `size` is no prime power.
    """
    found = prime_power(size)
    if found is None:
        raise ValueError(f"there is no field of {size} elements")
    prime, degree = found
    digits = [_digits(value, prime, degree) for value in range(size)]
    number = {d: value for value, d in enumerate(digits)}
    add = np.array(
        [[number[tuple((x + y) % prime for x, y in zip(a, b, strict=True))] for b in digits] for a in digits],
        dtype=np.uint8,
    )
    for low in product(range(prime), repeat=degree):
        modulus = (*low, 1)
        times = np.array(
            [[number[_multiply(a, b, modulus, prime)] for b in digits] for a in digits], dtype=np.uint8
        )
        # A field exactly when no two nonzero elements multiply to nought.
        if times[1:, 1:].all():
            return Field(size, add, times)
    raise AssertionError("every prime power has an irreducible polynomial")
