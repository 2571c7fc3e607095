"""Whether each bird is still here: advice, chance and what would settle it, from the watch's checkpoints."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from tarsus.core.presence.advice import SEARCH
from tarsus.core.presence.watch import BirdWatch, watched
from tarsus.queries.days import day_of
from tarsus.queries.watch_facts import Flock, WatchFacts
from tarsus.queries.watch_state import Carried, watched_flocks


@dataclass(frozen=True, slots=True)
class BirdPresence:
    """Where one bird stands.

    `still_here`: chance, doubtful sightings counted by theirs. `usual`: chance of being seen in an ordinary
    round. `unseen_rounds`: roll calls since it was last observed; `unseen_days`: days since then, today only
    once a roll of today was closed. `looks_needed`: further misses that would settle that it is gone, `None`
    where that is settled. `seen_on`: the last day it was observed here, `None` if never. `excused`: why it
    is not looked for. `if_missed`: chance that it is still here should the next round miss it.
    """

    bird_id: int
    exhibit_id: int
    advice: str
    still_here: float
    usual: float
    unseen_rounds: int
    unseen_days: int
    looks_needed: int | None
    seen_on: date | None
    excused: str
    if_missed: float


def presence_of_park(now: datetime) -> dict[int, BirdPresence]:
    """Where every bird of the park stands, in a constant number of queries."""
    return _presence(None, now)


def presence_of_exhibit(exhibit_id: int, now: datetime) -> dict[int, BirdPresence]:
    """Where every bird of one exhibit stands, in a constant number of queries."""
    return _presence([exhibit_id], now)


def _presence(exhibits: Iterable[int] | None, now: datetime) -> dict[int, BirdPresence]:
    told = watched_flocks(exhibits, now)
    today = day_of(now, told.zone)
    return {
        presence.bird_id: presence
        for flock, carried in told.flocks.items()
        for presence in _of_flock(flock, carried, told.facts, today)
    }


def _of_flock(flock: Flock, carried: Carried, facts: WatchFacts, today: date) -> Iterable[BirdPresence]:
    lives_here = {
        one.bird_id: one.from_on
        for one in facts.residents[flock]
        if one.from_on <= today and (one.to_on is None or today < one.to_on)
    }
    watches = {int(one.bird): one for one in watched(carried.state, carried.rules)}
    rows = {int(bird): row for row, bird in enumerate(carried.state.birds)}
    for bird, since in lives_here.items():
        watch = watches.get(bird)
        excused = facts.excused(bird, flock[0], today)
        if watch is None or not carried.state.entered[rows[bird]]:
            yield _never_called(bird, flock, since, carried, excused, today)
            continue
        seen_on = date.fromordinal(int(carried.state.seen_on[rows[bird]]))
        yield _called(bird, flock, watch, seen_on, carried, excused, today)


def _called(
    bird: int, flock: Flock, watch: BirdWatch, seen_on: date, carried: Carried, excused: str, today: date
) -> BirdPresence:
    days = _unseen_days(seen_on, carried.looked_on, today)
    # The species' limit speaks by the calendar too: an exhibit that nobody called has not been looked at.
    at_its_limit = days >= carried.rules.max_unseen_days and not excused
    return BirdPresence(
        bird_id=bird,
        exhibit_id=flock[0],
        advice=SEARCH if at_its_limit else watch.advice,
        still_here=watch.still_here,
        usual=watch.usual,
        unseen_rounds=watch.unseen_rounds,
        unseen_days=days,
        looks_needed=watch.looks_needed,
        seen_on=seen_on,
        excused=excused,
        if_missed=watch.if_missed,
    )


def _never_called(
    bird: int, flock: Flock, since: date, carried: Carried, excused: str, today: date
) -> BirdPresence:
    """A newcomer, or a chick that does not count yet: nobody has looked for it here."""
    days = _unseen_days(since, carried.looked_on, today)
    usual = float(1.0 / (1.0 + 2.718281828459045**-carried.state.group.mean))
    return BirdPresence(bird, flock[0], "present", 1.0, usual, 0, days, None, None, excused, 1.0)


def _unseen_days(seen_on: date, looked_on: date | None, today: date) -> int:
    """Days since a bird was seen: today is one of them once its roll was called without the bird."""
    passed = (today - seen_on).days
    return max(0, passed if looked_on == today else passed - 1)
