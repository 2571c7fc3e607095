"""Birds that were looked for and not seen, the most worrying first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db.models import Count as Times

from tarsus.core.presence.advice import PRESENT, SEARCH, worry
from tarsus.queries.flock import FlockBird
from tarsus.queries.last_seen import CLEARED, USUAL_OVER, LastSeen, last_seen
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.queries.presence import BirdPresence
from tarsus.records.models import Sighting
from tarsus.records.standing import standing


@dataclass(frozen=True, slots=True)
class Unseen:
    """A bird on the roll that nobody saw when it was last looked for.

    `missed` is the number of roll calls since it was last seen, `unseen_days` the days since then. `usual` is
    its chance of being seen in an ordinary round, `still_here` the chance that it is still there,
    `looks_needed` how many more misses would settle that it is gone. `limit_reached` says that the species'
    own limit makes it *search*, whatever else is known. `by_count` is the chance that it is among the
    missing of a short count, 0 where no count is short or it is hardly among them.
    """

    portrait: Portrait
    advice: str
    missed: int
    unseen_days: int
    max_unseen_days: int
    limit_reached: bool
    usual: float
    still_here: float
    looks_needed: int | None
    by_count: float
    last: LastSeen | None
    places: tuple[tuple[str, float], ...]
    since: date


@dataclass(frozen=True, slots=True)
class Excused:
    """A bird that is not looked for, and why."""

    portrait: Portrait
    why: str


def unseen_birds(
    birds: Iterable[FlockBird],
    presence: Mapping[int, BirdPresence],
    now: datetime,
    by_count: Mapping[int, float] | None = None,
) -> tuple[Unseen, ...]:
    """Birds missed since they were last seen, or unseen for their species' limit; in three queries.

    Args:
        birds: whom to ask about; those off the roll and those that are not looked for are passed over.
        presence: where each bird stands.
        now: the moment of asking.
        by_count: birds that may be missing from a short count, with the chance of it.

    Returns:
        Most worrying first: those to search, those that a short count points at, those to look again for,
        then by how likely each is gone. A bird that was only inferred is still unseen.
    """
    short = by_count or {}
    asked = [bird for bird in birds if bird.counted and bird.bird_id in presence]
    worrying = [
        (bird, stands)
        for bird in asked
        if not (stands := presence[bird.bird_id]).excused
        and (stands.unseen_rounds or stands.advice != PRESENT)
    ]
    ids = [bird.bird_id for bird, _ in worrying]
    seen, places = last_seen(ids, now), usual_places_of(ids, now)
    found = [
        replace(
            _unseen(bird, stands, short.get(bird.bird_id, 0.0)),
            last=seen.get(bird.bird_id),
            places=places.get(bird.bird_id, ())[:3],
        )
        for bird, stands in worrying
    ]
    return tuple(sorted(found, key=_worry))


def _worry(one: Unseen) -> tuple[bool, float, int, float, str]:
    return worry(one.advice == SEARCH, one.by_count, one.advice, one.still_here, one.portrait.name)


def excused_birds(birds: Iterable[FlockBird], presence: Mapping[int, BirdPresence]) -> tuple[Excused, ...]:
    """Birds that nobody has to look for today: on a nest, in moult, off show."""
    found = [
        Excused(portrait_of(bird), presence[bird.bird_id].excused)
        for bird in birds
        if bird.counted and bird.bird_id in presence and presence[bird.bird_id].excused
    ]
    return tuple(sorted(found, key=lambda one: (one.why, one.portrait.name)))


def usual_places_of(bird_ids: Iterable[int], until: datetime) -> dict[int, tuple[tuple[str, float], ...]]:
    """Where birds were seen in the last sixty days, with shares, the likeliest place first; in one query."""
    rows = (
        standing(Sighting.objects.all())
        .filter(
            CLEARED,
            bird_id__in=list(bird_ids),
            place__isnull=False,
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


def _unseen(bird: FlockBird, stands: BirdPresence, by_count: float) -> Unseen:
    return Unseen(
        portrait=portrait_of(bird),
        advice=stands.advice,
        missed=stands.unseen_rounds,
        unseen_days=stands.unseen_days,
        max_unseen_days=bird.max_unseen_days,
        limit_reached=stands.unseen_days >= bird.max_unseen_days,
        usual=stands.usual,
        still_here=stands.still_here,
        looks_needed=stands.looks_needed,
        by_count=by_count,
        last=None,
        places=(),
        since=bird.since,
    )
