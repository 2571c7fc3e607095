"""Visits of transponders to antennas: whose they were, which lie, and which are nobody's."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from typing import Final

from django.db.models import QuerySet

from tarsus.core.care.facts import LyingChip, UnknownChip
from tarsus.core.presence.transponders import GAP, LIES, Reads, Visit, visits
from tarsus.queries.flock import FlockBird
from tarsus.queries.last_seen import last_seen
from tarsus.queries.once import once
from tarsus.records.models import Transponder, TransponderRead
from tarsus.records.standing import standing

ASKED_FOR: Final = timedelta(days=14)
"""So long after it was read a code that is nobody's is asked about (ours)."""


@once
def any_read() -> bool:
    """Whether a transponder was ever read in the park: most have no antenna, and ask nothing more."""
    return TransponderRead.objects.exists()


def visits_between(
    exhibits: Collection[int] | None,
    since: datetime,
    until: datetime,
    birds: Collection[int] | None = None,
) -> tuple[Visit, ...]:
    """Visits whose last read is in a span, in two queries; earlier reads as far as they may reach into it.

    Args:
        exhibits: of which; `None` for all.
        since: inclusive.
        until: exclusive.
        birds: of which; `None` for all, and for codes that are nobody's.
    """
    if not any_read():
        return ()
    rows = TransponderRead.objects.filter(until__gte=since - LIES - GAP, happened_at__lt=until)
    if exhibits is not None:
        rows = rows.filter(exhibit_id__in=exhibits)
    if birds is not None:
        rows = rows.filter(bird_id__in=birds)
    return tuple(one for one in _folded(rows) if since <= one.last < until)


def _folded(rows: QuerySet[TransponderRead]) -> tuple[Visit, ...]:
    columns = ("code", "antenna", "happened_at", "until", "reads", "bird_id", "exhibit_id")
    return visits(Reads(*row) for row in standing(rows).values_list(*columns))


@once
def _lately(now: datetime) -> tuple[Visit, ...]:
    return visits_between(None, now - ASKED_FOR, now)


def lying_chips(birds: Iterable[FlockBird], now: datetime) -> Iterator[LyingChip]:
    """Chips of living birds that read for hours on, as long as nobody has seen the bird since they lie.

    However long ago that was. Four queries where transponders are read, none of them longer than what was
    read within a fortnight and, of birds that nobody saw for as long, since they were seen.
    """
    if not any_read():
        return
    living = {bird.bird_id: bird for bird in birds}
    lie = _lying(one for one in _lately(now) if one.bird in living)
    chipped = {bird for bird, one in living.items() if one.transponder}
    seen = last_seen(chipped | lie.keys())
    unseen = {bird for bird in chipped if bird not in seen or seen[bird].at < now - ASKED_FOR}
    if unseen:
        rows = TransponderRead.objects.filter(bird_id__in=unseen, happened_at__lt=now)
        if unseen <= seen.keys():
            rows = rows.filter(until__gte=min(seen[bird].at for bird in unseen))
        lie |= _lying(_folded(rows))
    for bird, one in lie.items():
        if bird not in seen or seen[bird].at < one.first + LIES:
            hours = int((one.last - one.first).total_seconds() // 3600)
            yield LyingChip(bird, living[bird].name, one.exhibit, one.antenna, hours)


def _lying(told: Iterable[Visit]) -> dict[int, Visit]:
    """Of each bird the latest visit in which its chip lay."""
    return {one.bird: one for one in told if one.lies and one.bird is not None}


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
