"""Compare ways to choose marks: the habit, chance, general-purpose solvers, and `tarsus assign`.

Flocks of 30 to 60, nine colours, a metal band and two colours, a trained reader; all in one run, the solvers
with as many seconds as `assign` took. Run from the project's root: `python benchmarks/assignment.py`.

A name is judged in three ways. *always*: the observer names the likeliest bird every time. *sure*: only when
its chance is at least 95 %: that is what `assign` chooses marks for; with a sureness of 0 it chooses them for
the first. *look-up*: only when the reading is exactly what some bird wears, which is what a
list on paper does; that is how the habit is read.
"""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass

import networkx as nx
import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from tarsus.core.choosing.alikeness import alikeness
from tarsus.core.choosing.assignment import assigned
from tarsus.core.choosing.assignment_layout import laid_out
from tarsus.core.choosing.assignment_one import marks_for_one
from tarsus.core.choosing.assignment_problem import Problem
from tarsus.core.choosing.assignment_slots import Wanted, slots_of
from tarsus.core.choosing.clarity import flock_clarity
from tarsus.core.marks.birds import Bird
from tarsus.core.marks.candidates import number_possible, possible_marks
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.likelihoods import likelihoods
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, UNTRAINED

NINE = Palette(BUILT_IN.colours[:9])
METAL = {"F": "left leg", "M": "right leg"}
ONE_LAYOUT = MarkRule.of(METAL, {"F": {"right leg": 2}, "M": {"left leg": 2}})
APART = {"left leg": 1, "right leg": 1}
TWO_LAYOUTS = MarkRule.of(METAL, {"F": [{"right leg": 2}, APART], "M": [{"left leg": 2}, APART]})
RANDOM_TRIES = 20
AIM = 15.0
BOUND_MS = 50.0


@dataclass(frozen=True)
class Scored:
    """How often one scheme is misnamed, by the three ways to judge a name."""

    always: float
    sure: float
    unnamed: float
    lookup: float
    lookup_unnamed: float


def scored(marks: list[Marks], misreading: Misreading) -> Scored:
    """Judge one scheme."""
    clarity = flock_clarity([Bird(str(at), one) for at, one in enumerate(marks)], misreading)
    exactly = [Reading.of({site: one.at(site) for site in ("left leg", "right leg")}) for one in marks]
    read = likelihoods(misreading, exactly, marks)
    wrong = float((read.sum() - np.trace(read)) / len(marks))
    return Scored(
        clarity.misnamed,
        clarity.named_wrongly,
        clarity.left_in_doubt,
        wrong,
        1 - float(read.sum()) / len(marks),
    )


def next_free(rule: MarkRule, each: int) -> list[Marks]:
    """The habit: the next combination of the list, for either sex on its own leg."""
    return [marks for sex in "FM" for marks in possible_marks(rule, sex, NINE.names)[:each]]


def at_random(rule: MarkRule, each: int, rng: np.random.Generator) -> list[Marks]:
    """Any combinations that are free."""
    drawn: list[Marks] = []
    for sex in "FM":
        free = possible_marks(rule, sex, NINE.names)
        drawn += [free[k] for k in rng.choice(len(free), each, replace=False)]
    return drawn


def problem_of(rule: MarkRule, each: int, misreading: Misreading) -> tuple[Problem, list[Marks]]:
    """The whole problem, as facility location."""
    wanted = [Wanted(f"{sex}{at}", sex) for sex in "FM" for at in range(each)]
    slots = slots_of(wanted, [], rule, NINE.names, np.random.default_rng(1))
    layout = laid_out(slots, [], misreading, None, float(len(wanted)), np.random.default_rng(1), 0.0)
    return layout.problem, [choice[0] for choice in layout.taken]


def by_milp(rule: MarkRule, each: int, misreading: Misreading, seconds: float) -> list[Marks] | None:
    """The same objective as an integer programme for HiGHS, stopped after `seconds`."""
    problem, taken = problem_of(rule, each, misreading)
    options = problem.options
    some = np.flatnonzero(options.value > 1e-9)
    owner = np.repeat(np.arange(len(options)), np.diff(options.start))[some]
    readings, place = np.unique(options.reading[some], return_inverse=True)
    entries, count = len(some), len(options)
    at = np.arange(entries)
    rows = np.concatenate([at, at, entries + place, entries + len(readings) + options.kind])
    columns = np.concatenate([count + at, owner, count + at, np.arange(count)])
    values = np.concatenate([np.ones(entries), -np.ones(entries), np.ones(entries), np.ones(count)])
    top = np.concatenate([np.zeros(entries), np.ones(len(readings)), np.bincount(problem.slots)])
    low = np.concatenate([np.full(entries + len(readings), -np.inf), np.bincount(problem.slots)])
    matrix = coo_array((values, (rows, columns)), shape=(len(top), count + entries)).tocsc()
    solved = milp(
        np.concatenate([np.zeros(count), -options.value[some]]),
        integrality=np.concatenate([np.ones(count, dtype=int), np.zeros(entries, dtype=int)]),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(matrix, low, top),
        options={"time_limit": seconds},
    )
    return None if solved.x is None else [taken[k] for k in np.flatnonzero(solved.x[:count] > 0.5)]


