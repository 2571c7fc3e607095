"""What the roll calls of every flock said, in the order in which it happened, as the watch takes it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Final
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Count, Min, Q

from tarsus.core.presence.excuses import Excuse
from tarsus.core.presence.witnesses import CLEARS, Look, witnesses
from tarsus.core.words.certainty import DOUBTFUL_BELOW
from tarsus.queries.days import day_begins, day_of
from tarsus.queries.last_seen import OBSERVED
from tarsus.records.models import (
    Handling,
    Nest,
    NotLookedFor,
    RoundClosed,
    RoundNotDone,
    RoundStarted,
    Sighting,
    Species,
    Stay,
)
from tarsus.records.standing import standing

LAST_HOUR: Final = 23.999

_SIGHTING: Final = (
    *("exhibit_id", "round_id", "happened_at", "recorded_by_id"),
    *("bird_id", "how", "chance", "candidates"),
)

Flock = tuple[int, str]
"""Exhibit and look-alike group."""


@dataclass(frozen=True, slots=True)
class Called:
    """One roll call of an exhibit, or a casual sighting (`casual`), on a day.

    `hour`: of the day. `closed`: it was brought to its end, so that whoever was not seen was missed.
    `observed`: birds that were seen and named. `doubtful`: chance that each other bird was seen. `given_up`:
    groups that were not called in it. `read`: on how many independent readings those rest that nobody knew
    by sight.
    """

    day: date
    hour: float
    at: datetime
    closed: bool
    casual: bool
    observed: frozenset[int]
    doubtful: Mapping[int, float]
    given_up: frozenset[str] = frozenset()
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


def watch_facts(first: Mapping[int, date], until: datetime, zone: ZoneInfo) -> WatchFacts:
    """Everything the watch needs, in a number of queries that does not grow with birds or rounds.

    Args:
        first: for each exhibit the first day that is not yet in a checkpoint.
        until: only what happened before this moment.
        zone: the park's.

    Returns:
        Facts of those exhibits from their first days on; withdrawn facts are left out.
    """
    exhibits = list(first)
    begins = day_begins(min(first.values()), zone) if first else until
    residents = _residents(exhibits, min(first.values(), default=date.max), zone)
    calls, held = _calls(exhibits, begins, until, first, zone), _in_hand(residents, begins, until, zone)
    return WatchFacts(
        {exhibit: _in_turn([*told, *held.get(exhibit, ())]) for exhibit, told in calls.items()},
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
        counts_on = None if hatched is None else hatched + timedelta(days=species.counts_at_days)
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
        held = _called(_Round(at, observed={bird}), zone, casual=True)
        for exhibit, one in homes.get(bird, ()):
            if one.from_on <= held.day and (one.to_on is None or held.day < one.to_on):
                found[exhibit].append(held)
    return found


def _in_turn(calls: Iterable[Called]) -> tuple[Called, ...]:
    return tuple(sorted(calls, key=lambda call: (call.at, call.casual, sorted(call.observed))))


def strictest_limits() -> dict[str, int]:
    """Most unseen days of each look-alike group: the strictest of its species'."""
    strictest: dict[str, int] = {}
    for lookalike, days in Species.objects.values_list("lookalike", "max_unseen_days"):
        strictest[lookalike] = min(days, strictest.get(lookalike, days))
    return strictest


@dataclass(slots=True)
class _Round:
    """A round while it is gathered; one that was never started begins when it was given up."""

    began: datetime
    ended: datetime | None = None
    closed: bool = False
    observed: set[int] = field(default_factory=set)
    unseen_share: dict[int, float] = field(default_factory=dict)
    given_up: frozenset[str] = frozenset()
    looks: dict[int, list[Look]] = field(default_factory=dict)

    def add(self, seen: tuple[int | None, str, float, list[dict[str, float]]], at: datetime, by: int) -> None:
        """Take one sighting in: an observed bird, or by how much others become likelier to have been seen."""
        bird, how, chance, candidates = seen
        if bird is not None and how in OBSERVED and (how != "by reading" or chance >= DOUBTFUL_BELOW):
            self.observed.add(bird)
            self.looks.setdefault(bird, []).append(Look(at, by, how == "by sight"))
            return
        shares = {bird: chance} if bird is not None else {int(c["bird"]): c["chance"] for c in candidates}
        for one, share in shares.items():
            self.unseen_share[one] = self.unseen_share.get(one, 1.0) * (1.0 - share)


