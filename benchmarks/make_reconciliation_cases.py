"""Write tests/published/reconciliation_cases.json: every pairing listed, in rational arithmetic.

The expected figures come from plain enumeration with `fractions.Fraction`, which shares nothing with the
dynamic programme it checks. Rounds of readings are weighed the long way too: what may be read of a bird is
walked through forwards, and an open end is fitted by a regular expression. Run from the
project's root: `python benchmarks/make_reconciliation_cases.py`.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from fractions import Fraction
from itertools import product
from pathlib import Path

import numpy as np

CASES = Path("tests/published/reconciliation_cases.json")
Row = list[Fraction]


def pairings(readings: int, birds: int) -> list[tuple[int | None, ...]]:
    """Every way to give each reading a different bird, or none of them."""
    found: list[tuple[int | None, ...]] = [()]
    for _ in range(readings):
        found = [
            (*so_far, bird)
            for so_far in found
            for bird in (None, *range(birds))
            if bird is None or bird not in so_far
        ]
    return found


def enumerated(weights: list[Row], strangers: Row) -> tuple[list[Row], Row]:
    """Chance of each reading and bird, and of each reading and no bird."""
    pair, none, _ = summed(weights, strangers)
    return pair, none


def summed(weights: list[Row], strangers: Row) -> tuple[list[Row], Row, Fraction]:
    """The same, and the sum over all pairings."""
    readings, birds = len(weights), len(weights[0])
    pair = [[Fraction(0)] * birds for _ in range(readings)]
    none = [Fraction(0)] * readings
    whole = Fraction(0)
    for pairing in pairings(readings, birds):
        weight = Fraction(1)
        for r, bird in enumerate(pairing):
            weight *= strangers[r] if bird is None else weights[r][bird]
        whole += weight
        for r, bird in enumerate(pairing):
            if bird is None:
                none[r] += weight
            else:
                pair[r][bird] += weight
    return [[value / whole for value in row] for row in pair], [value / whole for value in none], whole


def case(name: str, groups: list[tuple[list[list[float]], list[float]]]) -> dict[str, object]:
    """One case with its expected figures."""
    birds = len(groups[0][0][0])
    unseen = [Fraction(1)] * birds
    told: list[dict[str, object]] = []
    for weights, strangers in groups:
        pair, none = enumerated(
            [[Fraction(w) for w in row] for row in weights], [Fraction(s) for s in strangers]
        )
        unseen = [left * (1 - sum(row[b] for row in pair)) for b, left in enumerate(unseen)]
        told.append(
            {
                "weights": weights,
                "strangers": strangers,
                "chances": [[float(value) for value in row] for row in pair],
                "stranger": [float(value) for value in none],
            }
        )
    return {"name": name, "birds": birds, "groups": told, "seen": [float(1 - left) for left in unseen]}


def drawn(
    rng: np.random.Generator, readings: int, birds: int, empty: int
) -> tuple[list[list[float]], list[float]]:
    """Weights over many orders of magnitude, as readers give them; the last `empty` readings are empty."""
    weights = np.round(10 ** (-7 * rng.random((readings, birds)) ** 2), 12)
    weights[readings - empty :] = 1.0
    strangers = np.round(10 ** (-1 - 4 * rng.random(readings)), 12)
    strangers[readings - empty :] = 0.01
    return (weights / birds).tolist(), strangers.tolist()


def cases() -> list[dict[str, object]]:
    """All cases; hand-made ones first."""
    rng = np.random.default_rng(20260611)
    part, sure = [0.4, 0.4, 0.001], [0.9, 0.001, 0.002]
    return [
        case(
            "a part reading fits two sisters, a sure reading is of one of them",
            [([part, sure], [1e-5, 1e-5])],
        ),
        case(
            "the same two readings when the birds were not in view together",
            [([part], [1e-5]), ([sure], [1e-5])],
        ),
        case("two empty readings take up two of three birds", [([[1 / 3] * 3] * 2, [0.0, 0.0])]),
        case("more readings than birds: the rest are strangers", [([[0.3, 0.1]] * 3, [0.01, 0.02, 0.03])]),
        case("one bird for certain leaves nothing but the other", [([[1.0, 0.0], [0.5, 0.5]], [0.0, 0.0])]),
        *(
            case(f"drawn at random, {r} readings, {b} birds, {e} of them empty", [drawn(rng, r, b, e)])
            for r, b, e in [(2, 5, 0), (3, 4, 1), (4, 6, 2), (5, 5, 0), (5, 6, 2), (6, 4, 1)]
        ),
        case("three groups of one round", [drawn(rng, 3, 5, 1), drawn(rng, 4, 5, 0), drawn(rng, 2, 5, 0)]),
    ]


OF_ITS_OWN = Fraction(1, 5)


def case_in_states(
    name: str, prior: list[float], groups: list[list[tuple[list[list[float]], list[float]]]]
) -> dict[str, object]:
    """One round in a state nobody knows: the state of the round and of every group listed with every pairing.

    `groups[g][s]` are the weights of group g in state s.
    """
    share = [Fraction(one) for one in prior]
    states, birds = range(len(prior)), len(groups[0][0][0][0])
    told = [
        [
            summed([[Fraction(w) for w in row] for row in weights], [Fraction(one) for one in strangers])
            for weights, strangers in group
        ]
        for group in groups
    ]
    chances = [[[Fraction(0)] * birds for _ in group[0][0]] for group in groups]
    none = [[Fraction(0)] * len(group[0][0]) for group in groups]
    seen, of_round, whole = [Fraction(0)] * birds, [Fraction(0)] * len(prior), Fraction(0)
    for lit, *own in product(states, repeat=1 + len(groups)):
        weight = share[lit]
        for g, at in enumerate(own):
            weight *= (at == lit) * (1 - OF_ITS_OWN) + OF_ITS_OWN * share[at]
            weight *= told[g][at][2]
        whole += weight
        of_round[lit] += weight
        for b in range(birds):
            unseen = Fraction(1)
            for g, at in enumerate(own):
                unseen *= 1 - sum(row[b] for row in told[g][at][0])
            seen[b] += weight * (1 - unseen)
        for g, at in enumerate(own):
            for r, row in enumerate(told[g][at][0]):
                none[g][r] += weight * told[g][at][1][r]
                for b in range(birds):
                    chances[g][r][b] += weight * row[b]
    return {
        "name": name,
        "birds": birds,
        "prior": prior,
        "states": [float(one / whole) for one in of_round],
        "seen": [float(one / whole) for one in seen],
        "groups": [
            {
                "in_states": [{"weights": weights, "strangers": strangers} for weights, strangers in group],
                "chances": [[float(value / whole) for value in row] for row in chances[g]],
                "stranger": [float(value / whole) for value in none[g]],
            }
            for g, group in enumerate(groups)
        ],
    }


def cases_in_states() -> list[dict[str, object]]:
    """Rounds in a clear or in a poor light."""
    rng = np.random.default_rng(20261128)
    clear, poor = [0.9, 0.001, 0.0], [0.4, 0.2, 0.01]
    alike = [([clear, clear], [1e-4, 1e-4]), ([poor, poor], [1e-4, 1e-4])]
    shy = [([[0.02, 0.5, 0.001]], [1e-4]), ([[0.1, 0.3, 0.2]], [1e-4])]
    return [
        case_in_states("two birds in view that read alike tell a poor light", [0.9, 0.1], [alike]),
        case_in_states(
            "and so lessen what the other group of the round is sure of", [0.9, 0.1], [alike, shy]
        ),
        case_in_states(
            "in a clear light no pairing is possible",
            [0.9, 0.1],
            [[([clear, clear], [0.0, 0.0]), ([poor, poor], [0.0, 0.0])], shy],
        ),
        case_in_states(
            "more readings than birds",
            [0.6, 0.4],
            [[([[0.3, 0.1]] * 3, [0.01] * 3), ([[0.1, 0.2]] * 3, [0.02] * 3)]],
        ),
        *(
            case_in_states(
                f"drawn at random, {len(sizes)} groups in three states",
                [0.5, 0.3, 0.2],
                [[drawn(rng, r, 4, 1) for _ in range(3)] for r in sizes],
            )
            for sizes in ([3], [2, 3], [2, 2, 3])
        ),
    ]


READER = {
    "swap": "1/25",
    "flip": "1/20",
    "overlook": "1/50",
    "lost": "1/200",
    "confusion": {
        "red": {"orange": "3/50"},
        "orange": {"red": "1/100", "blue": "1/50"},
        "blue": {"metal": "1/200"},
    },
}
WORDS = ("metal", "red", "orange", "blue")
LETTER = {"metal": "m", "red": "r", "orange": "o", "blue": "b", "?": ".", "*": ".*"}
MIRROR = {"left leg": "right leg", "right leg": "left leg"}


def read_of_site(worn: list[str]) -> Counter[str]:
    """Every reading of one site, a letter a band, with its chance."""
    gone = 1 - (1 - Fraction(READER["lost"])) * (1 - Fraction(READER["overlook"]))
    flip = Fraction(READER["flip"])
    found: Counter[str] = Counter()
    for shows in product((False, True), repeat=len(worn)):
        left = [band for band, shown in zip(worn, shows, strict=True) if shown]
        chance = (1 - gone) ** len(left) * gone ** (len(worn) - len(left))
        orders = [(left, 1 - flip if len(left) > 1 else Fraction(1))]
        for at in range(len(left) - 1):
            turned = [*left[:at], left[at + 1], left[at], *left[at + 2 :]]
            orders.append((turned, flip / (len(left) - 1)))
        for order, share in orders:
            for read in product(WORDS, repeat=len(order)):
                weight = chance * share
                for word, band in zip(read, order, strict=True):
                    row = {r: Fraction(p) for r, p in READER["confusion"].get(band, {}).items()}
                    weight *= 1 - sum(row.values()) if word == band else row.get(word, Fraction(0))
                found["".join(LETTER[word] for word in read)] += weight
    return found


def read_so(reading: dict[str, object], marks: dict[str, list[str]]) -> Fraction:
    """Chance of one reading of one bird."""
    swap = Fraction(str(reading.get("swap", READER["swap"])))
    both = []
    for mixed_up in (False, True):
        chance = Fraction(1)
        for site, read in reading.items():
            if isinstance(read, list):
                pattern = "".join(LETTER[band] for band in read)
                worn = marks.get(MIRROR[site] if mixed_up else site, [])
                chances = read_of_site(worn).items()
                chance *= sum(p for told, p in chances if re.fullmatch(pattern, told))
        both.append(chance)
    return (1 - swap) * both[0] + swap * both[1]


def round_of_readings() -> dict[str, object]:
    """A round in which unfinished stacks and unsure sides are settled by who else was in view."""
    birds = [
        {"left leg": ["metal"], "right leg": ["red", "blue", "red"]},
        {"left leg": ["metal"], "right leg": ["red", "orange"]},
        {"left leg": ["orange", "blue"], "right leg": ["metal"]},
        {"left leg": ["red"], "right leg": ["metal"]},
        {"right leg": ["orange", "red", "red", "blue"]},
    ]
    groups: list[list[dict[str, object]]] = [
        [
            {"right leg": ["red", "*"]},
            {"left leg": ["metal"], "right leg": ["red", "orange"]},
            {"left leg": ["*", "red", "*"], "swap": 0.5},
        ],
        [
            {"right leg": ["*", "blue"]},
            {"left leg": ["metal", "*"], "swap": 0.2},
            {},
            {"right leg": ["?", "*", "red"]},
        ],
    ]
    told, unseen = [], [Fraction(1)] * len(birds)
    for group in groups:
        pair, _ = enumerated(
            [[read_so(reading, bird) for bird in birds] for reading in group], [Fraction(0)] * len(group)
        )
        unseen = [left * (1 - sum(row[b] for row in pair)) for b, left in enumerate(unseen)]
        told.append({"readings": group, "chances": [[float(value) for value in row] for row in pair]})
    reader = {key: float(Fraction(value)) for key, value in READER.items() if key != "confusion"}
    confusion = {w: {r: float(Fraction(p)) for r, p in row.items()} for w, row in READER["confusion"].items()}
    return {
        "name": "unfinished stacks and unsure sides, settled by who else was in view",
        "reader": {**reader, "confusion": confusion},
        "birds": [{"id": at, "marks": marks} for at, marks in enumerate(birds)],
        "groups": told,
        "seen": [float(1 - left) for left in unseen],
    }


def main() -> None:
    """Write the file."""
    CASES.parent.mkdir(parents=True, exist_ok=True)
    source = (
        "Enumeration of every pairing in rational arithmetic (benchmarks/make_reconciliation_cases.py). "
        "chances[r][b]: reading r is of bird b; stranger[r]: of none of them; "
        "seen[b]: at least once in the round. of_readings: the same from what was read, without strangers. "
        "in_states: the same in a state of the round and of each group that nobody knows; states[s]: the "
        "round's."
    )
    told = {
        "source": source,
        "cases": cases(),
        "of_readings": [round_of_readings()],
        "in_states": cases_in_states(),
    }
    CASES.write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
