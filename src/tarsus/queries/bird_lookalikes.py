"""The birds that a reading of one bird may name."""

from __future__ import annotations

from datetime import datetime

from tarsus.queries.clarity import Lookalike, lookalikes_of
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import birds_named, flock_of
from tarsus.queries.once import once


@once
def lookalikes_of_bird(bird_id: int, now: datetime) -> tuple[Lookalike, ...]:
    """The likeliest wrong names for one bird among those it lives with; none for one that lives nowhere."""
    today = day_of(now, park_zone())
    found = birds_named([bird_id], today)
    if not found:
        return ()
    living = flock_of(found[0].exhibit_id, today)
    return lookalikes_of(bird_id, [bird for bird in living if bird.lookalike == found[0].lookalike], today)
