"""What checked photographs teach of a camera and of a park's bands, and how often they teach it falsely.

    .venv/bin/python benchmarks/photograph_lessons.py [PHOTOGRAPHS]

Everything is simulated. Pictures of two measured cameras come from `photographs.py`; the others are drawn
from the model itself, with its own weights of ageing (nothing is to be learned) or with a park's whose bands
have nearly all faded. False claims are counted over orders of photographs drawn anew, with repeats, from one
pool; those of ageing, which is dearer to learn, over fewer.
"""

from __future__ import annotations

import sys
import time

import numpy as np
from photographs import Array, picture, world

from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.photographs.cameras import AS_THOUGHT, Camera
from tarsus.core.photographs.colours import FREEDOM, light_of, photographed
from tarsus.core.photographs.lessons import (
    LATEST,
    Lesson,
    exponent_by,
    exponent_scores,
    learned_ageing,
    learned_exponent,
    log_score,
)
from tarsus.core.photographs.pixels import Tapped, tapped
from tarsus.core.photographs.renderings import EXPOSURES, NOISE, SHADE, Renderings, renderings

FADED = (0.03, 0.05, 0.75, 0.03, 0.04, 0.10)
ORDERS = 2000
FEWER = 40


def as_thought(rng: np.random.Generator, looks: Renderings, ageing: tuple[float, ...]) -> Lesson:
    """A photograph drawn from the model, but for reflections and for how metal strays."""
    prior = np.exp(looks.prior - looks.prior.max())
    cast = int(rng.choice(len(prior), p=prior / prior.sum()))
    stop = int(rng.choice(len(EXPOSURES), p=_usual()))
    colours = tuple(int(k) for k in rng.integers(len(looks.names), size=rng.integers(2, 4)))
    bands = []
    for kind in colours:
        way = int(rng.choice(len(ageing), p=ageing))
        shown = looks.encoded[cast, stop, kind, way]
        strays = rng.normal(0, NOISE, 3) + rng.normal(0, SHADE) * shown / 3
        coded = shown + strays / np.sqrt(rng.chisquare(FREEDOM) / FREEDOM)
        bands.append((np.clip(coded, 0, None) / 0.8) ** 2.4)
    metal = looks.metal[cast] + 0.13 * rng.normal(0, 1, 2) / np.sqrt(rng.chisquare(3) / 3)
    mean = float(2.0 ** (EXPOSURES[stop] - 2.2 + rng.normal(0, 1)))
    return Lesson(Tapped(np.array(bands), metal, min(mean, 1.0), ()), colours)


def _usual() -> Array:
    chances = np.exp(-0.5 * ((EXPOSURES + 0.4) / 0.9) ** 2)
    return np.asarray(chances / chances.sum())


def held_out(lessons: list[Lesson], looks: Renderings, camera: Camera) -> str:
    """Log loss of whole photographs and calibration error of bands."""
    loss, best, right = [], [], []
    for one in lessons:
        photo = photographed(looks, one.taps, camera)
        loss.append(-log_score(light_of(looks, one.taps), photo.bands, one.colours))
        best += photo.chances.max(axis=1).tolist()
        right += (photo.chances.argmax(axis=1) == one.colours).tolist()
    sure, true = np.array(best), np.array(right)
    bins = np.minimum((sure * 10).astype(int), 9)
    error = sum(abs(sure[bins == b].mean() - true[bins == b].mean()) * (bins == b).mean() for b in set(bins))
    wrong = 1 - true.mean()
    return f"log loss {np.mean(loss):.2f} a photograph, calibration error {error:.3f}, wrong {wrong:.3f}"


def main() -> int:
    """Print the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    rng, looks, around = np.random.default_rng(20261128), renderings(BUILT_IN), world()
    for name, sensor in zip(("a mosaic of filters", "a stacked sensor"), around.cameras, strict=True):
        both = []
        for _ in range(2 * count):
            kinds = tuple(int(k) for k in rng.integers(len(BUILT_IN.names), size=rng.integers(2, 4)))
            taken = picture(rng, around, sensor, kinds)
            both.append(Lesson(tapped(taken.bands, taken.metal, taken.mean), kinds))
        taught, kept = both[:count], both[count:]
        started = time.process_time()
        found = learned_exponent(taught, looks)
        spent = time.process_time() - started
        scores = exponent_scores(taught, looks)
        needed = next((n for n in range(11, count + 1) if exponent_by(scores[:n]).earned), None)
        print(f"{name}: {found.lessons} photographs taught exponent {found.camera.exponent:.2f}")
        print(f"  evidence {found.evidence.nats:.1f} nats, earned after {needed}; {spent:.1f} s of processor")
        print(f"  {count} others as thought: {held_out(kept, looks, AS_THOUGHT)}")
        print(f"  {count} others as taught:  {held_out(kept, looks, found.camera)}")
    bands = [as_thought(rng, looks, FADED) for _ in range(2 * count)]
    started = time.process_time()
    aged = learned_ageing(bands[:count], [1.0] * count, looks)
    print(f"a park whose bands have faded: earned {aged.earned}, evidence {aged.evidence.nats:.1f} nats")
    print(f"  weights {np.round(aged.camera.ageing, 2).tolist()}; {time.process_time() - started:.1f} s")
    print(f"  others as thought: {held_out(bands[count:], looks, AS_THOUGHT)}")
    print(f"  others as taught:  {held_out(bands[count:], looks, aged.camera)}")
    pool = exponent_scores([as_thought(rng, looks, AS_THOUGHT.ageing) for _ in range(4 * count)], looks)
    false = sum(exponent_by(pool[rng.integers(len(pool), size=LATEST)]).earned for _ in range(ORDERS))
    print(f"a camera as thought: falsely earned in {false} of {ORDERS} orders of {LATEST} photographs")
    same = [as_thought(rng, looks, AS_THOUGHT.ageing) for _ in range(2 * LATEST)]
    drawn = ([same[at] for at in rng.integers(len(same), size=LATEST // 2)] for _ in range(FEWER))
    false = sum(learned_ageing(one, [1.0] * len(one), looks).earned for one in drawn)
    print(f"bands as thought: falsely earned in {false} of {FEWER} orders of {LATEST // 2} photographs")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