def _calls(
    exhibits: list[int], begins: datetime, until: datetime, first: Mapping[int, date], zone: ZoneInfo
) -> dict[int, tuple[Called, ...]]:
    rounds, exhibit_of = _rounds(exhibits, begins, until)
    casual: dict[int, list[_Round]] = defaultdict(list)
    sightings = (
        standing(Sighting.objects.filter(exhibit_id__in=exhibits))
        .filter(happened_at__gte=begins, happened_at__lt=until)
        .order_by("happened_at", "pk")
        .values_list(
            "exhibit_id",
            "round_id",
            "happened_at",
            "recorded_by_id",
            "bird_id",
            "how",
            "chance",
            "candidates",
        )
    )
    for exhibit, round_id, at, by, *seen in sightings.iterator(chunk_size=5000):
        known = rounds.get(round_id) if round_id is not None else None
        if known is None:
            known = _Round(at)
            casual[exhibit].append(known)
        known.add((seen[0], seen[1], seen[2], seen[3]), at, by)
    by_exhibit: dict[int, list[_Round]] = defaultdict(list)
    for round_id, one in rounds.items():
        by_exhibit[exhibit_of[round_id]].append(one)
    told = {}
    for exhibit in exhibits:
        called = [
            *_together(by_exhibit[exhibit], zone),
            *(_called(one, zone, casual=True) for one in casual[exhibit]),
        ]
        fresh = [call for call in called if call.day >= first[exhibit]]
        told[exhibit] = tuple(fresh)
    return told


def _rounds(
    exhibits: list[int], begins: datetime, until: datetime
) -> tuple[dict[UUID, _Round], dict[UUID, int]]:
    span = {"happened_at__gte": begins, "happened_at__lt": until, "round__exhibit_id__in": exhibits}
    rounds: dict[UUID, _Round] = {}
    exhibit_of: dict[UUID, int] = {}
    started = standing(RoundStarted.objects.filter(**span)).order_by("happened_at", "pk")
    for round_id, exhibit, at in started.values_list("round_id", "round__exhibit_id", "happened_at"):
        rounds[round_id], exhibit_of[round_id] = _Round(at), exhibit
    closed = standing(RoundClosed.objects.filter(**span)).order_by("happened_at", "pk")
    given_up = standing(RoundNotDone.objects.filter(**span)).order_by("happened_at", "pk")
    ends = [
        *((one, at, True, "") for one, at in closed.values_list("round_id", "happened_at")),
        *(
            (one, at, False, of)
            for one, at, of in given_up.values_list("round_id", "happened_at", "lookalike")
        ),
    ]
    for round_id, at, closes, lookalike in ends:
        if round_id in rounds and lookalike:
            # One group was not called; the round of the others goes on.
            rounds[round_id].given_up |= {lookalike}
        elif round_id in rounds:
            ended = rounds[round_id].ended
            rounds[round_id].closed |= closes
            rounds[round_id].ended = at if ended is None else min(at, ended)
    return rounds, exhibit_of


def _together(rounds: list[_Round], zone: ZoneInfo) -> list[Called]:
    """Rounds of one exhibit that were open at the same time are one roll call."""
    told: list[Called] = []
    joined: _Round | None = None
    for one in sorted(rounds, key=lambda r: r.began):
        if joined is not None and _open_at(joined, one.began, zone):
            joined = _merged(joined, one)
            continue
        if joined is not None:
            told.append(_called(joined, zone, casual=False))
        joined = one
    return [*told, _called(joined, zone, casual=False)] if joined is not None else told


def _open_at(one: _Round, moment: datetime, zone: ZoneInfo) -> bool:
    same_day = day_of(one.began, zone) == day_of(moment, zone)
    return same_day and (one.ended is None or moment <= one.ended)


def _merged(one: _Round, other: _Round) -> _Round:
    shares = dict(one.unseen_share)
    for bird, share in other.unseen_share.items():
        shares[bird] = shares.get(bird, 1.0) * share
    ended = None if one.ended is None or other.ended is None else max(one.ended, other.ended)
    return _Round(
        one.began,
        ended,
        one.closed or other.closed,
        one.observed | other.observed,
        shares,
        one.given_up & other.given_up,
        {bird: one.looks.get(bird, []) + other.looks.get(bird, []) for bird in {*one.looks, *other.looks}},
    )


def _called(one: _Round, zone: ZoneInfo, *, casual: bool) -> Called:
    doubtful = {bird: 1.0 - share for bird, share in one.unseen_share.items() if bird not in one.observed}
    day = day_of(one.began, zone)
    # A day of 25 hours ends before the next one begins.
    hour = min((one.began - day_begins(day, zone)).total_seconds() / 3600.0, LAST_HOUR)
    read = {bird: count for bird, looks in one.looks.items() if (count := witnesses(looks)) < CLEARS}
    observed = frozenset(one.observed)
    return Called(day, hour, one.began, one.closed, casual, observed, doubtful, one.given_up, read)
