"""Queries and time of the pages that are opened all day, in a small park and in the whole one of one run.

The small park has the avocets and ibises only and twenty days behind it, the whole one 246 birds and four
hundred days; in both a bird is searched for and a count is short. Today and the roll call (page and pack)
must ask the register the same number of questions in both: the bound. Times are the best of five, without
the network.

    .venv/bin/python benchmarks/pages.py
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

BOUND = ("Today", "Exhibits", "Roll call", "Pack of the roll call", "Who is it?")
TIMES = 5


def main() -> int:
    """Measure both parks, each in a register of its own, and compare."""
    small, whole = _measured("--small"), _measured("--whole")
    print(f"{'':24}{'queries':>18}{'milliseconds':>22}{'times':>8}")
    print(f"{'page':24}{'small':>9}{'whole':>9}{'small':>11}{'whole':>11}{'longer':>8}")
    grown = []
    for page, (asked, took) in small.items():
        asked_whole, took_whole = whole[page]
        ratio = took_whole / took
        print(f"{page:24}{asked:>9}{asked_whole:>9}{1e3 * took:>11.0f}{1e3 * took_whole:>11.0f}{ratio:>8.1f}")
        if page in BOUND and asked != asked_whole:
            grown.append(page)
    if grown:
        print(f"the number of queries grows with the park on: {', '.join(grown)}")
        return 1
    print(f"the same number of queries in both on: {', '.join(BOUND)}")
    return 0


def _measured(size: str) -> dict[str, tuple[int, float]]:
    with tempfile.TemporaryDirectory() as home:
        surroundings = {**os.environ, "TARSUS_HOME": home}
        told = subprocess.run(
            [sys.executable, __file__, size], env=surroundings, check=True, stdout=subprocess.PIPE, text=True
        )
    pages: dict[str, tuple[int, float]] = json.loads(told.stdout)
    return pages


def measure(*, small: bool) -> dict[str, tuple[int, float]]:
    """Load a park and open each page as its lead keeper."""
    from tarsus.cli.register import open_register

    open_register(make=True)
    from django.test import Client
    from django.urls import reverse

    from tarsus.demo.loaded import load_demo, load_park
    from tarsus.demo.species import AVOCET, IBIS
    from tarsus.demo.wendlebrook import part_of_park
    from tarsus.records.models import Person

    today = datetime.now(ZoneInfo("Europe/London")).date()
    park = load_park(part_of_park(today, (AVOCET, IBIS))) if small else load_demo(today)
    client = Client(headers={"host": "localhost"})
    client.force_login(Person.objects.get(login="hesper"), "django.contrib.auth.backends.ModelBackend")
    shingle, sedge = park.exhibits["Shingle Aviary"], park.birds["Sedge"]
    pages = {
        "Today": reverse("today"),
        "Exhibits": reverse("exhibits"),
        "Roll call": reverse("roll-call", args=[shingle]),
        "Pack of the roll call": reverse("pack", args=[shingle]),
        "Who is it?": reverse("who"),
        "Exhibit": reverse("exhibit", args=[shingle]),
        "Flock": reverse("flock", args=[shingle, "avocet"]),
        "Bird": reverse("bird", args=[sedge]),
    }
    return {name: _opened(client, address) for name, address in pages.items()}


def _opened(client: Any, address: str) -> tuple[int, float]:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    # The first time brings modules in and carries the watch forward; what is measured is every time after.
    for _ in range(2):
        answer = client.get(address)
        assert answer.status_code == 200, f"{address} answered {answer.status_code}"
    with CaptureQueriesContext(connection) as asked:
        client.get(address)
    queries = len(asked)  # at once: the next request empties the log
    assert queries > 0, f"{address} asked nothing"
    took = []
    for _ in range(TIMES):
        began = time.perf_counter()
        client.get(address)
        took.append(time.perf_counter() - began)
    return queries, min(took)


if __name__ == "__main__":
    if sys.argv[1:] in (["--small"], ["--whole"]):
        print(json.dumps(measure(small=sys.argv[1] == "--small")))
        sys.exit(0)
    sys.exit(main())
