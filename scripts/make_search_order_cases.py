"""Write tests/published/search_order_cases.json and search_walk_cases.json: every order tried, no cleverness.

python scripts/make_search_order_cases.py
"""

from __future__ import annotations

import json
import random
from itertools import permutations
from math import hypot
from pathlib import Path
from typing import Any

PUBLISHED = Path(__file__).resolve().parents[1] / "tests" / "published"
MOST_TRIED = 8


def cost(order: tuple[int, ...], case: dict[str, Any]) -> float:
    """Minutes until each bird is found, told as one would tell it: walk, look, note the clock."""
    clock, total, here = 0.0, 0.0, len(case["found"])
    for place in order:
        clock += case["walk"][here][place]
        clock += case["minutes"][place]
        total += case["found"][place] * clock
        here = place
    return total


def tried(case: dict[str, Any]) -> dict[str, Any]:
    """The case with its best order, every order tried."""
    best = min(permutations(range(len(case["found"]))), key=lambda order: cost(order, case))
    return case | {"order": list(best), "cost": cost(best, case)}


def strewn(name: str, places: int, chance: random.Random, metres: float) -> dict[str, Any]:
    """Places anywhere on a square, the walk from its corner at 40 metres a minute."""
    at = [(chance.random() * metres, chance.random() * metres) for _ in range(places)]
    walk = [[round(hypot(a[0] - b[0], a[1] - b[1]) / 40, 3) for b in at] for a in [*at, (0.0, 0.0)]]
    found = [round(chance.uniform(0.02, 0.9), 3) for _ in at]
    minutes = [float(chance.randint(1, 8)) for _ in at]
    return {"name": name, "found": found, "minutes": minutes, "walk": walk}


def still(name: str, found: list[float], minutes: list[float]) -> dict[str, Any]:
    """Places that all lie together: no walking."""
    return {"name": name, "found": found, "minutes": minutes, "walk": [[0.0] * len(found)] * (len(found) + 1)}


def order_cases() -> list[dict[str, Any]]:
    """Cases of both kinds, small enough to try every order."""
    chance = random.Random(45)
    by_hand = [
        still("no walking: most found a minute first", [0.5, 0.4, 0.3], [5.0, 2.0, 1.0]),
        still("no walking, the likeliest place is the slowest", [0.9, 0.2], [10.0, 2.0]),
        {
            "name": "a likely place far off waits for the one on the way, and would not without the way",
            "found": [0.5, 0.3],
            "minutes": [2.0, 2.0],
            "walk": [[0.0, 5.0], [5.0, 0.0], [6.0, 1.0]],
        },
        {
            "name": "the way there and the way back differ",
            "found": [0.4, 0.4, 0.1],
            "minutes": [1.0, 1.0, 1.0],
            "walk": [[0.0, 1.0, 9.0], [8.0, 0.0, 1.0], [1.0, 4.0, 0.0], [1.0, 1.0, 2.0]],
        },
        {"name": "one place", "found": [0.2], "minutes": [3.0], "walk": [[0.0], [1.0]]},
        {"name": "no place", "found": [], "minutes": [], "walk": [[]]},
    ]
    sizes = (4, 6, 7, 8, 8)
    return [tried(one) for one in by_hand] + [
        tried(strewn(f"{size} places on {metres} m, number {n}", size, chance, metres))
        for n, (size, metres) in enumerate(zip(sizes, (40, 300, 120, 60, 600), strict=True), start=1)
    ]


def walk_cases() -> list[dict[str, Any]]:
    """Worked by hand: distances are whole minutes."""
    ground = {"width_m": 80.0, "tall": 0.5, "metres_a_minute": 40.0, "entrance": [0.0, 0.0]}
    pins = [
        {"place": 11, "x": 0.5, "y": 0.0, "minutes": 2.0},  # 40 m east: 1 minute
        {"place": 12, "x": 0.0, "y": 1.0, "minutes": 3.0},  # 40 m south: 1 minute
        {"place": 13, "x": 1.0, "y": 0.0, "minutes": 1.0},  # nobody is there
    ]
    missing = [
        {"bird": 1, "found": 0.5, "places": {"11": 0.8, "12": 0.2}},
        {"bird": 2, "found": 0.9, "places": {"12": 0.7, "13": 0.005}},
    ]
    root_two = 2**0.5
    return [
        {
            "name": "two birds, two of three pins: .73 of a bird in 4 minutes before .4 in 3",
            "pins": pins,
            "ground": ground,
            "missing": missing,
            "names": ["Sedge", "Kelp"],
            "says": "7 minutes. 1.7 of 2 likely on this walk; the rest elsewhere.",
            "steps": [
                # 12: .5 x .2 + .9 x .7 = .73 found in 1 + 3 minutes; 11: .5 x .8 = .4 in 1 + 2.
                {"place": 12, "minutes": 4.0, "by": 4.0, "likely": [[2, 0.7], [1, 0.2]], "expected": 0.9},
                {
                    "place": 11,
                    "minutes": root_two + 2,
                    "by": root_two + 6,
                    "likely": [[1, 0.8]],
                    "expected": 0.8,
                },
            ],
        },
        {
            "name": "without an entrance the first place costs no walking",
            "pins": pins[:2],
            "ground": ground | {"entrance": None},
            "missing": missing[:1],
            "names": ["Sedge"],
            "says": "6 minutes. Sedge is on this walk: > 99 %; elsewhere: < 1 %.",
            "steps": [
                {"place": 11, "minutes": 2.0, "by": 2.0, "likely": [[1, 0.8]], "expected": 0.8},
                {
                    "place": 12,
                    "minutes": root_two + 3,
                    "by": root_two + 5,
                    "likely": [[1, 0.2]],
                    "expected": 0.2,
                },
            ],
        },
        {
            "name": "nobody is missing",
            "pins": pins,
            "ground": ground,
            "missing": [],
            "names": [],
            "says": "Nobody has to be looked for just now.",
            "steps": [],
        },
        {
            "name": "nobody saw it at a pin",
            "pins": pins,
            "ground": ground,
            "missing": [{"bird": 1, "found": 0.5, "places": {"99": 1.0}}],
            "names": ["Sedge"],
            "says": "Sedge was not seen at a pinned place in the last sixty days.",
            "steps": [],
        },
    ]


def write(name: str, what: str, source: str, cases: list[dict[str, Any]]) -> None:
    """One file of cases, a case a line."""
    lines = ",\n  ".join(json.dumps(case) for case in cases)
    head = f' "what": {json.dumps(what)},\n "source": {json.dumps(source)},\n'
    told = f'{{\n{head} "cases": [\n  {lines}\n ]\n}}\n'
    (PUBLISHED / f"{name}.json").write_text(told, encoding="utf-8")


if __name__ == "__main__":
    write(
        "search_order_cases",
        "The order of places in which missing birds are found soonest, and what it costs",
        "Every order tried, by scripts/make_search_order_cases.py. Without walking the order is that by "
        "found a minute: W. E. Smith, Various optimizers for single-stage production, Naval Research "
        "Logistics Quarterly 3 (1956); "
        "L. D. Stone, Theory of Optimal Search (1975)",
        order_cases(),
    )
    write(
        "search_walk_cases",
        "The walk to the pins of a plan for birds that are missing",
        "Worked by hand in scripts/make_search_order_cases.py",
        walk_cases(),
    )
