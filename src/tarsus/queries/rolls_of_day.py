"""The roll calls of every exhibit on the day that is running, in a number of queries that does not grow."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from tarsus.core.rounds.call import RollCall
from tarsus.core.rounds.facts import Sighted
from tarsus.core.rounds.fold import roll_calls
from tarsus.core.rounds.naming import INFERRED, clears
from tarsus.core.rounds.span import STALE_HOURS
from tarsus.queries.days import day_begins, day_ends, day_of, park_zone
from tarsus.queries.round_facts import ByExhibit, course_facts, names_told, rounds_begun
from tarsus.records.models import Sighting


@dataclass(frozen=True, slots=True)
class RollFacts:
    """The roll calls of one exhibit, and who was seen or only inferred in them or between them."""

    calls: tuple[RollCall, ...]
    seen: frozenset[int] = frozenset()
    inferred: frozenset[int] = frozenset()


NOTHING_TOLD: Final = RollFacts(())


def rolls_of_day(now: datetime) -> dict[int, RollFacts]:
    """The roll calls of the park's day by exhibit, with everybody who was seen since its midnight."""
    zone = park_zone()
    day = day_of(now, zone)
    begins = day_begins(day, zone)
    told = _course(begins, day_ends(day, zone))
    begun = {fact.round for facts in told.values() for fact in facts}
    seen: dict[int, list[Sighted]] = defaultdict(list)
    for exhibit, fact in names_told(Sighting.objects.filter(happened_at__gte=begins)):
        seen[exhibit].append(fact)
        if fact.round in begun:  # of a round of yesterday the name counts, and calls nobody today
            told[exhibit].append(fact)
    return {
        exhibit: RollFacts(roll_calls(told[exhibit], zone, now), *_named(seen[exhibit]))
        for exhibit in {*told, *seen}
    }


def course_since(since: datetime, now: datetime) -> dict[int, RollFacts]:
    """The roll calls of every exhibit that went on since a moment, with their counts, without any names."""
    zone = park_zone()
    first = since - timedelta(hours=STALE_HOURS)
    told = _course(first, day_ends(day_of(now, zone), zone))
    return {exhibit: RollFacts(roll_calls(facts, zone, now)) for exhibit, facts in told.items()}


def _course(first: datetime, last: datetime) -> ByExhibit:
    # The ids first: as a part of each question they would be looked for in every table anew.
    rounds = list(rounds_begun(first, last).values_list("pk", flat=True))
    return course_facts({"round__in": rounds})


def _named(sightings: list[Sighted]) -> tuple[frozenset[int], frozenset[int]]:
    seen = {one.bird for one in sightings if one.bird is not None and clears(one.bird, one.how, one.chance)}
    inferred = {one.bird for one in sightings if one.bird is not None and one.how == INFERRED}
    return frozenset(seen), frozenset(inferred) - seen
