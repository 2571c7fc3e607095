"""Whether each bird is still here: advice, chance and what would settle it, from the watch's checkpoints."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from scipy.special import expit

from tarsus.core.presence.advice import PRESENT, SEARCH
from tarsus.core.presence.excuses import Excuse, excused, excused_days, run_out
from tarsus.core.presence.watch import BirdWatch, watched
from tarsus.queries.days import day_of
from tarsus.queries.once import once
from tarsus.queries.watch_facts import Flock, Lived, WatchFacts
from tarsus.queries.watch_state import Carried, watched_flocks


@dataclass(frozen=True, slots=True)
class BirdPresence:
    """Where one bird stands.

    `still_here`: chance, doubtful sightings counted by theirs. `usual`: chance of being seen in an ordinary
    round. `unseen_rounds`: roll calls since it was last observed; `unseen_days`: days since then, today only
    once a roll of today was closed. `looks_needed`: further misses that would settle that it is gone, `None`
    where that is settled. `seen_on`: the last day it was observed here, `None` if never. `excused`: why it
    is not looked for; empty for one that is searched for, whatever was said since. `ran_out`: why it was not
    looked for until that had to be said again. `if_missed`: chance that it is still here should the
    next round miss it.
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
    ran_out: str = ""


@once
def presence_of_park(now: datetime) -> Mapping[int, BirdPresence]:
    """Where every bird of the park stands, in a constant number of queries."""
    return _presence(None, now)


@once
def presence_of_exhibit(exhibit_id: int, now: datetime) -> Mapping[int, BirdPresence]:
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
    watches = {int(one.bird): one for one in watched(carried.state, carried.rules)}
    rows = {int(bird): row for row, bird in enumerate(carried.state.birds)}
    for lives in facts.residents[flock]:
        if not lives.from_on <= today or (lives.to_on is not None and lives.to_on <= today):
            continue
        watch = watches.get(lives.bird_id)
        if watch is None or not carried.state.entered[rows[lives.bird_id]]:
            told = _never_called(lives, flock, carried)
        else:
            seen_on = date.fromordinal(int(carried.state.seen_on[rows[lives.bird_id]]))
            told = _called(lives.bird_id, flock, watch, seen_on)
        yield _by_the_calendar(told, lives, carried, facts.excuses_of(lives.bird_id, flock[0]), today)


def _called(bird: int, flock: Flock, watch: BirdWatch, seen_on: date) -> BirdPresence:
    return BirdPresence(
        bird_id=bird,
        exhibit_id=flock[0],
        advice=watch.advice,
        still_here=watch.still_here,
        usual=watch.usual,
        unseen_rounds=watch.unseen_rounds,
        unseen_days=watch.unseen_days,
        looks_needed=watch.looks_needed,
        seen_on=seen_on,
        excused="",
        if_missed=watch.if_missed,
    )


def _never_called(lives: Lived, flock: Flock, carried: Carried) -> BirdPresence:
    """A newcomer, or a chick that does not count yet: nobody has looked for it here."""
    usual = float(expit(carried.state.group.mean))
    return BirdPresence(lives.bird_id, flock[0], PRESENT, 1.0, usual, 0, 0, None, None, "", 1.0)


def _by_the_calendar(
    told: BirdPresence, lives: Lived, carried: Carried, excuses: tuple[Excuse, ...], today: date
) -> BirdPresence:
    """The species' limit speaks by the calendar too: an exhibit that nobody called has not been looked at.

    A bird that is searched for is searched for on its nest as well; nobody's word but a sighting ends that.
    """
    # Who has not been looked for yet was here when the register heard so.
    since = told.seen_on or max(lives.from_on, lives.told_on)
    last = today if carried.looked_on == today else today - timedelta(days=1)
    days = max(0, (last - since).days - excused_days(excuses, since, last))
    at_its_limit = days >= carried.rules.max_unseen_days and lives.grown(today)
    advice = SEARCH if at_its_limit else told.advice
    waiting = run_out(excuses, today)
    return replace(
        told,
        advice=advice,
        unseen_days=days,
        excused="" if advice == SEARCH else excused(excuses, today),
        ran_out="" if waiting is None else waiting.why,
    )
