"""Print the figures of docs/science that no other benchmark makes: reading, study, catch-up, capacity.

    .venv/bin/python benchmarks/page_figures.py [reading study catch-up capacity]

Without a name all of them, some two minutes on one core.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from tarsus.core.care.catch_choice import choose
from tarsus.core.choosing.codes.capacity import capacity
from tarsus.core.documents.study import parse_study, season_tasks, study_as_document
from tarsus.core.marks.colour_vision import ColourVision
from tarsus.core.marks.marks import METAL, Marks, Reading
from tarsus.core.marks.palette import BUILT_IN
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED, UNTRAINED, Reader
from tarsus.core.readings.season import play_season

PUBLISHED = Path(__file__).resolve().parents[1] / "tests" / "published" / "code_bounds.json"


def read_wrongly(reader: Reader) -> tuple[float, float, float]:
    """Per cent of whole readings that are wrong, over all pairs of two colours: mean, least, most."""
    misreading = Misreading.of(reader, BUILT_IN)
    wrong = []
    for one in BUILT_IN.names:
        for other in BUILT_IN.names:
            bands = {"left leg": [METAL], "right leg": [one, other]}
            wrong.append(100 * (1 - misreading.reading_chance(Reading.of(bands), Marks.of(bands))))
    return float(np.mean(wrong)), min(wrong), max(wrong)


def reading() -> None:
    """Calibration, and the commonest confusions of usual and of deutan eyes."""
    for name, reader in (("trained", TRAINED), ("untrained", UNTRAINED)):
        mean, least, most = read_wrongly(reader)
        alone = read_wrongly(replace(reader, lost=0.0))[0]
        print(f"  {name}: {mean:.2f} % read wrongly ({least:.1f} to {most:.1f}); {alone:.2f} without lost")
    for name, eyes in (
        ("usual eyes", ColourVision("deutan", 0.0)),
        ("deutan 1", ColourVision("deutan", 1.0)),
    ):
        seen = Misreading.of(TRAINED, BUILT_IN, vision=eyes)
        table = seen.table[1:, 1:].copy()
        error = float(1 - np.diagonal(table).mean())
        np.fill_diagonal(table, 0.0)
        both = (table + table.T) / 2
        worst = np.argsort(-np.triu(both), axis=None)[:4]
        pairs = [divmod(int(at), len(both)) for at in worst]
        told = ", ".join(f"{BUILT_IN.names[i]} with {BUILT_IN.names[j]} {both[i, j]:.4f}" for i, j in pairs)
        print(f"  {name}: mean error {error:.4f}; {told}")


def study() -> None:
    """48 birds, a metal and two of nine colours, twelve seasons of forty rounds."""
    names = BUILT_IN.names[:9]
    document = {
        "palette": {name: BUILT_IN.hex_of(name) for name in names},
        "rule": {
            "metal": {"F": "left leg", "M": "right leg"},
            "colours": {"F": {"right leg": 2}, "M": {"left leg": 2}},
        },
        "flock": {"F": 24, "M": 24},
        "schemes": ["next free", "random free", "assigned"],
        "season": {"rounds": 40},
        "seasons": 12,
        "seed": 1,
    }
    asked = parse_study(document)
    answer = study_as_document(asked, [[play_season(one) for one in tasks] for tasks in season_tasks(asked)])
    for scheme in answer["schemes"]:
        print(f"  {scheme['name']}: misnamed {scheme['misnamed']}, unresolved {scheme['unresolved']}")


def catch_up() -> None:
    """200 birds of uneven worth and minutes."""
    rng = np.random.default_rng(5)
    worth, minutes = rng.integers(1, 30, 200) + rng.random(200), rng.uniform(2, 12, 200)
    start = time.process_time()
    caught = choose(worth.tolist(), minutes.tolist(), 180.0)
    assert caught is not None
    print(f"  200 birds: {len(caught)} caught, {time.process_time() - start:.2f} s")


def capacities() -> None:
    """How long each row of the published table of codes takes."""
    rows = [row for row in json.loads(PUBLISHED.read_text("utf-8"))["rows"] if row["lower"] <= 400]
    took = []
    for row in rows:
        start = time.process_time()
        capacity(row["q"], row["n"], row["d"])
        took.append(time.process_time() - start)
    print(f"  {len(took)} rows: slowest {max(took):.1f} s, {sum(t < 1 for t in took)} under one")


PAGES = {"reading": reading, "study": study, "catch-up": catch_up, "capacity": capacities}


def main() -> None:
    for name in sys.argv[1:] or PAGES:
        print(f"docs/science/{name}.md")
        PAGES[name]()


if __name__ == "__main__":
    main()
