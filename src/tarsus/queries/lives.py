"""What happened to every bird and nest, gathered from the register for the inventory."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from tarsus.core.care.inventory import lives
from tarsus.core.care.inventory.lives import BirdLife, LifeEvent, NestEvent, NestLife, UnnamedCarcase
from tarsus.queries.days import park_zone
from tarsus.queries.deaths import unnamed_deaths
from tarsus.records.models import (
    Arrival,
    Bird,
    CarcaseNamed,
    Death,
    Departure,
    Missing,
    Move,
    Nest,
    Ownership,
    SexFinding,
    Stay,
)
from tarsus.records.models import NestEvent as NestEventRow
from tarsus.records.standing import end_of, known_by, lasting, standing

Key = tuple[int, date]


@dataclass
class _Facts:
    """All facts that a life is told from, by bird, each with its park's day and second of the day."""

    zone: ZoneInfo
    arrivals: dict[Key, Arrival] = field(default_factory=dict)
    departures: dict[Key, Departure] = field(default_factory=dict)
    moves: dict[object, datetime] = field(default_factory=dict)
    deaths: dict[int, datetime] = field(default_factory=dict)
    found: dict[Key, float] = field(default_factory=dict)
    events: dict[int, list[LifeEvent]] = field(default_factory=lambda: defaultdict(list))

    def when(self, moment: datetime) -> tuple[date, float]:
        """The park's day and the second of that day."""
        local = moment.astimezone(self.zone)
        return local.date(), local.hour * 3600 + local.minute * 60 + local.second + local.microsecond / 1e6

    def add(self, bird_id: int, moment: datetime, kind: str, **told: object) -> None:
        """Tell one event of a bird."""
        day, order = self.when(moment)
        self.events[bird_id].append(LifeEvent(day, kind, order, **told))  # type: ignore[arg-type]  # by field name


def bird_lives() -> tuple[BirdLife, ...]:
    """The lives of all birds that ever were, in a constant number of queries."""
    facts = _gather()
    stays: dict[int, list[Stay]] = defaultdict(list)
    for stay in lasting(Stay.objects.order_by("bird_id", "from_on", "id")):
        stay.to_on = end_of(stay.to_on, stay.ended_at)
        stays[stay.bird_id].append(stay)
    birds = Bird.objects.select_related("species").order_by("pk")
    if (moment := known_by()) is not None:
        birds = birds.filter(recorded_at__lt=moment)
    return tuple(_life(bird, stays.get(bird.pk, []), facts) for bird in birds)


def nest_lives() -> tuple[NestLife, ...]:
    """What was found at every nest that was not taken back."""
    zone = park_zone()
    told: dict[int, list[NestEvent]] = defaultdict(list)
    facts = _Facts(zone)
    for row in standing(NestEventRow.objects.exclude(kind="banded")):
        day, order = facts.when(row.happened_at)
        told[row.nest_id].append(NestEvent(day, row.kind, row.amount, order))
    nests = lasting(Nest.objects.select_related("species").order_by("pk"))
    return tuple(
        NestLife(nest.pk, nest.species.name, nest.exhibit_id, tuple(told.get(nest.pk, ()))) for nest in nests
    )


def unnamed_carcases() -> tuple[UnnamedCarcase, ...]:
    """Carcases without bands whose bird nobody has named yet."""
    facts = _Facts(park_zone())
    rows = unnamed_deaths().select_related("species")
    return tuple(
        UnnamedCarcase(row.species.name, row.exhibit_id, facts.when(row.happened_at)[0]) for row in rows
    )


def _gather() -> _Facts:
    facts = _Facts(park_zone())
    for arrival in standing(Arrival.objects.all()):
        facts.arrivals[arrival.bird_id, facts.when(arrival.happened_at)[0]] = arrival
    for departure in standing(Departure.objects.all()):
        facts.departures[departure.bird_id, facts.when(departure.happened_at)[0]] = departure
    facts.moves.update(standing(Move.objects.all()).values_list("pk", "happened_at"))
    _gather_deaths(facts)
    for told in standing(Missing.objects.all()):
        if told.state == "found again":
            # Where it was found is not where it lives; a home of its own after it lost one is a stay.
            day, order = facts.when(told.happened_at)
            facts.found[told.bird_id, day] = order
            facts.add(told.bird_id, told.happened_at, lives.FOUND)
        else:
            facts.add(told.bird_id, told.happened_at, lives.MISSING)
    for owner in standing(Ownership.objects.all()):
        facts.add(owner.bird_id, owner.happened_at, lives.OWNED, ours=not owner.owner)
    for finding in standing(SexFinding.objects.order_by("recorded_at")):
        facts.add(finding.bird_id, finding.happened_at, lives.SEXED, sex=finding.sex)
    return facts


