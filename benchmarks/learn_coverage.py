"""How often the 95 % intervals of `tarsus learn` hold the truth: 400 simulated keepers, 400 checks each.

Two kinds of keepers that the prior does not know: about as sure as an untrained reader, and surer ones for
whom the reds have faded. Each keeper's chances are its own, up to a factor of 1.5 about its kind's. The
prior is the trained reader with new bands. The bound is 95 +- 3 of 100 for the chances that a reader has,
and 95 +- 4 for colours on the whole: one that is far out leans to the others until it has been read often,
and the others lean to the wide side.

    .venv/bin/python benchmarks/learn_coverage.py [simulations] [checks]
"""

from __future__ import annotations

import sys
import time
from concurrent.futures import ProcessPoolExecutor

import numpy as np

from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.readings.error_paths import Check
from tarsus.core.readings.learning import interval, learn
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, Reader
from tarsus.core.readings.simulation import simulate_reading

DRAWS = 1200
PALETTE = Palette.of(dict(BUILT_IN.colours[:9]))
COLOURS = ("red", "orange", "yellow", "blue", "purple")
KINDS = {
    "untrained": (Reader(0.067, 0.0223, 0.0268, 0.0089, 0.0), PALETTE),
    "red fades": (
        Reader(0.04, 0.03, 0.012, 0.02, 0.0),
        Palette.of({**PALETTE.as_mapping(), "red": "#dd5540"}),
    ),
}
SURE = ("swap", "flip", "overlook", "colour")


def keeper(kind: str, rng: np.random.Generator) -> Misreading:
    """One keeper of a kind."""
    reader, looks = KINDS[kind]
    chances = (reader.swap, reader.flip, reader.colour, reader.overlook)
    swap, flip, colour, overlook = (chance * 1.5 ** rng.uniform(-1, 1) for chance in chances)
    return Misreading.of(Reader(swap, flip, colour, overlook, 0.0), PALETTE, looks=looks)


def truths(truth: Misreading) -> dict[str, float]:
    """What the intervals are to hold."""
    red = truth.code["red"]
    return {
        "swap": truth.swap,
        "flip": truth.flip,
        "overlook": truth.overlook,
        "colour": float(1 - np.diagonal(truth.table)[1:].mean()),
        **{f"{c} misread": float(1 - truth.table[truth.code[c], truth.code[c]]) for c in COLOURS},
        "red as orange": float(truth.table[red, truth.code["orange"]]),
    }


def held(task: tuple[str, int, np.random.SeedSequence]) -> dict[str, bool]:
    """One keeper's checks, and which intervals hold the truth."""
    kind, count, seed = task
    rng = np.random.default_rng(seed)
    truth = keeper(kind, rng)
    checks = []
    for at in range(count):
        two = list(rng.choice(PALETTE.names, 2))
        sides = ([METAL], two) if at % 2 else (two, [METAL])
        worn = Marks.of(dict(zip(("left leg", "right leg"), sides, strict=True)))
        seen = None if at % 5 else ("right leg",)
        checks.append(Check(simulate_reading(rng, worn, truth, sites=seen), worn))
    learned = learn(checks, Misreading.of(TRAINED, PALETTE), rng, draws=DRAWS)
    draws = {name: learned.chances[name] for name in ("swap", "flip", "overlook")}
    red = truth.code["red"]
    draws["colour"] = learned.colour()
    for colour in COLOURS:
        at = truth.code[colour]
        draws[f"{colour} misread"] = 1 - learned.tables[:, at, at]
    draws["red as orange"] = learned.tables[:, red, truth.code["orange"]]
    bounds = {name: interval(chain) for name, chain in draws.items()}
    return {name: bounds[name][0] <= true <= bounds[name][1] for name, true in truths(truth).items()}


def main() -> None:
    simulations = int(sys.argv[1]) if len(sys.argv) > 1 else 400
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 400
    outside = []
    for number, kind in enumerate(KINDS):
        seeds = np.random.SeedSequence([2026, number]).spawn(simulations)
        start = time.perf_counter()
        with ProcessPoolExecutor() as pool:
            answers = list(pool.map(held, [(kind, count, seed) for seed in seeds], chunksize=10))
        took = time.perf_counter() - start
        print(f"{kind}: {simulations} x {count} checks, {took / simulations:.2f} s each")
        for name in answers[0]:
            cover = 100 * sum(answer[name] for answer in answers) / simulations
            print(f"  {name:<14} {cover:5.1f} of 100 intervals hold the truth")
            outside += [f"{kind}, {name}: {cover:.1f}"] if name in SURE and abs(cover - 95) > 3 else []
        colours = [answer[name] for answer in answers for name in answer if name.endswith("misread")]
        cover = 100 * sum(colours) / len(colours)
        print(f"  single colours {cover:5.1f} on the whole")
        outside += [f"{kind}, single colours: {cover:.1f}"] if abs(cover - 95) > 4 else []
    if outside:
        sys.exit("out of bounds: " + "; ".join(outside))


if __name__ == "__main__":
    main()
