"""What has been called today, exhibit by exhibit, in a number of queries that does not grow with anything."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final, Literal

from tarsus.core.rounds.call import RollCall
from tarsus.core.rounds.facts import Counted
from tarsus.core.rounds.span import FIRMER, GroupState
from tarsus.core.words.numbers import counted as counted_words
from tarsus.core.words.second_look import short_count_said
from tarsus.queries.deaths import unnamed_deaths
from tarsus.queries.exhibit_names import exhibit_names
from tarsus.queries.flock import FlockBird
from tarsus.queries.once import once
from tarsus.queries.portraits import mfu
from tarsus.queries.presence import BirdPresence
from tarsus.queries.rolls_of_day import NOTHING_TOLD, RollFacts, course_since, rolls_of_day
from tarsus.queries.short import missing_among
from tarsus.records.models import Exhibit, Person

MOST_TOLD: Final = 4
"""Of the birds that may be missing from a short count so many are named."""

HARDLY: Final = 0.05
"""Under this chance a short count does not point at a bird."""

COUNT_SPEAKS: Final = timedelta(days=2)
"""How long a count says something of today: an evening's count until the evening after next."""

State = Literal["not called", "open", "called", "in part", "not done"]


@dataclass(frozen=True, slots=True)
class ShortCount:
    """Fewer of a look-alike group were counted than are on the roll.

    `miscount` is the chance that nobody is missing and the count is wrong; it calls no search off. `among`
    are the likeliest birds: id, name, and the chance that it is one of the missing.
    """

    exhibit_id: int
    exhibit: str
    lookalike: str
    counted: int
    on_roll: int
    at: datetime
    miscount: float
    among: tuple[tuple[int, str, float], ...]

    @property
    def missing(self) -> int:
        """How many are missing by count."""
        return self.on_roll - self.counted

    @property
    def says(self) -> str:
        """The count against the roll, with whom it points at, in one sentence."""
        named = [(name, chance) for _, name, chance in self.among]
        return short_count_said(self.on_roll, self.counted, named, self.miscount)


@dataclass(frozen=True, slots=True)
class GroupToday:
    """A look-alike group of an exhibit: how far it was called today, and why not where somebody said so."""

    lookalike: str
    on_roll: int
    seen: int
    state: GroupState
    because: str

    @property
    def words(self) -> str:
        """How many of which: 3 ruffs."""
        return f"{self.on_roll} {counted_words(self.lookalike, self.on_roll)}"


@dataclass(frozen=True, slots=True)
class ExhibitToday:
    """One exhibit: who lives there, and how far today's roll call has come.

    `state` is *in part* where a call is over and some group that has birds on the roll was not called. A
    round that was left open calls nobody. `carcases` without a name lower what is `on_roll`; whose they are
    stays open, so nobody leaves the counts by sex.
    """

    exhibit_id: int
    name: str
    purpose: str
    on_roll: int
    mfu: str
    uncounted: int
    state: State
    groups: tuple[GroupToday, ...]
    begun_at: datetime | None
    begun_by: str
    ended_at: datetime | None
    because: str
    seen: int
    inferred: int
    told_by_marks: bool
    carcases: int

    @property
    def to_call(self) -> tuple[GroupToday, ...]:
        """The groups that nobody has called yet today, nor said why not."""
        return tuple(group for group in self.groups if group.state in ("not called", "begun"))

    @property
    def not_done(self) -> tuple[GroupToday, ...]:
        """The groups of which somebody said why they were not called."""
        return tuple(group for group in self.groups if group.state == "not done")


def latest_counts(told: Mapping[int, RollFacts], since: datetime) -> dict[tuple[int, str], Counted]:
    """Of each look-alike group of each exhibit the count that speaks for a shortfall, of its latest call."""
    found: dict[tuple[int, str], Counted] = {}
    for exhibit, known in told.items():
        for call in known.calls:
            for lookalike, counts in call.counts.items():
                found[exhibit, lookalike] = counts.lowest
    return {flock: count for flock, count in found.items() if count.happened_at >= since}


def short_counts(
    birds: Iterable[FlockBird],
    presence: Mapping[int, BirdPresence],
    now: datetime,
    over: timedelta = COUNT_SPEAKS,
) -> tuple[ShortCount, ...]:
    """Look-alike groups whose latest count was under today's roll; the shortest first.

    Args:
        birds: all birds of the park today.
        presence: where each of them stands.
        now: the moment of asking.
        over: how old a count may be; an older one says nothing of today.
    """
    roll: dict[tuple[int, str], list[FlockBird]] = defaultdict(list)
    for bird in birds:
        if bird.counted:
            roll[bird.exhibit_id, bird.lookalike].append(bird)
    names = exhibit_names()
    dead = _carcases(now)
    found = []
    for flock, count in latest_counts(course_since(now - over, now), now - over).items():
        expected = len(roll[flock]) - dead[flock]
        if count.counted < expected:
            among = (count.counted, expected)
            found.append(_short(names[flock[0]], roll[flock], among, count.happened_at, presence))
    return tuple(sorted(found, key=lambda short: (-short.missing, short.exhibit, short.lookalike)))


