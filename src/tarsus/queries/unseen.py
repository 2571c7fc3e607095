"""Birds that were looked for and not seen, the most worrying first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from django.db.models import Count as Times
from django.db.models import Q

from tarsus.core.presence.advice import ADVICE, DEFAULT_CAUTION, advised
from tarsus.core.presence.loss import daily_loss, gone_after_misses
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import FlockBird
from tarsus.queries.last_seen import OBSERVED, LastSeen, last_seen
from tarsus.queries.marks import on_day
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.records.models import NotLookedFor, Park, Round, Sighting
from tarsus.records.standing import standing

USUAL_OVER: Final = timedelta(days=60)
USUAL_BEFORE: Final = 0.9
"""Chance of being seen in a round before anything is known of a bird, worth `WORTH` rounds. Ours."""
WORTH: Final = 5
MOST_MISSES: Final = 400


@dataclass(frozen=True, slots=True)
class Unseen:
    """A bird on the roll that nobody saw when it was last looked for.

    `missed` is the number of closed roll calls of its exhibit since it was last seen, `unseen_days` the days
    since then. `usual` is its chance of being seen in an ordinary round, `still_here` the chance that it is
    still there. `limit_reached` says that the species' own limit makes it *search*, whatever else is known.
    """

    portrait: Portrait
    advice: str
    missed: int
    unseen_days: int
    max_unseen_days: int
    limit_reached: bool
    usual: float
    still_here: float
    last: LastSeen | None
    places: tuple[tuple[str, float], ...]
    since: date


@dataclass(frozen=True, slots=True)
class Excused:
    """A bird that is not looked for, and why."""

    portrait: Portrait
    why: str
    until: date | None


def unseen_birds(birds: Iterable[FlockBird], now: datetime) -> tuple[Unseen, ...]:
    """Birds missed by the latest closed roll call of their exhibit, or unseen for their species' limit.

    Args:
        birds: whom to ask about; those off the roll and those that are not looked for are passed over.
        now: the moment of asking.

    Returns:
        Most worrying first: by advice, then by days unseen, then by name. A bird that was only inferred is
        still unseen.

    Source:
        docs/science/presence.md: the closed form for misses, with the species' limit as a floor.
    """
    zone = park_zone()
    today = day_of(now, zone)
    excused = _not_looked_for(today)
    asked = [bird for bird in birds if bird.counted and not _is_excused(bird, excused)]
    seen = last_seen([bird.bird_id for bird in asked], now)
    calls = _closed_calls(now)
    times = _times_seen([bird.bird_id for bird in asked], now)
    loss = daily_loss(Park.objects.values_list("gone_per_year", flat=True).first() or 0.05)
    worrying = []
    for bird in asked:
        last = seen.get(bird.bird_id)
        missed, days = _missed(bird, last, calls, zone), _days(bird, last, today, zone)
        # Without a roll call brought to its end a bird is given one day more before its limit speaks.
        if missed or days > bird.max_unseen_days:
            usual = _usual(bird, times.get(bird.bird_id, 0), calls, zone)
            worrying.append(_unseen(bird, last, missed, days, usual, loss))
    places = usual_places_of([one.portrait.bird_id for one in worrying], now)
    found = [replace(one, places=places.get(one.portrait.bird_id, ())[:3]) for one in worrying]
    return tuple(
        sorted(found, key=lambda one: (-ADVICE.index(one.advice), -one.unseen_days, one.portrait.name))
    )


def excused_birds(birds: Iterable[FlockBird], today: date) -> tuple[Excused, ...]:
    """Birds that nobody has to look for today: on a nest, in moult, off show."""
    excused = _not_looked_for(today)
    found = []
    for bird in birds:
        spell = excused.get(("bird", bird.bird_id)) or excused.get(("exhibit", bird.exhibit_id))
        if bird.counted and spell:
            found.append(Excused(portrait_of(bird), spell[0], spell[1]))
    return tuple(sorted(found, key=lambda one: (one.why, one.portrait.name)))


def usual_places_of(bird_ids: Iterable[int], until: datetime) -> dict[int, tuple[tuple[str, float], ...]]:
    """Where birds were seen in the last sixty days, with shares, the likeliest place first; in one query."""
    rows = (
        standing(Sighting.objects.all())
        .filter(
            bird_id__in=list(bird_ids),
            place__isnull=False,
            how__in=OBSERVED,
            happened_at__gt=until - USUAL_OVER,
            happened_at__lte=until,
        )
        .values_list("bird_id", "place__name")
        .annotate(times=Times("pk"))
        .order_by("bird_id", "-times", "place__name")
    )
    found: dict[int, list[tuple[str, int]]] = defaultdict(list)
    for bird, place, times in rows:
        if bird is not None:
            found[bird].append((place, times))
    return {
        bird: tuple((place, times / sum(n for _, n in at)) for place, times in at)
        for bird, at in found.items()
    }


_Excuses = dict[tuple[str, int], tuple[str, date | None]]


def _not_looked_for(today: date) -> _Excuses:
    spells = NotLookedFor.objects.filter(on_day(today)).values_list("bird_id", "exhibit_id", "why", "to_on")
    found: _Excuses = {}
    for bird, exhibit, why, until in spells:
        found["bird" if bird is not None else "exhibit", bird if bird is not None else exhibit] = (why, until)
    return found


def _is_excused(bird: FlockBird, excused: _Excuses) -> bool:
    return ("bird", bird.bird_id) in excused or ("exhibit", bird.exhibit_id) in excused


def _closed_calls(now: datetime) -> dict[int, list[datetime]]:
    """When the roll calls of each exhibit began that were brought to their end; the newest first."""
    over = now - USUAL_OVER
    rounds = (
        Round.objects.filter(Q(started__happened_at__gte=over) & Q(started__happened_at__lte=now))
        .filter(closings__isnull=False)
        .order_by("-started__happened_at")
        .values_list("exhibit_id", "started__happened_at")
        .distinct()
    )
    found: dict[int, list[datetime]] = defaultdict(list)
    for exhibit, began in rounds:
        found[exhibit].append(began)
    return found


def _missed(bird: FlockBird, last: LastSeen | None, calls: dict[int, list[datetime]], zone: ZoneInfo) -> int:
    """Closed roll calls begun since the bird was last seen, or since the day after it came to live there."""
    began = calls.get(bird.exhibit_id, [])
    if last is not None and last.at.astimezone(zone).date() >= bird.since:
        return sum(at > last.at for at in began)
    return sum(at.astimezone(zone).date() > bird.since for at in began)


def _days(bird: FlockBird, last: LastSeen | None, today: date, zone: ZoneInfo) -> int:
    since = bird.since if last is None else max(bird.since, last.at.astimezone(zone).date())
    return max(0, (today - since).days)


def _times_seen(bird_ids: list[int], now: datetime) -> dict[int, int]:
    """In how many closed roll calls of the last sixty days each bird was seen."""
    rows = standing(Sighting.objects.filter(bird_id__in=bird_ids, how__in=OBSERVED)).filter(
        round__closings__isnull=False, happened_at__gt=now - USUAL_OVER, happened_at__lte=now
    )
    counted = rows.values("bird_id").annotate(rounds=Times("round", distinct=True))
    return {bird: rounds for bird, rounds in counted.values_list("bird_id", "rounds") if bird is not None}


def _usual(bird: FlockBird, seen: int, calls: dict[int, list[datetime]], zone: ZoneInfo) -> float:
    """A bird's chance of being seen in an ordinary round, drawn toward what is usual of birds."""
    called = sum(at.astimezone(zone).date() > bird.since for at in calls.get(bird.exhibit_id, []))
    return (min(seen, called) + USUAL_BEFORE * WORTH) / (called + WORTH)


def _unseen(
    bird: FlockBird, last: LastSeen | None, missed: int, days: int, usual: float, loss: float
) -> Unseen:
    gone = gone_after_misses(loss, usual, min(missed, MOST_MISSES)) if missed else loss
    # The core passes over birds that were not missed; one that nobody looked for so long is searched for too.
    advice = advised(gone, max(missed, 1), days, bird.max_unseen_days, DEFAULT_CAUTION)
    return Unseen(
        portrait=portrait_of(bird),
        advice=advice,
        missed=missed,
        unseen_days=days,
        max_unseen_days=bird.max_unseen_days,
        limit_reached=days >= bird.max_unseen_days,
        usual=usual,
        still_here=1.0 - gone,
        last=last,
        places=(),
        since=bird.since,
    )
