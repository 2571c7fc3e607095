"""Write tests/published/identification_cases.json: what identification must answer, in Python and on the
phone.

The expected figures do not come from the package. They are worked here the long way: every way in which a
bird's bands can be read is walked through, every stranger's colours are spelled out one by one, an open end
is completed to every reading that is as long as what is worn, and sums are exact to the last bit
(`math.fsum`). Only the observer's confusion table is given, not derived.
"""

from __future__ import annotations

import json
import math
import random
from itertools import combinations, product
from pathlib import Path
from typing import Any

SITES = ("left tibia", "left leg", "left wing", "right tibia", "right leg", "right wing")
MIRROR = {s: s.replace("left", "right") if "left" in s else s.replace("right", "left") for s in SITES}
TARGET = Path(__file__).parent.parent / "tests" / "published" / "identification_cases.json"

Marks = dict[str, Any]

SUMMED: dict[tuple[int, tuple[str, ...], tuple[str, ...]], float] = {}
"""Sums over completions, which many strangers have in common; by the reader's identity."""


def band_chance(reader: dict[str, Any], read: str, worn: str) -> float:
    row = reader["confusion"].get(worn, {})
    if read == "?":
        return 1.0
    return 1.0 - math.fsum(row.values()) if read == worn else row.get(read, 0.0)


def completed(words: list[str], read: tuple[str, ...], most: int) -> set[tuple[str, ...]]:
    """All readings of so many bands at most that a reading with open ends can be completed to."""
    readings: set[tuple[str, ...]] = {()}
    for band in read:
        if band == "*":
            longer = readings
            while longer:
                longer = {(*r, w) for r in longer for w in words if len(r) < most} - readings
                readings = readings | longer
        else:
            readings = {(*r, w) for r in readings for w in (words if band == "?" else [band])}
            readings = {r for r in readings if len(r) <= most}
    return readings


def site_chance(reader: dict[str, Any], read: tuple[str, ...], worn: tuple[str, ...]) -> float:
    if "*" in read:
        key = (id(reader), read, worn)
        if key not in SUMMED:
            words = list(dict.fromkeys(["metal", *reader["confusion"]]))
            every = completed(words, read, len(worn))
            SUMMED[key] = math.fsum(site_chance(reader, one, worn) for one in every)
        return SUMMED[key]
    shows = (1 - reader["lost"]) * (1 - reader["overlook"])
    parts = []
    for remain in combinations(worn, len(read)):
        stands = [(list(remain), 1.0)]
        if len(remain) > 1:
            stands = [(list(remain), 1 - reader["flip"])]
            for at in range(len(remain) - 1):
                turned = list(remain)
                turned[at : at + 2] = turned[at + 1], turned[at]
                stands.append((turned, reader["flip"] / (len(remain) - 1)))
        for order, share in stands:
            chances = (band_chance(reader, r, w) for r, w in zip(read, order, strict=True))
            gone = (1 - shows) ** (len(worn) - len(read))
            parts.append(share * gone * shows ** len(read) * math.prod(chances))
    return math.fsum(parts)


def sides(reader: dict[str, Any], reading: Marks, marks: Marks) -> tuple[float, float]:
    """Chance of the reading with the sides read right, and mixed up."""
    read = {s: r for s, r in reading.items() if s != "swap"}
    straight = math.prod(site_chance(reader, r, marks.get(s, ())) for s, r in read.items())
    crossed = math.prod(site_chance(reader, r, marks.get(MIRROR[s], ())) for s, r in read.items())
    swap = reading.get("swap", reader["swap"])
    return (1 - swap) * straight, swap * crossed


def spelled_out(layout: Marks, colours: list[str]) -> list[Marks]:
    """Every bird that wears this layout with some colours."""
    places = [(s, at) for s, bands in layout.items() for at, band in enumerate(bands) if band != "metal"]
    birds = []
    for chosen in product(colours, repeat=len(places)):
        bird = {s: list(bands) for s, bands in layout.items()}
        for (site, at), colour in zip(places, chosen, strict=True):
            bird[site][at] = colour
        birds.append({s: tuple(bands) for s, bands in bird.items()})
    return birds


