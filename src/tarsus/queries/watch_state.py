"""The watch of every flock, carried forward from its newest checkpoint by what was said since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from tarsus.core.errors import WrongValue
from tarsus.core.presence.checkpoint import as_plain, from_plain
from tarsus.core.presence.excuses import Excuse, excused, excused_days
from tarsus.core.presence.flock_state import FlockState, empty_flock, with_birds
from tarsus.core.presence.fold import RoundRules, RoundTold, advance
from tarsus.core.presence.loss import daily_loss
from tarsus.core.presence.witnesses import CLEARS
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.late_facts import first_late_days
from tarsus.queries.one_park import one_park
from tarsus.queries.watch_facts import (
    Called,
    Flock,
    Lived,
    Spoken,
    WatchFacts,
    resident_flocks,
    strictest_limits,
    watch_facts,
)
from tarsus.records.models import Exhibit, PresenceCheckpoint

GONE_PER_YEAR = 0.05
"""Share of birds that vanish in a year, until the park has said its own."""


@dataclass(frozen=True)
class Carried:
    """The watch of one flock after all that was said before a moment.

    `looked_on`: the day of its last closed roll call, `None` before any.
    """

    state: FlockState
    rules: RoundRules
    looked_on: date | None

    def as_plain(self) -> dict[str, Any]:
        """Plain values that a checkpoint keeps."""
        looked_on = None if self.looked_on is None else self.looked_on.isoformat()
        return {"looked_on": looked_on, "rules": rules_kept(self.rules), "flock": as_plain(self.state)}


def rules_kept(rules: RoundRules) -> list[float]:
    """What of the park's choices a checkpoint rests on: when one changes, it is rebuilt."""
    return [rules.loss, rules.max_unseen_days]


def flock_choices(day: date) -> dict[Flock, list[float]]:
    """What each flock that has birds on a day is watched by now: hazard and strictest limit."""
    living = resident_flocks(Exhibit.objects.values_list("pk", flat=True), day)
    limits, loss = strictest_limits(), _loss()
    return {flock: rules_kept(RoundRules(loss, limits[flock[1]])) for flock in living}


def _loss() -> float:
    park = one_park()
    return daily_loss(park.gone_per_year if park else GONE_PER_YEAR)


@dataclass(frozen=True)
class Watched:
    """Every flock that was asked for, and the facts through which it was carried.

    `stops`: the flocks as they stood at the end of days on the way.
    """

    flocks: dict[Flock, Carried]
    stops: dict[date, dict[Flock, Carried]]
    facts: WatchFacts
    zone: ZoneInfo


def watched_flocks(
    exhibits: Iterable[int] | None,
    until: datetime,
    *,
    known_at: datetime | None = None,
    anew: bool = False,
    stops: Iterable[date] = (),
) -> Watched:
    """Carry the watch of flocks forward from their checkpoints.

    Args:
        exhibits: which exhibits, `None` for all.
        until: what happened from this moment on is left out, but for what was told of a round begun before.
        known_at: the moment of asking, where it is later than `until`.
        anew: leave the checkpoints aside and carry everything from the first fact.
        stops: days whose ends are told too, as far as they come after a flock's checkpoint.

    Returns:
        The watch by exhibit and look-alike group. The number of queries does not depend on birds, rounds or
        years; what is read is what was said since the checkpoints.
    """
    zone = park_zone()
    wanted = list(Exhibit.objects.values_list("pk", flat=True)) if exhibits is None else list(exhibits)
    loss = _loss()
    kept = {} if anew else _kept(wanted, day_of(until, zone), zone)
    living = resident_flocks(wanted, day_of(until, zone))
    facts = watch_facts(_first_days(living, kept), Spoken(until, known_at or until), zone)
    flocks, on_the_way = {}, {stop: dict[Flock, Carried]() for stop in sorted(stops)}
    for flock in living:
        lived = facts.residents.get(flock, ())
        rules = RoundRules(loss, facts.max_unseen_days[flock[1]])
        start = kept.get(flock)
        if start is None:
            carried = Carried(empty_flock(), rules, None)
        else:
            carried = Carried(start.state, rules, start.looked_on)
        calls = [call for call in facts.calls[flock[0]] if start is None or call.day > start.on_day]
        for stop, told in on_the_way.items():
            if start is None or stop > start.on_day:
                carried = carry(carried, flock, (c for c in calls if c.day <= stop), lived, facts)
                calls = [call for call in calls if call.day > stop]
                if carried.state.day:
                    told[flock] = carried
        flocks[flock] = carry(carried, flock, calls, lived, facts)
    return Watched(flocks, on_the_way, facts, zone)


