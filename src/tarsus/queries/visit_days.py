"""On which days a machine knew a bird by its transponder: an antenna in a visit, or a perch scale.

Drawn beside how somebody saw it, and counted as nothing: what a visit is worth stands in decision 0049.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import replace
from datetime import date, datetime

from tarsus.queries.bird_strip import DayOfBird
from tarsus.queries.days import day_begins, day_of, park_zone
from tarsus.queries.transponders import visits_between
from tarsus.records.models import ToldDeed, Weighing
from tarsus.records.models.words import WeighedWhere
from tarsus.records.standing import standing

Strips = Mapping[int, tuple[DayOfBird, ...]]


def visit_days(bird_ids: Collection[int], since: datetime, now: datetime) -> dict[int, frozenset[date]]:
    """The days with a visit of each bird that had one, in three queries.

    A visit that may go on, and one of hours without a pause, says nothing of its bird: the chip may lie
    there.

    Args:
        bird_ids: which birds.
        since: from when on.
        now: the moment of asking.
    """
    zone = park_zone()
    found: dict[int, set[date]] = defaultdict(set)
    for visit in visits_between(None, since, now, bird_ids):
        if visit.bird is not None and visit.over(now) and not visit.lies:
            found[visit.bird] |= {day_of(visit.first, zone), day_of(visit.last, zone)}
    # A weight that somebody typed names its scale too; only the scale's own deed comes from a chip.
    on_scale = standing(
        Weighing.objects.filter(
            bird_id__in=bird_ids,
            where=WeighedWhere.PERCH_SCALE,
            happened_at__gte=since,
            happened_at__lt=now,
        )
    ).filter(pk__in=ToldDeed.objects.filter(kind="perch_weight").values("pk"))
    for bird, at in on_scale.values_list("bird_id", "happened_at"):
        found[bird].add(day_of(at, zone))
    return {bird: frozenset(days) for bird, days in found.items()}


def with_visits(strips: Strips, now: datetime) -> dict[int, tuple[DayOfBird, ...]]:
    """Strips with the days marked on which a machine knew the bird."""
    firsts = [days[0].day for days in strips.values() if days]
    if not firsts:
        return dict(strips)
    visits = visit_days(strips.keys(), day_begins(min(firsts), park_zone()), now)
    return {
        bird: tuple(replace(one, visited=one.day in visits.get(bird, ())) for one in days)
        for bird, days in strips.items()
    }
