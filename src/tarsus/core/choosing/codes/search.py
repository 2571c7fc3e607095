"""Search for codes that algebra does not give: tabu over the orbits of a guessed symmetry.

A good code often has symmetries. So guess one (positions exchanged, symbols renamed), keep only whole
orbits of words under it, and look for the heaviest set of orbits that agree with each other: far fewer
things to choose among than single words. With no symmetry guessed the same search is a plain swap tabu over
words.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.codes.words import Words, distances

MOST_ORBITS: Final = 2400
ORDERS: Final = (1, 2, 3, 4, 5, 6, 8, 10)


@dataclass(frozen=True)
class Effort:
    """How long to search: symmetries guessed, and tabu steps for each."""

    guesses: int
    steps: int


def _numbers(words: Words, symbols: int) -> NDArray[np.int64]:
    powers = symbols ** np.arange(words.shape[1] - 1, -1, -1, dtype=np.int64)
    return np.asarray(words.astype(np.int64) @ powers)


def _guessed_symmetry(
    universe: Words, symbols: int, order: int, rng: np.random.Generator
) -> NDArray[np.int64] | None:
    """Where each word goes under a random symmetry of the given order; `None` where none was met."""
    positions = universe.shape[1]
    for _ in range(60):
        exchange = rng.permutation(positions)
        rename = np.stack([rng.permutation(symbols) for _ in range(positions)])
        images = rename[np.arange(positions), universe[:, exchange]]
        step = _numbers(images.astype(np.uint8), symbols)
        full = _order(step)
        if full % order == 0:
            return _power(step, full // order)
    return None


def _power(step: NDArray[np.int64], times: int) -> NDArray[np.int64]:
    result = np.arange(len(step))
    for _ in range(times):
        result = step[result]
    return result


def _order(step: NDArray[np.int64]) -> int:
    """How often a permutation must be done until nothing has moved; 0 past a thousand."""
    start, moved, order = np.arange(len(step)), step, 1
    while not np.array_equal(moved, start):
        moved, order = step[moved], order + 1
        if order > 1000:
            return 0
    return order


def _orbits(universe: Words, step: NDArray[np.int64], order: int, distance: int) -> NDArray[np.int64]:
    """``(M, order)`` word numbers: every orbit whose own words keep the distance (short ones repeat)."""
    images = np.stack([_power(step, i) for i in range(order)], axis=1)
    first = images[images.min(axis=1) == np.arange(len(universe))]
    keep = np.ones(len(first), dtype=bool)
    for i in range(1, order):
        apart = np.count_nonzero(universe[first[:, 0]] != universe[first[:, i]], axis=1)
        keep &= (apart == 0) | (apart >= distance)
    return np.asarray(first[keep])


def _conflicts(universe: Words, orbits: NDArray[np.int64], distance: int) -> NDArray[np.bool_]:
    """``(M, M)``: orbits that cannot stand together."""
    clash = np.zeros((len(orbits), len(orbits)), dtype=bool)
    heads = universe[orbits[:, 0]]
    for column in orbits.T:  # enough to compare one word of one orbit with all of the other
        for i, word in enumerate(universe[column]):
            clash[i] |= distances(heads, word) < distance
    clash |= clash.T
    np.fill_diagonal(clash, val=False)
    return clash


def heaviest_set(
    clash: NDArray[np.bool_], weight: NDArray[np.int64], steps: int, goal: int, rng: np.random.Generator
) -> NDArray[np.intp]:
    """Members of a heavy set of things no two of which clash, by tabu search.

    Each step takes in the thing that gains most (its weight less that of the members it drives out) among
    those not driven out a moment ago. Stops early at `goal`.

    Source:
        Tabu search (Glover 1989, ORSA J. Comput. 1:190-206; from memory); docs/science/capacity.md.
    """
    size = len(weight)
    member = np.zeros(size, dtype=bool)
    gain = weight.astype(np.int64).copy()
    tabu_until = np.zeros(size, dtype=np.int64)
    held, best_held, best = 0, 0, member.copy()
    jitter = rng.random(size)
    far = np.int64(-(10**9))
    for now in range(steps):
        allowed = ~member & ((tabu_until <= now) | (held + gain > best_held))
        score = np.where(allowed, gain + jitter, far)
        taken = int(np.argmax(score))
        if score[taken] == far:
            break
        out = np.flatnonzero(member & clash[taken])
        for leaving in out:
            member[leaving] = False
            gain += clash[leaving] * weight[leaving]
            held -= int(weight[leaving])
        tabu_until[out] = now + 4 + rng.integers(8, size=len(out))
        member[taken] = True
        gain -= clash[taken] * weight[taken]
        held += int(weight[taken])
        if held > best_held:
            best_held, best = held, member.copy()
            if held >= goal:
                break
        if now % 64 == 0:
            jitter = rng.random(size)
    return np.flatnonzero(best)


def searched_code(
    universe: Words, symbols: int, distance: int, goal: int, effort: Effort, rng: np.random.Generator
) -> Words:
    """The best code that the search meets; `goal` ends it early.

    Args:
        universe: all words in counting order, as `all_words` gives them.
        symbols: how many symbols there are.
        distance: least distance wanted.
        goal: a size that cannot be passed.
        effort: how long to look.
        rng: the only source of chance.
    """
    best = universe[:1]
    for guess in range(effort.guesses):
        order = ORDERS[guess % len(ORDERS)]
        step = _guessed_symmetry(universe, symbols, order, rng)
        if step is None:
            continue
        orbits = _orbits(universe, step, order, distance)
        if not 0 < len(orbits) <= MOST_ORBITS:
            continue
        weight = np.array([len(np.unique(row)) for row in orbits], dtype=np.int64)
        chosen = heaviest_set(_conflicts(universe, orbits, distance), weight, effort.steps, goal, rng)
        if weight[chosen].sum() > len(best):
            best = universe[np.unique(orbits[chosen])]
            if len(best) >= goal:
                break
    return best