def carry(
    carried: Carried, flock: Flock, calls: Iterable[Called], lived: tuple[Lived, ...], facts: WatchFacts
) -> Carried:
    """Take roll calls into account, one after the other.

    Args:
        carried: the watch before them.
        flock: which birds, where.
        calls: in the order in which they happened.
        lived: who lived there when.
        facts: for the excuses.

    Returns:
        The watch after them.
    """
    state, looked_on = carried.state, carried.looked_on
    excuses = {one.bird_id: facts.excuses_of(one.bird_id, flock[0]) for one in lived}
    for call in calls:
        residents = {
            one.bird_id: one
            for one in lived
            if one.from_on <= call.day and (one.to_on is None or call.day < one.to_on)
        }
        state = with_birds(state, (str(bird) for bird in residents))
        here = [residents[int(bird)] for bird in state.birds]
        told = [_told(bird, flock, call, excuses[bird.bird_id]) for bird in here]
        chance = np.array(told, dtype=float)
        if np.isnan(chance).all():
            continue
        before = date.fromordinal(state.day) if state.day else call.day - timedelta(days=1)
        round_told = RoundTold(
            call.day.toordinal(),
            chance,
            # A group that was not called was not looked for, whomever of it somebody named.
            casual=flock[1] not in call.called,
            hour=call.hour,
            elsewhere=np.array([excused_days(excuses[bird.bird_id], before, call.day) for bird in here]),
            elsewhere_now=np.array([bool(excused(excuses[bird.bird_id], call.day)) for bird in here]),
            witnesses=np.array([call.read.get(bird.bird_id, CLEARS) for bird in here]),
        )
        state, _ = advance(state, round_told, carried.rules)
        looked_on = call.day if flock[1] in call.called else looked_on
    return Carried(state, carried.rules, looked_on)


def _told(bird: Lived, flock: Flock, call: Called, excuses: tuple[Excuse, ...]) -> float:
    """What a roll call says of one bird: 1 observed, 0 missed, doubtful between, NaN not looked for."""
    if bird.bird_id in call.observed:
        return 1.0
    # On the day it arrives a bird may come after the roll was called: that is no miss.
    looked_for = flock[1] in call.called and bird.grown(call.day) and call.day > bird.from_on
    if not looked_for or excused(excuses, call.day):
        return np.nan
    # A reading that may have been of this bird softens a miss; where nobody called, it says nothing.
    return float(min(call.doubtful.get(bird.bird_id, 0.0), np.nextafter(1.0, 0.0)))


@dataclass(frozen=True)
class _Kept:
    on_day: date
    state: FlockState
    looked_on: date | None


def _kept(exhibits: list[int], today: date, zone: ZoneInfo) -> dict[Flock, _Kept]:
    """The newest checkpoint of each flock that nothing written since speaks against."""
    rows = (
        PresenceCheckpoint.objects.filter(exhibit_id__in=exhibits, on_day__lt=today)
        .order_by("on_day")
        .values_list("exhibit_id", "lookalike", "on_day", "facts_until", "pk")
    )
    by_flock: dict[Flock, list[tuple[date, datetime | None, int]]] = {}
    for exhibit, lookalike, on, facts_until, pk in rows:
        by_flock.setdefault((exhibit, lookalike), []).append((on, facts_until, pk))
    written = [kept[-1][1] for kept in by_flock.values()]
    late = (
        first_late_days(exhibits, min(at for at in written if at is not None), zone) if any(written) else {}
    )
    chosen = {}
    for flock, kept in by_flock.items():
        sound = [pk for on, _, pk in kept if on < late.get(flock[0], date.max)]
        if sound:
            chosen[sound[-1]] = flock
    states = PresenceCheckpoint.objects.filter(pk__in=chosen).values_list("pk", "on_day", "state")
    found = {chosen[pk]: _unpacked(on, state) for pk, on, state in states}
    return {flock: one for flock, one in found.items() if one is not None}


def _unpacked(on: date, plain: dict[str, Any]) -> _Kept | None:
    try:
        state = from_plain(plain["flock"])
    except WrongValue:  # kept by another version of the estimator: carried anew
        return None
    looked_on = plain["looked_on"]
    return _Kept(on, state, None if looked_on is None else date.fromisoformat(looked_on))


def _first_days(living: Mapping[Flock, date], kept: Mapping[Flock, _Kept]) -> dict[int, date]:
    """For each exhibit the first day whose facts are needed: the one after its oldest checkpoint in use."""
    first: dict[int, date] = {}
    for flock, came in living.items():
        needed = kept[flock].on_day + timedelta(days=1) if flock in kept else came
        first[flock[0]] = min(needed, first.get(flock[0], needed))
    return first
