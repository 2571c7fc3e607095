"""What 200 checks teach in worlds that the reader does not know, against one who is told every hidden error.

Each world is a reader with other errors than the trained one the learner begins with. After the checks a
flock of 48 (a metal, two of nine colours) is read, and the logarithmic loss of who it is is held against the
oracle's, who knows the world: untaught; learned, where it has earned its use; and *told*, the same priors
with every hidden error of the same checks counted. Then: how often a matching world is falsely earned, and
how often intervals of single confusion cells hold the truth.

    .venv/bin/python benchmarks/learning_worlds.py [keepers a world] [checks] [intervals too: 1]
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from itertools import pairwise

import numpy as np

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.colour_vision import ColourVision
from tarsus.core.marks.marks import METAL, Marks, Reading
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.marks.sites import MIRROR
from tarsus.core.readings.colour_hypotheses import between, changed
from tarsus.core.readings.earning import evidence
from tarsus.core.readings.error_paths import Check
from tarsus.core.readings.fitting import Fitter
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.learning import learn
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED

PALETTE = Palette.of(dict(BUILT_IN.colours[:9]))
BEFORE = Misreading.of(replace(TRAINED, lost=0.0), PALETTE)
LEGS = ("left leg", "right leg")
WORLDS = ("matching", "faded", "mixed-up sides", "colour-blind", "dirty", "dusk")
TESTED = 3000


def world(name: str, rng: np.random.Generator) -> Misreading:
    """One keeper of a world; the changes are not those that the learner lays out."""
    reader = replace(TRAINED, lost=0.0)
    if name == "mixed-up sides":
        reader = replace(reader, swap=float(rng.uniform(0.12, 0.3)))
    if name == "dirty":
        reader = replace(reader, overlook=float(rng.uniform(0.03, 0.08)))
    if name == "dusk":
        reader = replace(reader, overlook=0.02, colour=0.02)
    looks = PALETTE
    if name == "faded":
        fades = dict(zip(PALETTE.names, rng.uniform(0.0, 0.65, len(PALETTE.names)), strict=True))
        looks = Palette(tuple((n, between(h, "#fff4e0", fades[n])) for n, h in PALETTE.colours))
    if name == "dirty":
        looks = changed(PALETTE, lambda h: between(h, "#5a4a30", 0.35))
    if name == "dusk":
        looks = changed(PALETTE, lambda h: between(h, "#101418", 0.5))
    eyes = ColourVision(
        "deutan" if name == "colour-blind" else "protan", 0.8 if name == "colour-blind" else 0.0
    )
    return Misreading.of(reader, PALETTE, looks=looks, vision=eyes)


class Told:
    """Reads birds and keeps count of every error."""

    def __init__(self, truth: Misreading, rng: np.random.Generator) -> None:
        self.truth, self.rng = truth, rng
        words = len(truth.words)
        self.swap, self.flip, self.overlook, self.read = [0, 0], [0, 0], [0, 0], np.zeros((words, words))

    def reading(self, marks: Marks, sites: tuple[str, ...]) -> Reading:
        rng, truth = self.rng, self.truth
        mixed_up = rng.random() < truth.swap
        self.swap[not mixed_up] += 1
        seen = {}
        for site in sites:
            worn = marks.at(MIRROR[site] if mixed_up else site)
            shown = [band for band in worn if rng.random() >= truth.gone]
            self.overlook[0] += len(worn) - len(shown)
            self.overlook[1] += len(shown)
            if len(shown) > 1:
                turned = rng.random() < truth.flip
                self.flip[not turned] += 1
                if turned:
                    at = int(rng.integers(len(shown) - 1))
                    shown[at], shown[at + 1] = shown[at + 1], shown[at]
            read = []
            for band in shown:
                code = truth.code[band]
                word = int(rng.choice(len(truth.words), p=truth.table[code]))
                self.read[code, word] += 1
                read.append(truth.words[word])
            seen[site] = read
        return Reading.of(seen)


def some_marks(rng: np.random.Generator, at: int) -> Marks:
    two = list(rng.choice(PALETTE.names, 2))
    return Marks.of(dict(zip(LEGS, ([METAL], two) if at % 2 else (two, [METAL]), strict=True)))


def checks_of(truth: Misreading, count: int, rng: np.random.Generator) -> tuple[list[Check], Told]:
    told = Told(truth, rng)
    checks = []
    for at in range(count):
        worn = some_marks(rng, at)
        checks.append(Check(told.reading(worn, LEGS if at % 5 else LEGS[1:]), worn))
    return checks, told


def told_reader(fitter: Fitter, told: Told) -> Misreading:
    """The same priors at the true counts."""
    odds = fitter.learner.first
    for _ in range(20):
        colours = fitter.learner.expected(told.read, np.diagonal(told.read), odds)
        odds = colours.odds
    rows = tuple(tuple(float(c) for c in row) for row in colours.table)
    means = {n: fitter.priors[n].mean(*getattr(told, n)) for n in ("swap", "flip", "overlook")}
    return Misreading(**means, lost=0.0, words=BEFORE.words, confusion=rows)


def losses(truth: Misreading, readers: dict[str, Misreading], rng: np.random.Generator) -> dict[str, float]:
    """Mean logarithmic loss of who it is, over the oracle's."""
    birds = [Bird(str(at), some_marks(rng, at)) for at in range(48)]
    told = Told(truth, rng)
    flocks = {name: Flock(birds, one, strangers=0.001) for name, one in {**readers, "oracle": truth}.items()}
    sums = dict.fromkeys(flocks, 0.0)
    for _ in range(TESTED):
        at = int(rng.integers(len(birds)))
        reading = told.reading(birds[at].marks, LEGS if rng.random() > 0.15 else LEGS[1:])
        for name, flock in flocks.items():
            sums[name] -= float(np.log(max(flock.posterior(reading).birds[at], 1e-12)))
    return {name: (sums[name] - sums["oracle"]) / TESTED for name in readers}


