"""Visits of transponders to antennas: whose they were, which lie, and which are nobody's."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from typing import Final

from tarsus.core.care.facts import LyingChip, UnknownChip
from tarsus.core.presence.transponders import GAP, LIES, Reads, Visit, visits
from tarsus.queries.flock import FlockBird
from tarsus.queries.last_seen import last_seen
from tarsus.queries.once import once
from tarsus.records.models import Transponder, TransponderRead
from tarsus.records.standing import standing

ASKED_FOR: Final = timedelta(days=14)
"""So long after it was read a code that is nobody's is asked about (ours)."""
LAID: Final = timedelta(days=2)
"""So long after its last read a chip that lies is looked for (ours)."""


def visits_between(exhibits: Collection[int] | None, since: datetime, until: datetime) -> tuple[Visit, ...]:
    """Visits whose last read is in a span, in one query; earlier reads as far as they may reach into it.

    Args:
        exhibits: of which; `None` for all.
        since: inclusive.
        until: exclusive.
    """
    rows = TransponderRead.objects.filter(until__gte=since - LIES - GAP, happened_at__lt=until)
    if exhibits is not None:
        rows = rows.filter(exhibit_id__in=exhibits)
    columns = ("code", "antenna", "happened_at", "until", "reads", "bird_id", "exhibit_id")
    told = (Reads(*row) for row in standing(rows).values_list(*columns))
    return tuple(one for one in visits(told) if since <= one.last < until)


@once
def _lately(now: datetime) -> tuple[Visit, ...]:
    return visits_between(None, now - ASKED_FOR, now)


def lying_chips(birds: Iterable[FlockBird], now: datetime) -> Iterator[LyingChip]:
    """Chips of living birds that read for hours on, as long as nobody has seen the bird since they lie."""
    living = {bird.bird_id: bird for bird in birds}
    lie = {
        one.bird: one
        for one in _lately(now)
        if one.last >= now - LAID and one.lies and one.bird is not None and one.bird in living
    }
    seen = last_seen(living[bird].bird_id for bird in lie) if lie else {}
    for bird, one in lie.items():
        if bird not in seen or seen[bird].at < one.first + LIES:
            hours = int((one.last - one.first).total_seconds() // 3600)
            yield LyingChip(bird, living[bird].name, one.exhibit, one.antenna, hours)


def unknown_chips(now: datetime) -> Iterator[UnknownChip]:
    """Codes that were read lately and are no bird's, each once, where it was read last."""
    latest: Mapping[str, Visit] = {one.code: one for one in _lately(now)}
    if not latest:
        return
    known = set(
        Transponder.objects.filter(number__in=latest, taken_back_at__isnull=True).values_list(
            "number", flat=True
        )
    )
    for code, one in sorted(latest.items()):
        if code not in known:
            yield UnknownChip(code, one.exhibit, one.antenna, one.last)
