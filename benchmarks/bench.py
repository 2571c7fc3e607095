"""What pages and jobs cost now, each beside a peer or a limit of the same run: one table.

With `--keep` the table is written into docs/performance.md, with the machine that it was made on.

    .venv/bin/python benchmarks/bench.py [--keep]
"""

from __future__ import annotations

import contextlib
import os
import platform
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from pathlib import Path

import checkpoint
import cold_start
import identify
import late_facts
import phone_start
from measured import Measured, as_table

import pages

PAGE = Path(__file__).resolve().parents[1] / "docs" / "performance.md"
BEGINS, ENDS = "<!-- the last table begins -->", "<!-- the last table ends -->"

JOBS: tuple[Callable[[], Iterable[Measured]], ...] = (
    pages.lines,
    late_facts.lines,
    checkpoint.lines,
    cold_start.lines,
    identify.lines,
    phone_start.lines,
)


def main() -> int:
    """Print the table; 1 where an aim is missed."""
    with contextlib.redirect_stdout(sys.stderr):  # what a job says meanwhile is no line of the table
        found = [line for job in JOBS for line in job()]
    table = as_table(found)
    print(table)
    if sys.argv[1:] == ["--keep"]:
        keep(table)
    return 0 if all(line.met for line in found) else 1


def keep(table: str) -> None:
    """Put the table into the page, in the place of the one before."""
    before, rest = PAGE.read_text("utf-8").split(BEGINS)
    after = rest.split(ENDS)[1]
    told = f"{BEGINS}\n{datetime.now(tz=UTC):%-d %B %Y}, {machine()}.\n\n{table}{ENDS}"
    PAGE.write_text(f"{before}{told}{after}", "utf-8")


def machine() -> str:
    """What a figure depends on: processor, cores, load, Python, SQLite, and which state of Tarsus."""
    model = next(
        (line.split(":")[1].strip() for line in _lines_of("/proc/cpuinfo") if line.startswith("model name")),
        platform.machine(),
    )
    at = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True, check=False)
    load = f"load {os.getloadavg()[0]:.0f} at the end"
    return (
        f"{model}, {os.cpu_count()} cores, {load}; Python {platform.python_version()}, "
        f"SQLite {sqlite3.sqlite_version}; commit {at.stdout.strip() or 'unknown'}"
    )


def _lines_of(path: str) -> list[str]:
    return Path(path).read_text("utf-8").splitlines() if Path(path).exists() else []


if __name__ == "__main__":
    sys.exit(main())