def _gather_deaths(facts: _Facts) -> None:
    for death in standing(Death.objects.filter(bird__isnull=False)):
        assert death.bird_id is not None
        facts.deaths[death.bird_id] = death.happened_at
    for named in standing(CarcaseNamed.objects.select_related("death")):
        facts.deaths[named.bird_id] = named.death.happened_at
    for bird_id, moment in facts.deaths.items():
        facts.add(bird_id, moment, lives.DIED)


def _life(bird: Bird, stays: list[Stay], facts: _Facts) -> BirdLife:
    events = list(facts.events.get(bird.pk, ()))
    before: Stay | None = None
    for number, stay in enumerate(stays):
        events.append(_begins(bird, stay, before, facts))
        following = stays[number + 1] if number + 1 < len(stays) else None
        ended = _ends(bird, stay, following, facts)
        events += [] if ended is None else [ended]
        before = stay
    return BirdLife(bird.pk, bird.species.name, tuple(events), ours=not bird.owner)


def _begins(bird: Bird, stay: Stay, before: Stay | None, facts: _Facts) -> LifeEvent:
    """How a bird came to live where it does."""
    key = (bird.pk, stay.from_on)
    arrival = facts.arrivals.get(key)
    if arrival is not None and (before is None or before.to_on != stay.from_on or key in facts.departures):
        order = facts.when(arrival.happened_at)[1]
        return LifeEvent(
            stay.from_on, lives.ARRIVED, order, exhibit=stay.exhibit_id, ours=not arrival.on_loan
        )
    if before is None:
        return _first(bird, stay)
    if key in facts.found and (stay.begun_through not in facts.moves):
        # It is given its new home in the moment before it counts again.
        return LifeEvent(stay.from_on, lives.MOVED, facts.found[key] - 0.5, exhibit=stay.exhibit_id)
    if before.to_on == stay.from_on:
        moved = facts.moves.get(stay.begun_through)
        order = 0.0 if moved is None else facts.when(moved)[1]
        return LifeEvent(stay.from_on, lives.MOVED, order, exhibit=stay.exhibit_id)
    return LifeEvent(stay.from_on, lives.ARRIVED, exhibit=stay.exhibit_id)


def _first(bird: Bird, stay: Stay) -> LifeEvent:
    if bird.nest_id is not None:
        # At the end of the day: what was found at the nest on that day comes before the banding.
        return LifeEvent(stay.from_on, lives.BANDED, 86399.0, exhibit=stay.exhibit_id, nest=bird.nest_id)
    kind = lives.HATCHED if bird.origin == "hatched here" else lives.ARRIVED
    return LifeEvent(stay.from_on, kind, exhibit=stay.exhibit_id)


def _ends(bird: Bird, stay: Stay, following: Stay | None, facts: _Facts) -> LifeEvent | None:
    """How a bird left; none where it lives there still, moved, or where its death or loss says so already."""
    if stay.to_on is None:
        return None
    left = facts.departures.get((bird.pk, stay.to_on))
    if left is not None:
        order = facts.when(left.happened_at)[1]
        return LifeEvent(stay.to_on, lives.DEPARTED, order, ours=None if left.stays_ours else False)
    if following is not None and following.from_on == stay.to_on:
        return None
    died = facts.deaths.get(bird.pk)
    if died is not None and facts.when(died)[0] <= stay.to_on:
        return None
    if _lost_by(facts.events.get(bird.pk, ()), stay.to_on):
        return None
    return LifeEvent(stay.to_on, lives.DEPARTED, 86400.0)


def _lost_by(events: Iterable[LifeEvent], day: date) -> bool:
    told = [one for one in events if one.kind in (lives.MISSING, lives.FOUND) and one.day <= day]
    return bool(told) and max(told, key=lambda one: (one.day, one.order)).kind == lives.MISSING
