"""What the roll calls of every flock said, in the order in which it happened, as the watch takes it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import reduce
from operator import or_
from typing import Final
from zoneinfo import ZoneInfo

from django.db.models import Count, Min, Q

from tarsus.core.presence.chicks import counts_from
from tarsus.core.presence.excuses import Excuse
from tarsus.core.rounds.call import RollCall
from tarsus.core.rounds.facts import FactId, Sighted, Started
from tarsus.core.rounds.fold import roll_calls
from tarsus.core.rounds.naming import clears
from tarsus.queries.days import day_begins, day_of
from tarsus.queries.round_facts import ByExhibit, course_facts, names_told
from tarsus.queries.transponders import visits_between
from tarsus.queries.watch_readings import independent_readings
from tarsus.records.models import (
    Handling,
    Nest,
    NotLookedFor,
    RoundNotDone,
    Sighting,
    Species,
    Stay,
)
from tarsus.records.standing import standing

LAST_HOUR: Final = 23.999

NO_WITNESS: Final = 0
"""What a machine's reads count for against a standing alarm, as photographs do."""

_SIGHTING: Final = (
    *("exhibit_id", "round_id", "happened_at", "recorded_by_id"),
    *("bird_id", "how", "chance", "candidates"),
)

Flock = tuple[int, str]
"""Exhibit and look-alike group."""