def otherwise_site(reader: dict[str, Any], words: list[str], read: tuple[str, ...]) -> float:
    """A geometric number of bands of any word: the sum over how many are worn, cut where nothing is left."""
    shows = (1 - reader["lost"]) * (1 - reader["overlook"])
    if "*" in read:
        even = {r: math.fsum(band_chance(reader, r, w) for w in words) / len(words) for r in (*words, "?")}
        # Of a geometric number of bands, each shown with one chance, again a geometric number is shown.
        another = shows / (1 + shows)
        return math.fsum((1 - another) * another**n * drawn_so(even, read, n) for n in range(80))
    shown = len(read)
    counts = (
        0.5 ** (n + 1) * math.comb(n, shown) * shows**shown * (1 - shows) ** (n - shown)
        for n in range(shown, shown + 80)
    )
    mean = [math.fsum(band_chance(reader, r, w) for w in words) / len(words) for r in read]
    return math.fsum(counts) * math.prod(mean)


def drawn_so(even: dict[str, float], read: tuple[str, ...], bands: int) -> float:
    """Chance that so many bands, drawn one by one, are a completion of the reading.

    Between two open ends this knows single bands only: the first that fits is taken.
    """
    if bands < 0:
        return 0.0
    if not read:
        return float(bands == 0)
    first, *rest = read
    if first == "*" and rest[:1] == ["*"]:
        return drawn_so(even, tuple(rest), bands)
    if first != "*":
        return even[first] * drawn_so(even, tuple(rest), bands - 1)
    if "*" not in rest:
        return math.prod(even[r] for r in rest) if bands >= len(rest) else 0.0
    found, after, *_ = rest
    assert after == "*", read
    states = [drawn_so(even, tuple(rest[1:]), left) for left in range(bands)]
    return math.fsum(
        even[found] * (1 - even[found]) ** (bands - 1 - left) * state for left, state in enumerate(states)
    )


