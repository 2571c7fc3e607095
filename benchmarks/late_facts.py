"""What a fact that comes late costs Today: CPU of a page before it, right after it, and once it is kept.

.venv/bin/python benchmarks/late_facts.py [days late ...]
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta
from uuid import uuid4

from measured import Measured, as_table

AIM = 1.2
"""Right after a late fact *Today* costs at most so many times what it cost before."""


def main(days_late: list[int]) -> int:
    """Print the lines; 1 where the aim is missed."""
    found = list(lines(days_late))
    print(as_table(found))
    return 0 if all(line.met for line in found) else 1


def lines(days_late: Sequence[int] = (2, 20)) -> Iterator[Measured]:
    """The lines of `make bench`: the demo in a register of its own."""
    with tempfile.TemporaryDirectory() as home:
        surroundings = {**os.environ, "TARSUS_HOME": home}
        command = [sys.executable, __file__, "--measure", *map(str, days_late)]
        told = subprocess.run(command, env=surroundings, check=True, stdout=subprocess.PIPE, text=True)
    for days, before, after, healed in json.loads(told.stdout.splitlines()[-1]):
        job = f"Today, a sighting {days} days late"
        yield Measured(job, after, "Today before it", before, after / before, most=AIM)
        yield Measured(f"{job}, once kept", healed, "Today before it", before, healed / before, most=AIM)


def measured(days_late: list[int]) -> list[tuple[int, float, float, float]]:
    """Days late; seconds of CPU of *Today* before, right after, and once the watch is kept again."""
    from tarsus.cli.register import open_register

    open_register(make=True)
    from tarsus.actions.presence import keep_checkpoints
    from tarsus.demo.loaded import load_demo
    from tarsus.queries.today import today_at
    from tarsus.records import models as rows

    loaded = load_demo()
    now = datetime.now().astimezone()
    keep_checkpoints(now)
    today_at(now)  # brings modules in
    found = []
    for days in days_late:
        before = least(today_at)
        seen = rows.Sighting.objects.filter(happened_at__lt=now - timedelta(days=days), bird__isnull=False)
        seen = seen.order_by("-happened_at").first()
        assert seen is not None
        rows.Sighting.objects.create(
            id=uuid4(),
            exhibit_id=seen.exhibit_id,
            bird_id=seen.bird_id,
            how="by sight",
            accepted_by_id=next(iter(loaded.people.values())),
            recorded_by_id=next(iter(loaded.people.values())),
            happened_at=seen.happened_at,
        )
        after = least(today_at)
        keep_checkpoints(datetime.now().astimezone())
        found.append((days, before, after, least(today_at)))
    return found


def least(deed: Callable[[datetime], object]) -> float:
    """The least CPU of three, in seconds: other work on the machine only ever adds."""
    took = []
    for _ in range(3):
        began = time.process_time()
        deed(datetime.now().astimezone())
        took.append(time.process_time() - began)
    return min(took)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--measure"]:
        print(json.dumps(measured([int(days) for days in sys.argv[2:]])))
        sys.exit(0)
    sys.exit(main([int(days) for days in sys.argv[1:]] or [2, 20]))
