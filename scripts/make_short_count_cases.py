"""Write tests/published/short_count_cases.json: who is missing from a short count.

The expected figures do not come from the package. Every way in which birds of the roll can be gone and
present ones be passed over is walked through, in exact fractions.
"""

from __future__ import annotations

import json
from fractions import Fraction
from itertools import combinations
from math import comb, prod
from pathlib import Path
from typing import Any

TARGET = Path(__file__).parent.parent / "tests" / "published" / "short_count_cases.json"
OVERLOOKED = Fraction(1, 100)
LEAST = Fraction(1, 10_000)
CASES: tuple[tuple[str, int, tuple[str, ...]], ...] = (
    ("one missing, and one bird long unseen", 1, ("0.4", "0.02", "0.01", "0", "0")),
    ("two missing among three unseen, of a roll of eight", 2, ("0.05", "0.01", "0.001", *["0"] * 5)),
    ("three unseen birds, two missing, nobody else on the roll", 2, ("0.9", "0.5", "0.1")),
    ("everybody was named, and still the count is short", 1, ("0", "0", "0", "0", "0", "0")),
    ("all of them are missing", 3, ("0.3", "0.02", "0.7")),
    ("two birds are as good as gone, one is missing", 1, ("1", "0.9999", "0.2", "0.1")),
    (
        "four missing of nine, chances far apart",
        4,
        ("0.99", "0.8", "0.6", "0.31", "0.3", "0.1", "0.03", "0.001", "0"),
    ),
    ("the count is likelier wrong than anybody gone", 1, ("0.0002", "0.0001", *["0"] * 10)),
)


def answer(gone: tuple[str, ...], missing: int) -> dict[str, Any]:
    chance = [min(1 - LEAST, max(LEAST, Fraction(one))) for one in gone]
    birds = range(len(chance))
    by_number = [Fraction(0)] * (missing + 1)
    among = [Fraction(0)] * len(chance)
    for number in range(missing + 1):
        for those in combinations(birds, number):
            weight = prod(chance[b] if b in those else 1 - chance[b] for b in birds)
            by_number[number] += weight
            if number == missing:
                for b in those:
                    among[b] += weight
    here = [len(chance) - number for number in range(missing + 1)]
    counted_so = [
        comb(there, missing - number)
        * OVERLOOKED ** (missing - number)
        * (1 - OVERLOOKED) ** (there - missing + number)
        for number, there in enumerate(here)
    ]
    weighed = [one * so for one, so in zip(by_number, counted_so, strict=True)]
    return {
        "miscount": float(weighed[0] / sum(weighed)),
        "among": [float(one / by_number[missing]) for one in among],
    }


def main() -> None:
    cases = [
        {"name": name, "gone": [float(one) for one in gone], "missing": missing, **answer(gone, missing)}
        for name, missing, gone in CASES
    ]
    told = {
        "what": "A count that is short: each bird's chance to be one of the missing if so many are, and "
        "the chance that nobody has gone and the count is wrong",
        "source": "Bayes' rule, worked by walking through every set of birds that can be gone, in exact "
        "fractions: scripts/make_short_count_cases.py",
        "tolerance": 1e-9,
        "overlooked": float(OVERLOOKED),
        "least": float(LEAST),
        "cases": cases,
    }
    TARGET.write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