class Answerer:
    """Works one flock the long way.

    Hypotheses: every bird, then each stranger spelled out, then the unknown kind.
    """

    def __init__(self, case: dict[str, Any]) -> None:
        self.reader, self.strangers = case["reader"], case["strangers"]
        self.words = ["metal", *case["reader"]["confusion"]]
        self.words = list(dict.fromkeys(self.words))
        self.birds = [{s: tuple(b) for s, b in bird["marks"].items()} for bird in case["birds"]]
        priors = [bird["prior"] for bird in case["birds"]]
        self.prior = [(1 - self.strangers) * p / math.fsum(priors) for p in priors]
        self.unknown: list[tuple[Marks, float]] = [({}, 0.25 * self.strangers)]
        self.alike = [range(1)]
        for worn in self.birds:
            kinds = spelled_out(worn, self.words[1:])
            share = 0.5 * self.strangers / len(self.birds) / len(kinds)
            self.alike.append(range(len(self.unknown), len(self.unknown) + len(kinds)))
            self.unknown += [(kind, share) for kind in kinds]

    def weights(self, reading: Marks) -> tuple[list[float], list[float], float]:
        """Straight and crossed weight of all known marks (birds, strangers), and the unknown kind's."""
        every = list(zip(self.birds, self.prior, strict=True)) + self.unknown
        both = [(sides(self.reader, reading, marks), prior) for marks, prior in every]
        straight = [prior * pair[0] for pair, prior in both]
        crossed = [prior * pair[1] for pair, prior in both]
        unknown = 0.25 * self.strangers
        for site, read in reading.items():
            if site != "swap" and unknown > 0:
                unknown *= otherwise_site(self.reader, self.words, read)
        return straight, crossed, unknown

    def posterior(self, reading: Marks) -> tuple[list[float], float]:
        straight, crossed, unknown = self.weights(reading)
        total = math.fsum([*straight, *crossed, unknown])
        if total == 0:
            return [0.0] * len(self.birds), 1.0
        every = [(a + c) / total for a, c in zip(straight, crossed, strict=True)]
        return every[: len(self.birds)], math.fsum([*every[len(self.birds) :], unknown / total])

    def information(self, reading: Marks, site: str) -> float:
        """Bits that a look tells.

        Outcomes are the stacks that birds in question wear there, and something else. What a site that was
        partly read told of a stranger's colours is forgotten for the look: all of a layout weigh alike.
        """
        straight, crossed, unknown = self.weights(reading)
        for kinds in self.alike:
            at = slice(len(self.birds) + kinds.start, len(self.birds) + kinds.stop)
            for weights in (straight, crossed):
                weights[at] = [math.fsum(weights[at]) / len(kinds)] * len(kinds)
        total = math.fsum([*straight, *crossed, unknown])
        every = [marks for marks, _ in zip(self.birds, self.prior, strict=True)]
        every += [marks for marks, _ in self.unknown]
        shown: dict[tuple[str, ...], float] = {}
        for bird, a, c in zip(self.birds, straight, crossed, strict=False):
            shown[bird.get(site, ())] = shown.get(bird.get(site, ()), 0.0) + a / total
            there = bird.get(MIRROR[site], ())
            shown[there] = shown.get(there, 0.0) + c / total
        outcomes = [stack for stack, chance in shown.items() if chance > 1e-9]
        assert len(outcomes) <= 256
        mass: list[list[float]] = []
        for stack in outcomes:
            row = [
                (a * site_chance(self.reader, stack, marks.get(site, ()))
                 + c * site_chance(self.reader, stack, marks.get(MIRROR[site], ()))) / total
                for marks, a, c in zip(every, straight, crossed, strict=True)
            ]  # fmt: skip
            none = [*row[len(self.birds) :], unknown / total * otherwise_site(self.reader, self.words, stack)]
            mass.append([*row[: len(self.birds)], math.fsum(none)])
        birds, none_of_these = self.posterior(reading)
        now = [*birds, none_of_these]
        mass.append([max(w - math.fsum(row[h] for row in mass), 0.0) for h, w in enumerate(now)])
        outcome = entropy([math.fsum(row) for row in mass])
        return outcome + entropy(now) - entropy([m for row in mass for m in row])


def entropy(weights: list[float]) -> float:
    return -math.fsum(w * math.log2(w) for w in weights if w > 0)


def answered(case: dict[str, Any], readings: list[dict[str, list[str]]]) -> dict[str, Any]:
    answerer = Answerer(case)
    answers = []
    for reading in readings:
        read = {site: b if site == "swap" else tuple(b) for site, b in reading.items()}
        birds, none = answerer.posterior(read)
        worn = {s for bird in answerer.birds for s, bands in bird.items() if bands}
        seen = {s for s in SITES if s in read and not {"?", "*"} & set(read[s])}
        open_sites = [s for s in SITES if s not in seen and {s, MIRROR[s]} & worn]
        bits = {s: answerer.information(read, s) for s in open_sites} if none < 1 else {}
        best = max(bits, key=bits.__getitem__, default=None)
        answers.append({
            "reading": reading, "birds": birds, "none_of_these": none, "information": bits,
            "look_next": best if best is not None and bits[best] > 1e-6 else None,
        })  # fmt: skip
    return {**case, "readings": answers}


def bird(number: int, prior: float = 1.0, **marks: list[str]) -> dict[str, Any]:
    return {"id": number, "prior": prior, "marks": {s.replace("_", " "): bands for s, bands in marks.items()}}


