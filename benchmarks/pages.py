"""CPU and queries of the pages and packs of the whole demo, against the sign-in page of the same run.

Each is measured three times: made anew right after a write, once the server asked ahead after one (decision
0062), and asked for again while nothing was written. The demo's history is measured whole and as a quarter: a
page costs the same with both. Times are the best of five, without the network.

    .venv/bin/python benchmarks/pages.py
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from measured import Measured, as_table

AIMS = {
    "Today": 15,
    "Bird": 15,
    "Exhibit": 10,
    "Flock": 10,
    "Catch-up": 10,
    "Catch-up of an exhibit": 10,
    "Pack of a roll call": 10,
    "Pack of *In hand*": 20,
    "Pack of a roll call, 304": 3,
    "Pack of *In hand*, 304": 3,
}
"""Times the sign-in page's CPU, while nothing was written since, or once it was asked ahead."""
GROWTH = 1.15
"""At most so many times the CPU with four times the history."""
DAYS, TIMES = 400, 5

Pages = dict[str, tuple[int, float, float, float]]
"""page -> queries and seconds of CPU made anew, seconds asked for again, seconds once asked ahead."""


def lines() -> Iterator[Measured]:
    """The lines of `make bench`."""
    quarter, whole = _measured(DAYS // 4), _measured(DAYS)
    sign_in = whole["Sign-in"][2]
    for page, aim in AIMS.items():
        queries, anew, again, ahead = whole[page]
        yield Measured(f"{page}, unwritten since", again, "sign-in page", sign_in, again / sign_in, most=aim)
        yield Measured(
            f"{page}, after a write, once asked ahead",
            ahead,
            "sign-in page",
            sign_in,
            ahead / sign_in,
            most=aim,
        )
        yield Measured(
            f"{page}, right after a write ({queries} queries)",
            anew,
            "sign-in page",
            sign_in,
            anew / sign_in,
        )
        before = quarter[page][1]
        yield Measured(
            f"{page}, right after a write, {DAYS} days of history",
            anew,
            f"{DAYS // 4} days",
            before,
            (anew / sign_in) / (before / quarter["Sign-in"][2]),
            most=GROWTH,
        )


def _measured(days: int) -> Pages:
    with tempfile.TemporaryDirectory() as home:
        surroundings = {**os.environ, "TARSUS_HOME": home}
        told = subprocess.run(
            [sys.executable, __file__, str(days)],
            env=surroundings,
            check=True,
            stdout=subprocess.PIPE,
            text=True,
        )
    pages: Pages = json.loads(told.stdout.splitlines()[-1])
    return pages


def measure(days: int) -> Pages:
    """Load the demo with so many days of history and open each page as its lead keeper."""
    from tarsus.cli.register import open_register

    open_register(make=True)
    from django.test import Client
    from django.urls import reverse

    from tarsus.demo.loaded import load_park
    from tarsus.demo.wendlebrook import demo_park
    from tarsus.records.models import Person

    park = load_park(demo_park(datetime.now(ZoneInfo("Europe/London")).date(), days=days))
    client, stranger = Client(headers={"host": "localhost"}), Client(headers={"host": "localhost"})
    client.force_login(Person.objects.get(login="hesper"), "django.contrib.auth.backends.ModelBackend")
    shingle, sedge = park.exhibits["Shingle Aviary"], park.birds["Sedge"]
    pages = {
        "Today": reverse("today"),
        "Bird": reverse("bird", args=[sedge]),
        "Exhibit": reverse("exhibit", args=[shingle]),
        "Flock": reverse("flock", args=[shingle, "avocet"]),
        "Catch-up": reverse("catch-up"),
        "Catch-up of an exhibit": reverse("catch-up-of", args=[shingle]),
        "Pack of a roll call": reverse("pack", args=[shingle]),
        "Pack of *In hand*": reverse("in-hand-pack"),
    }
    found = {"Sign-in": _opened(lambda: stranger.get(reverse("sign-in")), 200)}
    for name, address in pages.items():
        found[name] = _opened(lambda address=address: client.get(address), 200)
        if name.startswith("Pack"):
            tag = {"If-None-Match": client.get(address)["ETag"]}
            found[f"{name}, 304"] = _opened(
                lambda address=address, tag=tag: client.get(address, headers=tag), 304
            )
    return found


def _opened(page: Callable[[], Any], status: int) -> tuple[int, float, float, float]:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from tarsus.queries.once import ask_ahead
    from tarsus.records.models import Person

    def write() -> None:
        # Something else each time: what is written as it was is no write to SQLite.
        written = Person.objects.exclude(login="hesper").update(last_login=datetime.now(tz=UTC))
        assert written, "nobody was written to"

    page()  # brings modules in
    write()
    with CaptureQueriesContext(connection) as asked:
        answer = page()
    queries = len(asked)  # at once: the next request empties the log
    assert answer.status_code == status, f"answered {answer.status_code}, not {status}"
    anew, again, ahead = [], [], []
    for _ in range(TIMES):
        write()
        anew.append(_seconds(page))
        again.append(min(_seconds(page), _seconds(page)))
        write()
        ask_ahead()
        ahead.append(_seconds(page))
    return queries, min(anew), min(again), min(ahead)


def _seconds(page: Callable[[], Any]) -> float:
    began = time.process_time()
    page()
    return time.process_time() - began


def main() -> int:
    """Print the lines; 1 where an aim is missed."""
    found = list(lines())
    print(as_table(found))
    return 0 if all(line.met for line in found) else 1


if __name__ == "__main__":
    if len(sys.argv) > 1:
        print(json.dumps(measure(int(sys.argv[1]))))
        sys.exit(0)
    sys.exit(main())