def played(task: tuple[str, int, bool, np.random.SeedSequence]) -> dict[str, object]:
    name, count, intervals, seed = task
    rng = np.random.default_rng(seed)
    truth = world(name, rng)
    checks, told = checks_of(truth, count, rng)
    fitter = Fitter(BEFORE, PALETTE)
    fitted = fitter.fitted(checks).misreading
    earned = evidence(checks, fitter)
    readers = {"untaught": BEFORE, "fitted": fitted, "told": told_reader(fitter, told)}
    readers["in use"] = earned.in_use(BEFORE, fitted)
    readers["where earned"] = readers["in use"] if earned.earned else BEFORE
    answer: dict[str, object] = {"earned": earned.earned, "nats": earned.nats}
    if intervals:
        learned = learn(checks, BEFORE, rng, draws=600, palette=PALETTE)
        readers["drawn"] = earned.in_use(BEFORE, learned.misreading())
        low, high = learned.cell_intervals()
        off = ~np.eye(len(truth.words), dtype=bool)
        off[0] = off[:, 0] = False
        held = (low <= truth.table) & (truth.table <= high)
        answer["cells"] = [(float(t), bool(h)) for t, h in zip(truth.table[off], held[off], strict=True)]
    answer["losses"] = losses(truth, readers, rng)
    return answer


def falsely_earned(task: tuple[int, np.random.SeedSequence]) -> bool:
    count, seed = task
    checks, _ = checks_of(BEFORE, count, np.random.default_rng(seed))
    return evidence(checks, Fitter(BEFORE, PALETTE)).earned


def main() -> None:
    keepers = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    intervals = len(sys.argv) > 3
    cells: list[tuple[float, bool]] = []
    with ProcessPoolExecutor(2) as pool:
        for number, name in enumerate(WORLDS):
            seeds = np.random.SeedSequence([2026, 11, number]).spawn(keepers)
            answers = list(pool.map(played, [(name, count, intervals, seed) for seed in seeds]))
            names = answers[0]["losses"]
            means = {n: np.mean([a["losses"][n] for a in answers]) for n in names}  # type: ignore[index]  # a season's answer is plain JSON
            said = "  ".join(f"{n} {mean:.4f}" for n, mean in means.items())
            earned = sum(bool(a["earned"]) for a in answers)
            print(f"{name:<15} {said}  earned {earned} of {keepers}", flush=True)
            for a in answers:
                cells += a.get("cells", [])  # type: ignore[arg-type]  # as above
        seeds = np.random.SeedSequence([2026, 12]).spawn(15 * keepers)
        falsely = list(pool.map(falsely_earned, [(count, seed) for seed in seeds], chunksize=4))
        print(f"falsely earned in a matching world: {sum(falsely)} of {len(falsely)}")
    for low, high in pairwise((0.0, 0.0003, 0.003, 0.03, 0.1, 1.0)):
        held = [h for t, h in cells if low <= t < high]
        if held:
            print(f"cells {low} to {high}: {100 * np.mean(held):.1f} of 100 intervals hold ({len(held)})")


if __name__ == "__main__":
    main()
