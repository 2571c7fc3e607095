"""What the pack says of each bird's presence, in a number of queries that does not grow with the flock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from django.db.models import Count, QuerySet

from tarsus.core.presence.advice import LOOK_AGAIN, PRESENT, SEARCH
from tarsus.core.presence.loss import daily_loss, gone_after_misses
from tarsus.queries.days import day_of
from tarsus.queries.flock import FlockBird
from tarsus.queries.last_seen import OBSERVED, LastSeen, last_seen, usual_places
from tarsus.queries.marks import on_day
from tarsus.records.models import NotLookedFor, Park, RoundClosed, Sighting
from tarsus.records.standing import standing

OVER: Final = timedelta(days=60)
USUAL_BEFORE: Final = 0.9
"""Chance of being seen in a round before anything is known of a bird, worth `WORTH` rounds. Ours."""
WORTH: Final = 5
MOST_MISSES: Final = 400


@dataclass(frozen=True, slots=True)
class BirdPresence:
    """Where one bird stands. Shares of `places` sum to 1; `excused` says why it is not looked for, if so."""

    last: LastSeen | None
    places: dict[int, float]
    unseen_days: int
    advice: str
    still_here: float
    usual: float
    excused: str


def presences(
    exhibit_id: int, birds: Sequence[FlockBird], now: datetime, zone: ZoneInfo
) -> dict[int, BirdPresence]:
    """Where each bird of an exhibit stands before the next round.

    Returns:
        bird -> its presence. `unseen_days` counts today only once a round of today was closed without the
        bird: at dawn one seen last evening has missed no day. `still_here` weighs a daily hazard against the
        closed rounds since it was last seen; *search* stands wherever the species' limit is reached, whatever
        the model says.

    Source:
        docs/science/presence.md: the closed form for daily misses.
    """
    today = day_of(now, zone)
    ids = [bird.bird_id for bird in birds]
    last, places, excused = last_seen(ids, now), usual_places(exhibit_id, now), _not_looked_for(today)
    closed = _closed_rounds(exhibit_id, now)
    times = _times_seen(closed)
    begun = sorted(closed.values_list("round__started__happened_at", flat=True))
    share = Park.objects.values_list("gone_per_year", flat=True).first()
    loss = daily_loss(0.05 if share is None else share)
    found = {}
    for bird in birds:
        seen = last.get(bird.bird_id)
        since = bird.since if seen is None else max(bird.since, day_of(seen.at, zone))
        usual = _usual(times.get(bird.bird_id, 0), _rounds_since(begun, bird.since, zone))
        misses = sum(at > seen.at for at in begun) if seen else _rounds_since(begun, since, zone)
        looked_today = any(day_of(at, zone) == today and (seen is None or at > seen.at) for at in begun)
        days = max(0, (today - since).days - (not looked_today))
        found[bird.bird_id] = BirdPresence(
            last=seen,
            places=places.get(bird.bird_id, {}),
            unseen_days=days,
            advice=_advice(days, bird.max_unseen_days, misses),
            still_here=1.0 - gone_after_misses(loss, usual, min(misses, MOST_MISSES))
            if misses
            else 1.0 - loss,
            usual=usual,
            excused=excused.get(bird.bird_id, ""),
        )
    return found


def _advice(days: int, limit: int, misses: int) -> str:
    if days >= limit:
        return SEARCH
    return LOOK_AGAIN if misses else PRESENT


def _usual(seen: int, rounds: int) -> float:
    return (min(seen, rounds) + USUAL_BEFORE * WORTH) / (rounds + WORTH)


def _closed_rounds(exhibit_id: int, now: datetime) -> QuerySet[RoundClosed]:
    spans = {"round__started__happened_at__gt": now - OVER, "round__started__happened_at__lte": now}
    return standing(RoundClosed.objects.filter(round__exhibit_id=exhibit_id, **spans))


def _rounds_since(begun: Sequence[datetime], since: date, zone: ZoneInfo) -> int:
    return sum(day_of(at, zone) > since for at in begun)


def _times_seen(closed: QuerySet[RoundClosed]) -> dict[int, int]:
    rows = standing(Sighting.objects.filter(round__in=closed.values("round"), how__in=OBSERVED))
    counted = rows.exclude(bird=None).values("bird_id").annotate(rounds=Count("round", distinct=True))
    return {bird: rounds for bird, rounds in counted.values_list("bird_id", "rounds") if bird is not None}


def _not_looked_for(today: date) -> dict[int, str]:
    spells = NotLookedFor.objects.filter(on_day(today), bird__isnull=False)
    return {bird: why for bird, why in spells.values_list("bird_id", "why") if bird is not None}
