"""How fast `tarsus --help` answers, against `python -c pass`, and `tarsus serve` its first page.

.venv/bin/python benchmarks/cold_start.py
"""

from __future__ import annotations

import socket
import subprocess
import sys
import sysconfig
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from measured import Measured, as_table

RUNS = 25


def fastest(command: list[str]) -> float:
    """Least wall time of a command over some runs, in seconds: noise only ever adds."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        times.append(time.perf_counter() - start)
    return min(times)


def first_answer(tarsus: str) -> float:
    """Seconds from `tarsus serve` on a register that is there until its first page, the least of three."""
    times = []
    with tempfile.TemporaryDirectory() as home:
        for run in range(4):
            with closing(socket.socket()) as free:
                free.bind(("127.0.0.1", 0))
                port = free.getsockname()[1]
            start = time.perf_counter()
            command = [tarsus, "serve", "--home", home, "--port", str(port)]
            with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as served:
                try:
                    _wait_for(f"http://127.0.0.1:{port}/sign-in/", served)
                    if run:  # the first makes the tables
                        times.append(time.perf_counter() - start)
                finally:
                    served.terminate()
    return min(times)


def _wait_for(address: str, served: subprocess.Popen[bytes]) -> None:
    while served.poll() is None:
        try:
            with urllib.request.urlopen(address, timeout=5):
                return
        except urllib.error.HTTPError:
            return  # any answer is one
        except OSError:
            time.sleep(0.01)
    raise RuntimeError("the server ended before it answered")


def lines() -> Iterator[Measured]:
    """The lines of `make bench`."""
    tarsus = str(Path(sysconfig.get_path("scripts")) / "tarsus")
    bare = fastest([sys.executable, "-c", "pass"])
    helped = fastest([tarsus, "--help"])
    yield Measured("tarsus --help", helped, "python -c pass", bare, helped / bare, most=3)
    answered = first_answer(tarsus)
    yield Measured("tarsus serve to its first answer", answered, "limit", 2.0, answered / 2, most=1)


if __name__ == "__main__":
    found = list(lines())
    print(as_table(found))
    sys.exit(not all(line.met for line in found))
