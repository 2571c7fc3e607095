"""Which birds are worth most within the minutes: the choice itself, whatever made them worth it."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Whole = NDArray[np.int64]

FINEST: Final = 1e-6
"""Worths, and minutes where that is quick enough, count in steps of this: equal plans are then equal."""
COARSE: Final = 1e-3
"""Steps of minutes, rounded up, where the finest would leave too many choices to weigh."""
MOST_CHOICES: Final = 100_000
SLACK: Final = 1e-3
"""Of a step: what a division leaves over makes nobody a step longer."""


@dataclass(frozen=True)
class Unit:
    """Birds that are caught together or not at all, by their places in the list."""

    birds: tuple[int, ...]
    minutes: int
    worth: int


def choose(
    worth: Sequence[float],
    minutes: Sequence[float],
    room: float,
    together: Collection[tuple[int, int]] = (),
    *,
    must: Collection[int] = (),
    never: Collection[int] = (),
) -> frozenset[int] | None:
    """Choose the birds of greatest worth that fit; of choices worth the same the shortest.

    Args:
        worth: of each bird, 0 or more.
        minutes: that each is in hand.
        room: minutes there are for all of them.
        together: places of two birds that are caught together or not at all.
        must: birds that are caught whatever they are worth, their mates with them.
        never: birds that are not caught, nor their mates; `must` and `never` exclude each other.

    Returns:
        Places of the birds to catch; `None` where those that must be caught do not fit.

    Source:
        0/1 knapsack by the front of undominated choices (Nemhauser & Ullmann 1969, Management Science
        15:494; from memory), bounded by the fractional fill (Dantzig 1957, Operations Research 5:266; from
        memory); docs/science/catch-up.md.
    """
    asked = worth, minutes, room, together, frozenset(must), frozenset(never)
    try:
        return _chosen(*asked, FINEST, most=MOST_CHOICES)
    except _TooManyChoices:
        return _chosen(*asked, COARSE, most=None)


class _TooManyChoices(Exception):
    """More choices stand side by side than are weighed in good time at this step."""


def _chosen(
    worth: Sequence[float],
    minutes: Sequence[float],
    room: float,
    together: Collection[tuple[int, int]],
    wanted: frozenset[int],
    barred: frozenset[int],
    step: float,
    *,
    most: int | None,
) -> frozenset[int] | None:
    units = units_of(worth, minutes, together, step)
    fixed = [unit for unit in units if wanted & set(unit.birds)]
    assert not any(barred & set(unit.birds) for unit in fixed), "refused before: must and never at once"
    left = math.floor(room / step + SLACK) - sum(unit.minutes for unit in fixed)
    if left < 0:
        return None if fixed else frozenset()
    free = [
        unit
        for unit in units
        if unit.worth > 0 and unit.minutes <= left and not (wanted | barred) & set(unit.birds)
    ]
    taken = [*fixed, *_fill(free, left, most)]
    return frozenset(bird for unit in taken for bird in unit.birds)


def units_of(
    worth: Sequence[float], minutes: Sequence[float], together: Collection[tuple[int, int]], step: float
) -> list[Unit]:
    """Birds grouped with those they are caught together with, in the order of the list.

    Source:
        docs/science/catch-up.md.
    """
    home = list(range(len(worth)))

    def root(bird: int) -> int:
        while home[bird] != bird:
            bird = home[bird]
        return bird

    for one, other in together:
        first, second = sorted((root(one), root(other)))
        home[second] = first
    groups: dict[int, list[int]] = {}
    for bird in range(len(worth)):
        groups.setdefault(root(bird), []).append(bird)
    return [
        Unit(
            tuple(birds),
            sum(math.ceil(minutes[bird] / step - SLACK) for bird in birds),
            sum(round(worth[bird] / FINEST) for bird in birds),
        )
        for birds in groups.values()
    ]


def _fill(units: Sequence[Unit], room: int, most: int | None) -> list[Unit]:
    """The units worth most within the room, the shortest such choice.

    State ``s`` of layer ``k`` is a choice among the first ``k`` units: its minutes, its worth, the state of
    the layer before that it grew from, and whether it took the unit.
    """
    dense_first = sorted(units, key=lambda unit: -unit.worth / max(unit.minutes, FINEST))
    floor = _greedy(dense_first, room)
    minutes, worth = np.zeros(1, dtype=np.int64), np.zeros(1, dtype=np.int64)
    layers: list[tuple[Whole, NDArray[np.bool_]]] = []
    for at, unit in enumerate(dense_first):
        both_minutes = np.concatenate([minutes, minutes + unit.minutes])
        both_worth = np.concatenate([worth, worth + unit.worth])
        grown_from = np.tile(np.arange(len(minutes)), 2)
        took = np.repeat([False, True], len(minutes))
        order = np.lexsort((-both_worth, both_minutes))
        best_before = np.maximum.accumulate(np.concatenate([[-1], both_worth[order][:-1]]))
        order = order[(both_worth[order] > best_before) & (both_minutes[order] <= room)]
        bound = _bound(dense_first[at + 1 :], room - both_minutes[order]) + both_worth[order]
        order = order[bound >= floor]
        if most is not None and len(order) > most:
            raise _TooManyChoices
        minutes, worth = both_minutes[order], both_worth[order]
        layers.append((grown_from[order], took[order]))
    state = (
        len(minutes) - 1
    )  # the front rises with the minutes: the last is worth most, and no shorter one is
    taken = []
    for unit, (grown, took) in zip(reversed(dense_first), reversed(layers), strict=True):
        if took[state]:
            taken.append(unit)
        state = int(grown[state])
    return taken


def _greedy(dense_first: Sequence[Unit], room: int) -> int:
    """What taking the densest that fit is worth: no plan below it is wanted."""
    worth = 0
    for unit in dense_first:
        if unit.minutes <= room:
            room, worth = room - unit.minutes, worth + unit.worth
    return worth


def _bound(rest: Sequence[Unit], room: Whole) -> NDArray[np.float64]:
    """The most that the rest could add within each room, if birds could be caught in part."""
    minutes = np.concatenate([[0], np.cumsum([unit.minutes for unit in rest], dtype=np.int64)])
    worth = np.concatenate([[0], np.cumsum([unit.worth for unit in rest], dtype=np.int64)])
    # The interpolated value may fall a rounding short of a whole plan's worth; one step more hides none.
    return np.asarray(np.interp(room, minutes, worth)) + 1.0