def hand_worked() -> dict[str, Any]:
    reader = {"swap": 0.0, "flip": 0.0, "overlook": 0.0, "lost": 0.0,
              "confusion": {"red": {"orange": 0.3, "blue": 0.01}, "orange": {"red": 0.02},
                            "blue": {}}}  # fmt: skip
    birds = [bird(1, right_leg=["red"]), bird(2, 2.0, right_leg=["orange"])]
    case = {"name": "only red fades: orange read, 0.3 / (0.3 + 2 x 0.98)", "reader": reader, "strangers": 0.0}
    case = answered({**case, "birds": birds}, [{"right leg": ["orange"]}, {"right leg": ["red"]}, {}])
    assert math.isclose(case["readings"][0]["birds"][0], 0.3 / (0.3 + 2 * 0.98), rel_tol=1e-15)
    return case


READER = {
    "swap": 0.05, "flip": 0.03, "overlook": 0.012, "lost": 0.004,
    "confusion": {"red": {"orange": 0.06, "metal": 0.002}, "orange": {"red": 0.01, "yellow": 0.02},
                  "yellow": {"orange": 0.003}, "blue": {}, "metal": {"blue": 0.004}},
}  # fmt: skip


def flock_of(rng: random.Random, size: int, layouts: list[dict[str, int]]) -> list[dict[str, Any]]:
    """Birds with a metal band where the layout says -1, and that many colours elsewhere."""
    colours = ["red", "orange", "yellow", "blue"]
    birds = []
    for number in range(1, size + 1):
        layout = rng.choice(layouts)
        marks = {s: ["metal"] if n < 0 else rng.choices(colours, k=n) for s, n in layout.items()}
        birds.append({"id": number, "prior": round(rng.uniform(0.2, 2), 2), "marks": marks})
    return birds


def read_of(rng: random.Random, marks: dict[str, list[str]], sites: list[str]) -> dict[str, list[str]]:
    """Something like the marks: a band dropped, exchanged sides, a colour not made out, another colour."""
    source = {MIRROR[s]: b for s, b in marks.items()} if rng.random() < 0.2 else marks
    reading = {}
    for site in sites:
        bands = list(source.get(site, []))
        if bands and rng.random() < 0.25:
            bands.pop(rng.randrange(len(bands)))
        reading[site] = [rng.choice(["?", "orange", "metal"]) if rng.random() < 0.15 else b for b in bands]
    return reading


def generated(
    rng: random.Random, name: str, layouts: list[dict[str, int]], strangers: float
) -> dict[str, Any]:
    birds = flock_of(rng, 8, layouts)
    sites = sorted({s for layout in layouts for s in layout}, key=SITES.index)
    readings: list[dict[str, list[str]]] = [{}]
    for _ in range(7):
        seen = [s for s in sites if rng.random() < 0.7]
        readings.append(read_of(rng, rng.choice(birds)["marks"], seen))
    return answered({"name": name, "reader": READER, "strangers": strangers, "birds": birds}, readings)


def opened(rng: random.Random, reading: dict[str, Any]) -> dict[str, Any]:
    """The same with bands of some sites left open at one end, in the middle or at both ends; sometimes with a
    word on how sure its sides are."""
    out: dict[str, Any] = {}
    for site, bands in reading.items():
        cut = rng.randrange(len(bands) + 1)
        upper, lower = bands[:cut], bands[cut:][:1]
        kinds = [[*upper, "*"], ["*", *lower], [*upper, "*", *bands[cut + 1 :]], ["*", *lower, "*"], bands]
        out[site] = rng.choice(kinds)
    if rng.random() < 0.5:
        out["swap"] = rng.choice([0.0, 0.2, 0.5, 0.9])
    return out


def with_open_ends(
    rng: random.Random, name: str, layouts: list[dict[str, int]], strangers: float
) -> dict[str, Any]:
    case = generated(rng, name, layouts, strangers)
    readings = [opened(rng, answer["reading"]) for answer in case.pop("readings")]
    return answered(case, readings)