@dataclass(frozen=True, slots=True)
class Called:
    """One roll call of an exhibit, or a casual sighting (`casual`), on a day.

    `hour`: of the day. `called`: the look-alike groups that were called to the end in it, so that whoever
    was not seen of them was missed. `observed`: birds that were seen and named. `doubtful`: chance that
    each other bird was seen. `read`: on how many independent readings those rest that nobody knew by sight.
    """

    day: date
    hour: float
    at: datetime
    casual: bool
    called: frozenset[str]
    observed: frozenset[int]
    doubtful: Mapping[int, float]
    read: Mapping[int, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Lived:
    """A bird lived in an exhibit from a day until, not including, another.

    `counts_on`: the day from which it is looked for. `told_on`: the day on which the register heard of it.
    """

    bird_id: int
    from_on: date
    to_on: date | None
    counts_on: date | None
    told_on: date

    def grown(self, day: date) -> bool:
        """Whether it is looked for on a day."""
        return self.counts_on is None or day >= self.counts_on


@dataclass(frozen=True, slots=True)
class WatchFacts:
    """Roll calls by exhibit in order, residents by flock, excuses, and the strictest limit of each group."""

    calls: Mapping[int, tuple[Called, ...]]
    residents: Mapping[Flock, tuple[Lived, ...]]
    excuses: tuple[Excuse, ...]
    max_unseen_days: Mapping[str, int]

    def excuses_of(self, bird_id: int, exhibit_id: int) -> tuple[Excuse, ...]:
        """What was said of a bird, or of every bird of its exhibit, that it is not looked for."""
        return tuple(e for e in self.excuses if e.bird_id == bird_id or e.exhibit_id == exhibit_id)


@dataclass(frozen=True, slots=True)
class Spoken:
    """Which days are spoken of: those before `until`; as they are known at `known_at`, `until` or later.

    A round belongs to the day on which it was begun. One that was closed after midnight is so for a
    checkpoint of the day before too, as for a rebuilding years later.
    """

    until: datetime
    known_at: datetime


def watch_facts(first: Mapping[int, date], spoken: Spoken, zone: ZoneInfo) -> WatchFacts:
    """Everything the watch needs, in a number of queries that does not grow with birds or rounds.

    Args:
        first: for each exhibit the first day that is not yet in a checkpoint.
        spoken: only what happened before its `until`.
        zone: the park's.

    Returns:
        Facts of those exhibits from their first days on; withdrawn facts are left out.
    """
    exhibits = list(first)
    begins = day_begins(min(first.values()), zone) if first else spoken.until
    residents = _residents(exhibits, min(first.values(), default=date.max), zone)
    calls = _calls(exhibits, begins, spoken, first, zone)
    held = _in_hand(residents, begins, spoken.until, zone)
    read = _visits(exhibits, begins, spoken.until, zone)
    return WatchFacts(
        {
            exhibit: _in_turn([*told, *held.get(exhibit, ()), *read.get(exhibit, ())])
            for exhibit, told in calls.items()
        },
        residents,
        _excuses(exhibits, zone),
        strictest_limits(),
    )


def resident_flocks(exhibits: Iterable[int], day: date) -> dict[Flock, date]:
    """Flocks that have birds on a day, each with the day on which its first bird ever came."""
    here = Q(from_on__lte=day) & (Q(to_on__isnull=True) | Q(to_on__gt=day))
    rows = (
        Stay.objects.filter(exhibit_id__in=list(exhibits), taken_back_at__isnull=True)
        .values("exhibit_id", "bird__species__lookalike")
        .annotate(first=Min("from_on"), now=Count("pk", filter=here))
        .values_list("exhibit_id", "bird__species__lookalike", "first", "now")
    )
    return {(exhibit, lookalike): first for exhibit, lookalike, first, now in rows if now}


def _residents(exhibits: Iterable[int], since: date, zone: ZoneInfo) -> dict[Flock, tuple[Lived, ...]]:
    stays = (
        Stay.objects.filter(exhibit_id__in=exhibits, taken_back_at__isnull=True)
        .filter(Q(to_on__isnull=True) | Q(to_on__gt=since))
        .select_related("bird__species")
        .order_by("bird_id", "from_on")
    )
    found: dict[Flock, list[Lived]] = defaultdict(list)
    for stay in stays:
        species, hatched = stay.bird.species, stay.bird.hatched_on
        counts_on = counts_from(hatched, species.counts_at_days)
        found[stay.exhibit_id, species.lookalike].append(
            Lived(stay.bird_id, stay.from_on, stay.to_on, counts_on, day_of(stay.recorded_at, zone))
        )
    return {flock: tuple(lived) for flock, lived in found.items()}


def _excuses(exhibits: Iterable[int], zone: ZoneInfo) -> tuple[Excuse, ...]:
    columns = ("from_on", "to_on", "why", "recorded_at")
    spells = NotLookedFor.objects.filter(taken_back_at__isnull=True).order_by("pk")
    said = [
        Excuse(bird, exhibit, from_on, to_on, why, day_of(at, zone))
        for bird, exhibit, from_on, to_on, why, at in spells.values_list("bird_id", "exhibit_id", *columns)
    ]
    nests = Nest.objects.filter(taken_back_at__isnull=True, pair__isnull=False, exhibit_id__in=exhibits)
    pairs = ("pair__first_id", "pair__second_id", "from_on", "to_on", "recorded_at")
    sitting = [
        Excuse(bird, None, from_on, to_on, "nest-sitting", day_of(at, zone))
        for first, second, from_on, to_on, at in nests.order_by("pk").values_list(*pairs)
        for bird in (first, second)
    ]
    return (*said, *sitting)


def _in_hand(
    residents: Mapping[Flock, tuple[Lived, ...]], begins: datetime, until: datetime, zone: ZoneInfo
) -> dict[int, list[Called]]:
    """Birds that were in the hand, by the exhibit they lived in: no look is surer."""
    homes: dict[int, list[tuple[int, Lived]]] = defaultdict(list)
    for (exhibit, _), lived in residents.items():
        for one in lived:
            homes[one.bird_id].append((exhibit, one))
    found: dict[int, list[Called]] = defaultdict(list)
    handlings = standing(Handling.objects.filter(happened_at__gte=begins, happened_at__lt=until))
    for bird, at in handlings.order_by("happened_at", "pk").values_list("bird_id", "happened_at"):
        held = Called(*_when(at, zone), True, frozenset(), frozenset({bird}), {})
        for exhibit, one in homes.get(bird, ()):
            if one.from_on <= held.day and (one.to_on is None or held.day < one.to_on):
                found[exhibit].append(held)
    return found


def _visits(
    exhibits: list[int], begins: datetime, until: datetime, zone: ZoneInfo
) -> dict[int, list[Called]]:
    """The last visit of each day of each transponder to an antenna: its bird was there, and nobody looked.

    One that may go on says nothing yet: it may turn out to be a chip that lies there.
    """
    latest: dict[tuple[int, int, date], Called] = {}
    for visit in visits_between(exhibits, begins, until):
        if visit.bird is not None and visit.over(until) and not visit.lies:
            when = _when(visit.last, zone)
            seen = Called(*when, True, frozenset(), frozenset({visit.bird}), {}, {visit.bird: NO_WITNESS})
            latest[visit.exhibit, visit.bird, seen.day] = seen
    found: dict[int, list[Called]] = defaultdict(list)
    for (exhibit, _, _), seen in latest.items():
        found[exhibit].append(seen)
    return found


def _in_turn(calls: Iterable[Called]) -> tuple[Called, ...]:
    return tuple(sorted(calls, key=lambda call: (call.at, call.casual, sorted(call.observed))))


def strictest_limits() -> dict[str, int]:
    """Most unseen days of each look-alike group: the strictest of its species'."""
    strictest: dict[str, int] = {}
    for lookalike, days in Species.objects.values_list("lookalike", "max_unseen_days"):
        strictest[lookalike] = min(days, strictest.get(lookalike, days))
    return strictest


def _calls(
    exhibits: list[int], begins: datetime, spoken: Spoken, first: Mapping[int, date], zone: ZoneInfo
) -> dict[int, tuple[Called, ...]]:
    told, begun = _course(exhibits, begins, spoken)
    casual: dict[int, list[Sighted]] = defaultdict(list)
    sightings = Sighting.objects.filter(_since(first, zone), happened_at__lt=spoken.known_at)
    for exhibit, fact in names_told(sightings):
        if fact.round in begun:
            told[exhibit].append(fact)
        elif fact.round is None and fact.happened_at < spoken.until:
            casual[exhibit].append(fact)
    return {
        exhibit: tuple(
            call
            for call in _called(roll_calls(told[exhibit], zone, spoken.known_at), casual[exhibit], zone)
            if call.day >= first[exhibit]
        )
        for exhibit in exhibits
    }


def _called(rolls: Sequence[RollCall], casual: Sequence[Sighted], zone: ZoneInfo) -> list[Called]:
    """The roll calls and casual sightings of one exhibit, with what the readings of a day make together."""
    sighted = [(day_of(roll.begun_at, zone), roll.sightings) for roll in rolls]
    alone = [(day_of(fact.happened_at, zone), (fact,)) for fact in casual]
    read = independent_readings([*sighted, *alone])
    return [
        *(_rolled(roll, of, zone) for roll, of in zip(rolls, read, strict=False)),
        *(_casual(fact, of, zone) for fact, of in zip(casual, read[len(rolls) :], strict=True)),
    ]


def _since(first: Mapping[int, date], zone: ZoneInfo) -> Q:
    """What happened in each exhibit from its own first day on: one that is carried from further back, since
    something of it came late, costs the others nothing.
    """
    by_day: dict[date, list[int]] = defaultdict(list)
    for exhibit, day in first.items():
        by_day[day].append(exhibit)
    spans = (
        Q(exhibit_id__in=exhibits, happened_at__gte=day_begins(day, zone)) for day, exhibits in by_day.items()
    )
    return reduce(or_, spans, Q(pk__in=()))


def _course(exhibits: list[int], begins: datetime, spoken: Spoken) -> tuple[ByExhibit, set[FactId]]:
    """The course of the rounds begun in the span, and which they are; what was told of others is left out.

    A round belongs to the day on which it was begun, with everything that was told of it since.
    """
    # By time alone: asked by exhibit as well, SQLite goes through all rounds that the exhibits ever had.
    span = {"happened_at__gte": begins, "happened_at__lt": spoken.known_at}
    told = {exhibit: facts for exhibit, facts in course_facts(span).items() if exhibit in set(exhibits)}
    never_started = RoundNotDone.objects.filter(happened_at__gte=begins, round__started__isnull=True)
    given_up = set(never_started.values_list("round_id", flat=True))
    begun = {
        fact.round
        for facts in told.values()
        for fact in facts
        if fact.happened_at < spoken.until and (isinstance(fact, Started) or fact.round in given_up)
    }
    mine = {exhibit: [fact for fact in facts if fact.round in begun] for exhibit, facts in told.items()}
    return defaultdict(list, mine), begun


def _casual(fact: Sighted, read: Mapping[int, int], zone: ZoneInfo) -> Called:
    """A sighting outside any round: who was seen was seen, and nobody was looked for."""
    seen = {fact.bird} if fact.bird is not None and clears(fact.bird, fact.how, fact.chance) else ()
    return Called(*_when(fact.happened_at, zone), True, frozenset(), frozenset(seen), {}, read)


def _rolled(call: RollCall, read: Mapping[int, int], zone: ZoneInfo) -> Called:
    when = _when(call.begun_at, zone)
    return Called(*when, False, call.called, call.observed, call.likely, read)


def _when(at: datetime, zone: ZoneInfo) -> tuple[date, float, datetime]:
    day = day_of(at, zone)
    # A day of 25 hours ends before the next one begins.
    return day, min((at - day_begins(day, zone)).total_seconds() / 3600.0, LAST_HOUR), at
