"""Write tests/published/light_cases.json: rounds read in a state that nobody knows, worked the long way.

Every state is gone through with every bird for every reading by the walk of `make_identification_cases.py`,
which shares nothing with the package; the readers of the states are given, not derived.
"""

from __future__ import annotations

import json
import math
import random
from pathlib import Path
from typing import Any

from make_identification_cases import READER, Answerer, flock_of, read_of

TARGET = Path(__file__).parent.parent / "tests" / "published" / "light_cases.json"
DARK = {
    **READER,
    "overlook": 0.06,
    "confusion": {"red": {"orange": 0.3, "metal": 0.01}, "orange": {"red": 0.05, "yellow": 0.2},
                  "yellow": {"orange": 0.02, "metal": 0.05}, "blue": {"metal": 0.1}, "metal": {"blue": 0.02}},
}  # fmt: skip
LAYOUTS = [{"left leg": -1, "right leg": 2}, {"left leg": 2, "right leg": -1}]


def case(name: str, rng: random.Random, strangers: float, prior: list[float]) -> dict[str, Any]:
    birds = flock_of(rng, 6, LAYOUTS)
    readings = [read_of(rng, rng.choice(birds)["marks"], ["left leg", "right leg"]) for _ in range(5)]
    answerers = [Answerer({"reader": r, "strangers": strangers, "birds": birds}) for r in (READER, DARK)]
    evidence, posteriors = [], []
    for reading in readings:
        read = {site: tuple(bands) for site, bands in reading.items()}
        weights = [answerer.weights(read) for answerer in answerers]
        evidence.append([math.fsum([*straight, *crossed, unknown]) for straight, crossed, unknown in weights])
        posteriors.append([answerer.posterior(read) for answerer in answerers])
    joint = [share * math.prod(told[s] for told in evidence) for s, share in enumerate(prior)]
    shares = [one / math.fsum(joint) for one in joint]
    answers = []
    for reading, told in zip(readings, posteriors, strict=True):
        mixed = [
            math.fsum(s * birds[b] for s, (birds, _) in zip(shares, told, strict=True)) for b in range(6)
        ]
        none = math.fsum(s * one for s, (_, one) in zip(shares, told, strict=True))
        answers.append({"reading": reading, "birds": mixed, "none_of_these": none})
    return {"name": name, "strangers": strangers, "birds": birds, "readers": [READER, DARK], "prior": prior,
            "states": shares, "readings": answers}  # fmt: skip


def main() -> None:
    rng = random.Random(10)
    cases = [
        case("nobody said the light", rng, 0.001, [0.9, 0.1]),
        case("dusk was said", rng, 0.001, [0.06, 0.94]),
        case("no strangers", rng, 0.0, [0.5, 0.5]),
    ]
    told = [
        {"light": light, "mud": mud, "prior": prior(light, mud)}
        for light in ("", "bright", "dull", "dusk")
        for mud in (None, False, True)
    ]
    whole = {"what": "Readings of one round in one unknown state: states, birds, none of these.",
             "source": "Worked the long way, every state with every bird, by scripts/make_light_cases.py.",
             "tolerance": 1e-9, "cases": cases, "priors": told}  # fmt: skip
    TARGET.write_text(json.dumps(whole, indent=1) + "\n", encoding="utf-8")


def prior(light: str, mud: bool | None) -> list[float]:
    """Bright, dull, dusk clean; the same with mud."""
    lights = {"": [0.86, 0.10, 0.04], "bright": [0.94, 0.03, 0.03], "dull": [0.03, 0.94, 0.03],
              "dusk": [0.03, 0.03, 0.94]}[light]  # fmt: skip
    muddy = {None: 0.06, False: 0.03, True: 0.94}[mud]
    return [one * share for share in (1 - muddy, muddy) for one in lights]


if __name__ == "__main__":
    main()