def pointed_at(short: Iterable[ShortCount]) -> dict[int, float]:
    """The birds that short counts point at, with the chance that each is one of the missing."""
    return {bird: chance for count in short for bird, _, chance in count.among if chance >= HARDLY}


def _short(
    exhibit: str,
    roll: list[FlockBird],
    counted_of: tuple[int, int],
    at: datetime,
    presence: Mapping[int, BirdPresence],
) -> ShortCount:
    counted, expected = counted_of
    # A carcase that nobody could name is one of the roll that a count cannot find.
    among = missing_among(presence, (bird.bird_id for bird in roll), len(roll) - counted)
    names = {bird.bird_id: bird.name for bird in roll}
    likeliest = among.among[:MOST_TOLD] if among else ()
    return ShortCount(
        exhibit_id=roll[0].exhibit_id,
        exhibit=exhibit,
        lookalike=roll[0].lookalike,
        counted=counted,
        on_roll=expected,
        at=at,
        miscount=among.miscount if among else 0.0,
        among=tuple((bird, names[bird], chance) for bird, chance in likeliest),
    )


def exhibits_today(birds: Iterable[FlockBird], now: datetime) -> tuple[ExhibitToday, ...]:
    """Every exhibit that birds live in, in the park's order, with its roll call of today."""
    living: dict[int, list[FlockBird]] = defaultdict(list)
    for bird in birds:
        living[bird.exhibit_id].append(bird)
    told = rolls_of_day(now)
    people = dict(Person.objects.values_list("pk", "display_name"))
    dead = _carcases(now)
    exhibits = Exhibit.objects.filter(closed_on__isnull=True).order_by("order", "name")
    return tuple(
        _exhibit_today(
            exhibit,
            living[exhibit.pk],
            told.get(exhibit.pk, NOTHING_TOLD),
            people,
            sum(number for (at, _), number in dead.items() if at == exhibit.pk),
        )
        for exhibit in exhibits
        if living[exhibit.pk] or exhibit.purpose == "display"
    )


@once
def _carcases(now: datetime) -> Counter[tuple[int, str]]:
    """How many carcases without a name lower the count of each look-alike group of each exhibit."""
    rows = unnamed_deaths().filter(happened_at__lte=now)
    return Counter(rows.values_list("exhibit_id", "species__lookalike"))


def _exhibit_today(
    exhibit: Exhibit,
    birds: list[FlockBird],
    told: RollFacts,
    people: Mapping[int, str],
    carcases: int,
) -> ExhibitToday:
    counted = [bird for bird in birds if bird.counted]
    groups = _groups_today(counted, told)
    state = _state(told.calls, groups)
    over = [call for call in told.calls if call.phase in ("closed", "not done")]
    shown = next((call for call in told.calls if call.phase == "open"), over[-1] if over else None)
    roll = {bird.bird_id for bird in counted}
    return ExhibitToday(
        exhibit_id=exhibit.pk,
        name=exhibit.name,
        purpose=exhibit.purpose,
        on_roll=max(0, len(counted) - carcases),
        mfu=mfu(birds),
        uncounted=len(birds) - len(counted),
        state=state,
        groups=groups,
        begun_at=shown.begun_at if shown else None,
        begun_by=people[shown.rounds[0].begun_by] if shown else "",
        ended_at=shown.ended_at if shown and state in ("called", "in part") else None,
        because=next((group.because for group in groups if group.because), "") if state == "not done" else "",
        seen=len(roll & told.seen),
        inferred=len(roll & told.inferred),
        told_by_marks=bool(birds) and all(bird.form == "told" for bird in birds),
        carcases=carcases,
    )


def _groups_today(counted: list[FlockBird], told: RollFacts) -> tuple[GroupToday, ...]:
    """Each look-alike group with birds on the roll, by the firmest word of today's calls about it."""
    rolls: dict[str, list[int]] = defaultdict(list)
    for bird in counted:
        rolls[bird.lookalike].append(bird.bird_id)
    groups = []
    for lookalike, birds in sorted(rolls.items(), key=lambda item: (-len(item[1]), item[0])):
        words = [_today(call, lookalike) for call in told.calls]
        state, because = max(words, key=lambda word: FIRMER[word[0]], default=("not called", ""))
        groups.append(GroupToday(lookalike, len(birds), len(told.seen & {*birds}), state, because))
    return tuple(groups)


def _today(call: RollCall, lookalike: str) -> tuple[GroupState, str]:
    """What one call says of a group: one that was left open has called nobody."""
    state, because = call.group_state(lookalike)
    return ("not called", "") if state == "begun" and call.phase != "open" else (state, because)


def _state(calls: tuple[RollCall, ...], groups: tuple[GroupToday, ...]) -> State:
    if any(call.phase == "open" for call in calls):
        return "open"
    states = {group.state for group in groups}
    if "called" in states:
        return "called" if states <= {"called", "not done"} else "in part"
    if "not done" in states and states == {"not done"}:
        return "not done"
    over = {call.phase for call in calls}
    if not groups and over & {"closed", "not done"}:
        return "called" if "closed" in over else "not done"
    return "in part" if "not done" in states else "not called"
