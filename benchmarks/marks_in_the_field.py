"""Sure wrong names where observers err otherwise than the model that marks are chosen by.

48 birds, half females, half males; the metal on the side of the sex, two of nine colours on the other leg. A
field is drawn: every cell of the table of confused colours is off by a factor (log-normal, so that some pairs
are taken for each other five times as often as the model says and others hardly ever), colours are misread
twice as often on the whole, sides exchanged less than half as often, bands overlooked four times as often.
Readings are named by the model, from 95 % on, and judged by the field: exactly, over all readings.

Compared in the same run: the next free combination, read by exact look-up as from a list; the former loss,
which counts every wrong best guess; the default; and marks chosen by the field's own errors, which nobody
knows: the limit. Run from the project's root: `python benchmarks/marks_in_the_field.py`.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.assignment import assigned
from tarsus.core.choosing.assignment_slots import Wanted
from tarsus.core.choosing.clarity import SURENESS
from tarsus.core.choosing.reading_tables import site_table
from tarsus.core.marks.free_marks import next_free
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, UNTRAINED, Reader

NINE = Palette(BUILT_IN.colours[:9])
RULE = MarkRule.of({"F": "left leg", "M": "right leg"}, {"F": {"right leg": 2}, "M": {"left leg": 2}})
SEXES = ["F"] * 24 + ["M"] * 24
WANTED = [Wanted(f"{sex}{at}", sex) for at, sex in enumerate(SEXES)]
SITES = ("left leg", "right leg")
FIELDS = 6
SPREAD = 0.8
LIMIT_SECONDS = 3.0
AIMS = {"trained": 17.0, "untrained": 15.0}
"""Times fewer than the habit; the limit of the same run says what can be had in these fields."""

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Judged:
    """Of 1,000 readings: named wrongly, and left in doubt."""

    wrongly: float
    in_doubt: float


def field(model: Misreading, rng: np.random.Generator) -> Misreading:
    """Errors of the same kinds as the model's, and of other sizes."""
    off = model.table - np.diag(np.diag(model.table))
    off = 2.0 * off * np.exp(rng.normal(0.0, SPREAD, off.shape) - SPREAD**2 / 2)
    table = off + np.diag(1.0 - off.sum(axis=1))
    return replace(
        model,
        swap=0.4 * model.swap,
        overlook=4.0 * model.overlook,
        confusion=tuple(tuple(map(float, row)) for row in table),
    )


def chances(observer: Misreading, marks: Sequence[Marks]) -> Floats:
    """``(B, K)`` chance of every reading of both legs, for every bird."""
    stacks = sorted({one.at(site) for one in marks for site in SITES})
    table = site_table(observer, stacks)
    assert table is not None
    left, right = (table[[stacks.index(one.at(site)) for one in marks]] for site in SITES)
    straight = left[:, :, None] * right[:, None, :]
    crossed = right[:, :, None] * left[:, None, :]
    return ((1 - observer.swap) * straight + observer.swap * crossed).reshape(len(marks), -1)


def judged(marks: Sequence[Marks], model: Misreading, truth: Misreading) -> Judged:
    """Named by the model from `SURENESS` on, wrong by the field."""
    by_model, by_field = chances(model, marks), chances(truth, marks)
    best = by_model.argmax(axis=0)
    sure = by_model.max(axis=0) >= SURENESS * by_model.sum(axis=0)
    others = by_field.sum(axis=0) - by_field[best, np.arange(len(best))]
    return Judged(
        float(others[sure].sum()) / len(marks) * 1000,
        float(by_field.sum(axis=0)[~sure].sum()) / len(marks) * 1000,
    )


def by_list(marks: Sequence[Marks], truth: Misreading) -> Judged:
    """Named where the reading is exactly what some bird wears."""
    exact = chances(Misreading.of(Reader(0, 0, 0, 0, 0), NINE), marks).argmax(axis=1)
    read = chances(truth, marks)[:, exact]
    return Judged(
        float(read.sum() - np.trace(read)) / len(marks) * 1000, (1 - float(read.sum()) / len(marks)) * 1000
    )


def compare(name: str, reader: Reader) -> bool:
    """All ways for one reader over all fields; whether the aim is met."""
    model, aim = Misreading.of(reader, NINE), AIMS[name]
    habit = next_free(RULE, SEXES, NINE.names)
    former = list(assigned([], WANTED, RULE, NINE.names, model, sureness=0.0).marks.values())
    began = time.process_time()
    default = list(assigned([], WANTED, RULE, NINE.names, model).marks.values())
    took = time.process_time() - began
    print(f"\n{name} reader; the default took {took:.1f} s of one core")
    print(f"  of 1,000 readings{'next free, list':>22}{'former loss':>16}{'default':>16}{'limit':>16}")
    ratios: list[list[float]] = []
    for at in range(FIELDS):
        truth = field(model, np.random.default_rng(at))
        own = assigned([], WANTED, RULE, NINE.names, truth, seconds=LIMIT_SECONDS)
        scores = [
            by_list(habit, truth),
            judged(former, model, truth),
            judged(default, model, truth),
            judged(list(own.marks.values()), truth, truth),
        ]
        ratios.append([scores[0].wrongly / score.wrongly for score in scores[1:]])
        told = "".join(f"{score.wrongly:9.2f} / {score.in_doubt:4.0f}" for score in scores)
        print(f"  field {at}   wrong / doubt {told}   x {'  x '.join(f'{r:.1f}' for r in ratios[-1])}")
    mean = np.exp(np.log(ratios).mean(axis=0))
    print(
        f"  fewer sure wrong names than the next free combination (geometric mean): former loss "
        f"{mean[0]:.1f}x, default {mean[1]:.1f}x, limit {mean[2]:.1f}x; aim {aim:.0f}x"
    )
    return bool(mean[1] >= aim)


def main() -> int:
    """Run everything and print it; 1 where an aim is missed."""
    met = [compare("trained", TRAINED), compare("untrained", UNTRAINED)]
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
