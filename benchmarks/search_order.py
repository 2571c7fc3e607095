"""How good the order is in which to look, and what it saves: exhibits strewn at random, by their size.

Beside it: the best order (up to 11 places, by the dynamic programme that orders 8), the order by birds
found a minute with no thought of the way, and going to the nearest next. Printed: how much longer each bird
waits to be found than in the best order, in the middle and at worst, and how often the order is the best
one.

    .venv/bin/python benchmarks/search_order.py [walks]
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Sequence
from math import hypot
from statistics import median

from tarsus.core.presence.search_order import search_order, waiting

PLACES = (5, 8, 9, 11)
SIZES = {"an aviary of 40 m": 40, "a lake shore of 300 m": 300}
WALKS = 40

Walk = list[list[float]]
Case = tuple[list[float], list[float], Walk]


def strewn(chance: random.Random, places: int, metres: float) -> Case:
    """Places anywhere on a square, a walk of 40 metres a minute from its corner."""
    at = [(chance.random() * metres, chance.random() * metres) for _ in range(places)]
    walk = [[hypot(a[0] - b[0], a[1] - b[1]) / 40 for b in at] for a in [*at, (0.0, 0.0)]]
    return (
        [chance.uniform(0.02, 0.9) for _ in at],
        [float(chance.randint(1, 8)) for _ in at],
        walk,
    )


def by_rate(found: Sequence[float], minutes: Sequence[float], _walk: Walk) -> list[int]:
    """Most birds found a minute first, as if nobody had to walk (Smith 1956)."""
    return sorted(range(len(found)), key=lambda place: -found[place] / minutes[place])


def by_way(found: Sequence[float], _minutes: Sequence[float], walk: Walk) -> list[int]:
    """Always on to the nearest."""
    at, order, left = len(found), list[int](), set(range(len(found)))
    while left:
        at = min(left, key=lambda place: walk[at][place])
        order.append(at)
        left.remove(at)
    return order


WAYS: dict[str, Callable[..., Sequence[int]]] = {
    "Tarsus": search_order,
    "found a minute, no walking": by_rate,
    "the nearest next": by_way,
}


def main(walks: int) -> None:
    """Print a line for each size of exhibit, number of places and way."""
    chance = random.Random(45)
    print("exhibit | places | order | longer than the best, in the middle | at worst | the best one")
    for ground, metres in SIZES.items():
        for places in PLACES:
            longer: dict[str, list[float]] = {way: [] for way in WAYS}
            for _ in range(walks):
                case = strewn(chance, places, metres)
                best = waiting(search_order(*case, exact_up_to=places), *case)
                for way, order in WAYS.items():
                    longer[way].append(waiting(order(*case), *case) / best - 1)
            for way, excess in longer.items():
                same = sum(one < 1e-6 for one in excess)
                print(
                    f"{ground} | {places} | {way} | {median(excess):.1%} | {max(excess):.1%} "
                    f"| {same} of {walks}",
                    flush=True,
                )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else WALKS)
