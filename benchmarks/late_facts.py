"""What a fact that comes late costs Today: CPU of a page before it, right after it, and once it is kept.

.venv/bin/python benchmarks/late_facts.py [days late ...]
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4


def main(days_late: list[int]) -> None:
    with tempfile.TemporaryDirectory() as home:
        os.environ["TARSUS_HOME"] = home
        from tarsus.cli.register import open_register

        open_register(make=True)
        measured(days_late)


def measured(days_late: list[int]) -> None:
    from tarsus.actions.presence import keep_checkpoints
    from tarsus.demo.loaded import load_demo
    from tarsus.queries.today import today_at
    from tarsus.records import models as rows

    loaded = load_demo()
    now = datetime.now().astimezone()
    seconds(keep_checkpoints, now)
    print(f"checkpoints: {rows.PresenceCheckpoint.objects.count()}")
    today_at(now)  # brings modules in
    print(f"Today: {seconds(today_at, now):.2f} s")
    for days in days_late:
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
        now = datetime.now().astimezone()
        after, kept = seconds(today_at, now), seconds(keep_checkpoints, datetime.now().astimezone())
        healed = seconds(today_at, datetime.now().astimezone())
        print(f"{days} days late: Today {after:.2f} s, keeping {kept:.2f} s, Today again {healed:.2f} s")


def seconds(deed: Any, *told: Any) -> float:
    began = time.process_time()
    deed(*told)
    return time.process_time() - began


if __name__ == "__main__":
    main([int(days) for days in sys.argv[1:]] or [2, 20])
