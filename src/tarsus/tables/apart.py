"""A file from outside is taken apart in a process of its own, which may fail without the park's failing.

The process has so much time and memory and no more. It reads the file from its standard input and answers
with one JSON document; whatever else becomes of it is a sentence about the file.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import Any, Final

from tarsus.tables.rows import Grid, UnreadableTable

SECONDS: Final = 20
"""Of work; twenty thousand lines of twenty columns take a third of it on two slow cores."""
PATIENCE_SECONDS: Final = 90
"""By the clock, for a machine that is busy with other things."""
MEMORY_BYTES: Final = 1536 * 1024 * 1024
_TOO_MUCH: Final = "takes more time or memory than a table of birds needs; save the table by itself, as CSV"


def grids_apart(contents: bytes, name: str) -> tuple[Grid, ...]:
    """The cells of every filled sheet of a file, read in a process of its own.

    Args:
        contents: the file: XLSX, or text with commas, semicolons, tabs or bars.
        name: what to call the file in a refusal.

    Raises:
        UnreadableTable: it is none, or takes more time, memory, columns or cells than can be meant.
    """
    try:
        done = subprocess.run(
            # -P: what lies in the folder where Tarsus was started is nothing to import.
            [sys.executable, "-P", "-m", "tarsus.tables.apart", name.replace("\0", " ")],
            input=contents,
            capture_output=True,
            timeout=PATIENCE_SECONDS,
            env=surroundings(),
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise UnreadableTable(name, _TOO_MUCH) from None
    if done.returncode != 0:
        raise UnreadableTable(name, _TOO_MUCH)
    answer = json.loads(done.stdout)
    if "refused" in answer:
        raise UnreadableTable(*answer["refused"])
    return tuple(_grid(one) for one in answer["grids"])


def surroundings() -> dict[str, str]:
    """The whole environment of the process: it reads what a stranger may have made, and gets nothing of ours.

    The spreadsheet library imports the numerical one, which takes some 40 MB of address space a core: on a
    machine of forty cores that alone would be past the bound.
    """
    return {
        "PYTHONPATH": os.pathsep.join(path for path in sys.path if path),
        "OPENBLAS_NUM_THREADS": "1",
    }


def _grid(told: list[Any]) -> Grid:
    name, lines, merged, faults = told
    return Grid(
        name,
        tuple((line, tuple(cells)) for line, cells in lines),
        tuple(map(tuple, merged)),
        tuple(map(tuple, faults)),
    )


def _bound_myself() -> None:
    """Give this process so much time and memory and no more, where the platform can."""
    try:
        import resource
    except ImportError:
        return
    for what, most in (
        (resource.RLIMIT_CPU, SECONDS),
        (resource.RLIMIT_AS, MEMORY_BYTES),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_FSIZE, 0),
    ):
        _, allowed = resource.getrlimit(what)
        within = most if allowed == resource.RLIM_INFINITY else min(most, allowed)
        resource.setrlimit(what, (within, within))


def _taken_apart(contents: bytes, name: str) -> tuple[Grid, ...]:
    from tarsus.tables.csv_in import csv_grid
    from tarsus.tables.xlsx_in import MOST_CELLS, xlsx_grids

    grids = xlsx_grids(contents, name) if contents.startswith(b"PK") else (csv_grid(contents, name),)
    cells = sum(len(line) for grid in grids for _, line in grid.lines)
    if cells > MOST_CELLS:
        raise UnreadableTable(name, f"has more than {MOST_CELLS} cells; save the table of birds by itself")
    return grids


def main() -> int:
    """Take the file on standard input apart, named by the first argument."""
    _bound_myself()
    name = sys.argv[1]
    answer: dict[str, Any]
    try:
        grids = _taken_apart(sys.stdin.buffer.read(), name)
        answer = {"grids": [[one.name, one.lines, one.merged, one.faults] for one in grids]}
    except UnreadableTable as refusal:
        answer = {"refused": [refusal.place, refusal.message]}
    except MemoryError:
        answer = {"refused": [name, _TOO_MUCH]}
    sys.stdout.write(json.dumps(answer))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
