"""How fast `tarsus --help` answers, against `python -c pass` in the same run (bound: under 3 times)."""

from __future__ import annotations

import subprocess
import sys
import sysconfig
import time
from pathlib import Path

RUNS = 25


def fastest(command: list[str]) -> float:
    """Least wall time of a command over some runs, in seconds: noise only ever adds."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        times.append(time.perf_counter() - start)
    return min(times)


if __name__ == "__main__":
    tarsus = str(Path(sysconfig.get_path("scripts")) / "tarsus")
    bare = fastest([sys.executable, "-c", "pass"])
    helped = fastest([tarsus, "--help"])
    ratio = helped / bare
    told = f"python -c pass {bare * 1e3:.1f} ms, tarsus --help {helped * 1e3:.1f} ms"
    print(f"{told}: {ratio:.2f} times (bound 3)")
    sys.exit(ratio >= 3)