def by_independent_sets(
    rule: MarkRule, each: int, misreading: Misreading, seconds: float, rng: np.random.Generator
) -> list[Marks] | None:
    """Independent sets of the graph of alike marks at many thresholds, the best of those in time."""
    options = [(sex, marks) for sex in "FM" for marks in possible_marks(rule, sex, NINE.names)]
    alike = alikeness(misreading, [m for _, m in options], [m for _, m in options])
    np.fill_diagonal(alike, 0.0)
    ends, best, most = time.monotonic() + seconds, None, np.inf
    thresholds = np.quantile(alike, np.linspace(0.55, 0.999, 40))
    graphs: dict[int, nx.Graph[int]] = {}
    while time.monotonic() < ends:
        at = int(rng.integers(len(thresholds)))
        if at not in graphs:
            graphs[at] = nx.from_numpy_array(alike > thresholds[at])
        found = nx.maximal_independent_set(graphs[at], seed=int(rng.integers(2**31)))
        chosen = [[k for k in found if options[k][0] == sex][:each] for sex in "FM"]
        if min(map(len, chosen)) < each:
            continue
        marks = [options[k][1] for some in chosen for k in some]
        wrong = flock_clarity([Bird(str(k), one) for k, one in enumerate(marks)], misreading).misnamed
        if wrong < most:
            best, most = marks, wrong
    return best


def row(name: str, score: Scored, seconds: float | None = None) -> None:
    """Print one line."""
    took = "" if seconds is None else f"{seconds:7.1f} s"
    print(
        f"  {name:<34}{score.always:8.3%}{score.sure:9.3%}{score.unnamed:9.2%}"
        f"{score.lookup:10.3%}{score.lookup_unnamed:9.2%}{took}"
    )


def mean(scores: list[Scored]) -> Scored:
    """The mean of several schemes."""
    return Scored(*np.mean([list(vars(score).values()) for score in scores], axis=0).tolist())


def compare(label: str, rule: MarkRule, birds: int, misreading: Misreading) -> bool:
    """All ways for one flock; whether the aims are met."""
    each, rng = birds // 2, np.random.default_rng(birds)
    wanted = [Wanted(f"{sex}{at}", sex) for sex in "FM" for at in range(each)]
    began = time.monotonic()
    found = assigned([], wanted, rule, NINE.names, misreading, sureness=0.0)
    took = time.monotonic() - began
    careful = assigned([], wanted, rule, NINE.names, misreading)
    scores = {
        "next free combination": scored(next_free(rule, each), misreading),
        "random free (mean of 20)": mean(
            [scored(at_random(rule, each, rng), misreading) for _ in range(RANDOM_TRIES)]
        ),
    }
    milp_marks = by_milp(rule, each, misreading, took)
    sets_marks = by_independent_sets(rule, each, misreading, took, rng)
    for name, marks in (("HiGHS, equal time", milp_marks), ("independent sets, equal time", sets_marks)):
        if marks is not None:
            scores[name] = scored(marks, misreading)
    scores["assign, sureness 0"] = scored(list(found.marks.values()), misreading)
    scores["assign"] = scored(list(careful.marks.values()), misreading)
    print(f"\n{label}, {birds} birds; no scheme goes below {found.lower_bound:.3%} (always)")
    print(f"  {'':<34}{'always':>8}{'sure':>9}{'unnamed':>9}{'look-up':>10}{'unnamed':>9}")
    for name, score in scores.items():
        row(name, score, took if name == "assign, sureness 0" else None)
    for name in ("HiGHS, equal time", "independent sets, equal time"):
        if name not in scores:
            print(f"  {name:<34}found no scheme in that time")
    return ratios(scores)


def ratios(scores: dict[str, Scored]) -> bool:
    """How many times fewer wrong names than the habit, which is read by look-up; whether the aims are met."""
    habit = scores["next free combination"].lookup
    always, careful = scores["assign, sureness 0"], scores["assign"]
    others = [score.always for name, score in scores.items() if not name.startswith("assign")]
    never_worse = always.always <= min(others) + 1e-9
    print(
        f"  fewer wrong names than next free with look-up: sure {habit / careful.sure:.0f}x, "
        f"look-up {habit / careful.lookup:.0f}x, always {habit / always.always:.1f}x; "
        f"never worse than the others: {never_worse}"
    )
    return never_worse and habit / careful.sure >= AIM


def one_new_bird() -> bool:
    """One new bird in a flock of 300 among some 50,000 marks; whether it took less than its bound."""
    rng = np.random.default_rng(3)
    slowest = 0.0
    for colours, bands in ((6, 3), (15, 2)):
        names = dict(BUILT_IN.colours) | {"gold": "#c9a227", "teal": "#0f8b8d"}
        palette = Palette.of(dict(list(names.items())[:colours]))
        misreading = Misreading.of(TRAINED, palette)
        rule = MarkRule.of(colours={"U": {"left leg": bands, "right leg": bands}})
        options = possible_marks(rule, "U", palette.names)
        worn = [Bird(str(k), options[k]) for k in rng.choice(len(options), 300, replace=False)]
        times: list[float] = []
        for _ in range(20):
            began = time.perf_counter()
            marks_for_one(worn, rule, "U", palette.names, misreading)
            times.append(time.perf_counter() - began)
        count = number_possible(rule, "U", palette.names)
        took_ms = float(np.median(times)) * 1000
        slowest = max(slowest, took_ms)
        print(f"\none new bird in a flock of 300 among {count} marks: {took_ms:.0f} ms (median)")
    return slowest < BOUND_MS


def untrained(each: int = 24) -> bool:
    """The same scheme under an untrained reader."""
    misreading = Misreading.of(UNTRAINED, NINE)
    return compare("untrained reader, metal and two on the other leg", ONE_LAYOUT, 2 * each, misreading)


def main() -> int:
    """Run everything and print it; 1 where an aim is missed."""
    met = [one_new_bird()]
    misreading = Misreading.of(TRAINED, NINE)
    for birds in (30, 40, 48, 60):
        met.append(compare("metal and two on the other leg", ONE_LAYOUT, birds, misreading))
    for birds in (30, 48, 60):
        met.append(compare("metal and two where they go", TWO_LAYOUTS, birds, misreading))
    met.append(untrained())
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