def overlapping() -> dict[str, Any]:
    """Open ends that a reading fits in several ways; each completion counts once."""
    birds = [
        bird(1, right_leg=["red", "red", "blue", "red"]),
        bird(2, right_leg=["red", "orange", "red"]),
        bird(3, 0.5, right_leg=["red"], left_leg=["blue", "red"]),
        bird(4, left_leg=["red", "red"]),
    ]
    reads = [["*", "red", "*"], ["*", "red", "red", "*"], ["red", "*", "red"], ["*", "red", "?"], ["*"],
             ["*", "*"], ["*", "?", "red", "*", "red", "*"], ["*", "red", "*", "red", "?", "*"]]  # fmt: skip
    readings: list[dict[str, Any]] = [{"right leg": read} for read in reads]
    readings.append({"right leg": ["red", "*"], "left leg": [], "swap": 0.5})
    case = {"name": "open ends that are fitted in several ways", "reader": READER, "strangers": 0.0}
    return answered({**case, "birds": birds}, readings)


def counted_by_hand() -> dict[str, Any]:
    """Half of all reds are overlooked, nothing else goes wrong."""
    reader = {"swap": 0.0, "flip": 0.0, "overlook": 0.5, "lost": 0.0, "confusion": {"red": {}, "blue": {}}}
    birds = [
        bird(1, right_leg=["red", "blue"]),
        bird(2, right_leg=["blue", "red"]),
        bird(3, right_leg=["red"]),
    ]
    case = {
        "name": "red and perhaps more: 1/2, 1/4 and 1/2 of the readings",
        "reader": reader,
        "strangers": 0.0,
    }
    case = answered(
        {**case, "birds": birds}, [{"right leg": ["red", "*"]}, {"right leg": ["*"], "swap": 0.25}]
    )
    assert case["readings"][0]["birds"] == [0.4, 0.2, 0.4]
    # Exchanged, nobody wears anything on the right, and an open end fits that too.
    assert case["readings"][1]["birds"] == [1 / 3] * 3
    return case


def main() -> None:
    rng = random.Random(20260611)
    tall = [{"left tibia": -1, "right tibia": 2}, {"left tibia": 2, "right tibia": -1}]
    legs = [{"left leg": -1, "right leg": 3}, {"left leg": 2, "right leg": 1}, {"right leg": 4}]
    wings = [{"left wing": 1}, {"right wing": 2}, {}]
    six = [{"left tibia": 1, "left leg": -1, "right tibia": 1, "right leg": 1, "left wing": 1}]
    impossible = answered(
        {**hand_worked(), "name": "a reading that nobody could have given is of none of these"},
        [{"right leg": ["blue", "blue"]}],
    )
    cases = [
        hand_worked(),
        impossible,
        generated(rng, "banded above the joint, metal by sex", tall, 0.001),
        generated(rng, "up to four bands on a leg", legs, 0.01),
        generated(rng, "one wing or the other, and a bird without bands", wings, 0.05),
        generated(rng, "six sites", six, 0.2),
        generated(rng, "no strangers", tall, 0.0),
        counted_by_hand(),
        overlapping(),
        with_open_ends(rng, "open ends, up to four bands on a leg", legs, 0.01),
        with_open_ends(rng, "open ends, metal by sex", tall, 0.05),
        with_open_ends(rng, "open ends, six sites", six, 0.2),
        with_open_ends(rng, "open ends on wings", wings, 0.05),
    ]
    document = {
        "what": "Chance of each bird (in the order of `birds`) and of none of these after one reading; bits "
        "that a look at each open site is expected to tell; the site that tells most",
        "source": "Worked the long way by scripts/make_identification_cases.py: every way of reading walked "
        "through, every stranger spelled out, every open end completed; the first case by hand",
        "tolerance": 1e-9,
        "cases": cases,
    }
    TARGET.write_text(json.dumps(document, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
