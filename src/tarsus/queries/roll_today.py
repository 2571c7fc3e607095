"""What has been called today, exhibit by exhibit, in a number of queries that does not grow with anything."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final, Literal

from tarsus.core.words.looking_for import short_count_said
from tarsus.queries.days import day_begins, day_of, park_zone
from tarsus.queries.deaths import unnamed_deaths
from tarsus.queries.flock import FlockBird
from tarsus.queries.last_seen import OBSERVED
from tarsus.queries.portraits import mfu
from tarsus.queries.presence import BirdPresence
from tarsus.queries.short import missing_among
from tarsus.records.models import Count, Exhibit, Round, Sighting
from tarsus.records.standing import standing

MOST_TOLD: Final = 4
"""Of the birds that may be missing from a short count so many are named."""

HARDLY: Final = 0.05
"""Under this chance a short count does not point at a bird."""

COUNT_SPEAKS: Final = timedelta(days=2)
"""How long a count says something of today: an evening's count until the evening after next."""

State = Literal["not called", "open", "called", "not done"]


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
class ExhibitToday:
    """One exhibit: who lives there, and how far today's roll call has come.

    `carcases` without a name lower what is `on_roll`; whose they are stays open, so nobody leaves the
    counts by sex.
    """

    exhibit_id: int
    name: str
    purpose: str
    on_roll: int
    mfu: str
    uncounted: int
    state: State
    begun_at: datetime | None
    begun_by: str
    ended_at: datetime | None
    because: str
    seen: int
    inferred: int
    told_by_marks: bool
    carcases: int


def latest_counts(since: datetime) -> dict[tuple[int, str], tuple[int, datetime]]:
    """The latest count of each look-alike group of each exhibit since a moment."""
    rows = (
        standing(Count.objects.filter(happened_at__gte=since))
        .order_by("happened_at", "pk")
        .values_list("round__exhibit_id", "lookalike", "counted", "happened_at")
    )
    return {(exhibit, lookalike): (counted, at) for exhibit, lookalike, counted, at in rows}


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
    names = dict(Exhibit.objects.values_list("id", "name"))
    dead = _carcases(now)
    found = []
    for flock, (counted, at) in latest_counts(now - over).items():
        expected = len(roll[flock]) - dead[flock]
        if counted < expected:
            found.append(_short(names[flock[0]], roll[flock], (counted, expected), at, presence))
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
    zone = park_zone()
    begins = day_begins(day_of(now, zone), zone)
    living: dict[int, list[FlockBird]] = defaultdict(list)
    for bird in birds:
        living[bird.exhibit_id].append(bird)
    rounds = _rounds_since(begins)
    named = _named_since(begins)
    dead = _carcases(now)
    exhibits = Exhibit.objects.filter(closed_on__isnull=True).order_by("order", "name")
    return tuple(
        _exhibit_today(
            exhibit,
            living[exhibit.pk],
            rounds.get(exhibit.pk, []),
            named[exhibit.pk],
            sum(number for (at, _), number in dead.items() if at == exhibit.pk),
        )
        for exhibit in exhibits
        if living[exhibit.pk] or exhibit.purpose == "display"
    )


def _rounds_since(begins: datetime) -> dict[int, list[Round]]:
    found: dict[int, list[Round]] = defaultdict(list)
    rounds = (
        Round.objects.filter(started__happened_at__gte=begins)
        .select_related("started__recorded_by")
        .prefetch_related("closings", "not_done")
        .order_by("started__happened_at", "id")
    )
    for row in rounds:
        found[row.exhibit_id].append(row)
    return found


def _named_since(begins: datetime) -> dict[int, dict[int, bool]]:
    """Of each exhibit the birds named since a moment; true where somebody saw them, false where inferred."""
    found: dict[int, dict[int, bool]] = defaultdict(dict)
    rows = standing(Sighting.objects.filter(happened_at__gte=begins, bird__isnull=False))
    for exhibit, bird, how in rows.values_list("exhibit_id", "bird_id", "how"):
        if bird is not None:
            found[exhibit][bird] = found[exhibit].get(bird, False) or how in OBSERVED
    return found


def _carcases(now: datetime) -> Counter[tuple[int, str]]:
    """How many carcases without a name lower the count of each look-alike group of each exhibit."""
    rows = unnamed_deaths().filter(happened_at__lte=now)
    return Counter(rows.values_list("exhibit_id", "species__lookalike"))


def _exhibit_today(
    exhibit: Exhibit, birds: list[FlockBird], rounds: list[Round], named: dict[int, bool], carcases: int
) -> ExhibitToday:
    counted = [bird for bird in birds if bird.counted]
    roll = {bird.bird_id for bird in counted}
    here = {bird: seen for bird, seen in named.items() if bird in roll}
    going_on = [row for row in rounds if not row.closings.all() and not row.not_done.all()]
    called = [row for row in rounds if row.closings.all()]
    given_up = [row for row in rounds if row.not_done.all()]
    state: State = "open" if going_on else "called" if called else "not done" if given_up else "not called"
    shown = {"open": going_on[:1], "called": called[-1:], "not done": given_up[-1:]}.get(state, [])
    began = shown[0].started if shown else None
    closings = [closing.happened_at for row in called[-1:] for closing in row.closings.all()]
    return ExhibitToday(
        exhibit_id=exhibit.pk,
        name=exhibit.name,
        purpose=exhibit.purpose,
        on_roll=max(0, len(counted) - carcases),
        mfu=mfu(birds),
        uncounted=len(birds) - len(counted),
        state=state,
        begun_at=began.happened_at if began else None,
        begun_by=began.recorded_by.display_name if began else "",
        ended_at=min(closings, default=None) if state == "called" else None,
        because=shown[0].not_done.all()[0].because if state == "not done" else "",
        seen=sum(here.values()),
        inferred=len(here) - sum(here.values()),
        told_by_marks=bool(birds) and all(bird.form == "told" for bird in birds),
        carcases=carcases,
    )
