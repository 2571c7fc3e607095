"""Which birds a catch-up of one exhibit would take, under the limits that the vet has set."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from django.db.models import Q

from tarsus.core.care.catch_days import CatchDay, catch_day
from tarsus.core.care.catch_kit import Kit
from tarsus.core.care.catch_limits import CatchLimits, Session, Signed
from tarsus.core.care.catch_up import Candidate, CatchPlan, Price, minutes_in_hand, plan_catch_up, prices
from tarsus.core.care.cautions import CATCH, caution
from tarsus.core.care.due import duties_of
from tarsus.core.errors import NoAnswer
from tarsus.core.presence.advice import PRESENT
from tarsus.queries.care_facts import care_facts
from tarsus.queries.care_rules import care_rules
from tarsus.queries.catch_kits import kit_for
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import FlockBird, flock_of
from tarsus.queries.kept_catch_ups import KeptPlan, kept_plans
from tarsus.queries.marks import on_day
from tarsus.queries.once import once
from tarsus.queries.one_park import one_park
from tarsus.queries.open_matters import Forecast, forecast_for
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.queries.presence import presence_of_exhibit
from tarsus.records.models import Exhibit, ForecastNote, Nest, Pair, Park, Rule, SignedReason, Species, Stay
from tarsus.records.standing import standing

DAYS_AHEAD: Final = 14


class NoSuchExhibit(NoAnswer):
    """No exhibit has this id."""

    def __init__(self, exhibit_id: int) -> None:
        self.exhibit_id = exhibit_id
        super().__init__("no such exhibit is in this register; go to Catch-up and choose one")


@dataclass(frozen=True, slots=True)
class Asked:
    """The session that was asked about: when, from which hour (5.25 is 05:15), how long a chase.

    `added`, `taken_out`: birds that the lead wants in the plan, or out of it.
    """

    exhibit_id: int
    day: date
    starts_hour: float
    chase_minutes: float
    added: frozenset[int] = frozenset()
    taken_out: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Signature:
    """A reason that lifts a limit, by whom it is signed, and whether it holds."""

    ruled: str
    reason: str
    bird: str
    bird_id: int | None
    vet: str
    lead: str

    @property
    def holds(self) -> bool:
        """Whether vet and lead have both signed."""
        return bool(self.vet and self.lead)

    @property
    def waits_for(self) -> str:
        """Whose signature is missing, as a role; empty where it holds."""
        return "" if self.holds else "lead" if self.vet else "vet"


@dataclass(frozen=True, slots=True)
class Proposal:
    """A plan with all that a page tells about it."""

    asked: Asked
    exhibit: str
    plan: CatchPlan
    prices: Mapping[int, Price]
    limits: CatchLimits
    forecast: Forecast | None
    nests: tuple[str, ...]
    signatures: tuple[Signature, ...]
    portraits: Mapping[int, Portrait]
    caution: str
    kept: tuple[KeptPlan, ...]
    days: tuple[CatchDay, ...]
    kit: Kit


@once
def proposed(asked: Asked, now: datetime) -> Proposal:
    """Propose a catch-up of one exhibit, in a number of queries that does not grow with its birds.

    Raises:
        NoSuchExhibit: there is none of this id.
    """
    exhibit = Exhibit.objects.filter(pk=asked.exhibit_id).first()
    if exhibit is None:
        raise NoSuchExhibit(asked.exhibit_id)
    today = day_of(now, park_zone())
    birds = flock_of(asked.exhibit_id, today)
    rows = {row.pk: row for row in Species.objects.filter(pk__in={bird.species_id for bird in birds})}
    signatures = _signatures(asked)
    limits = _limits(rows.values())
    sessions = _sessions(asked, today, asked.day)
    session = sessions[asked.day]
    candidates = _candidates(asked, birds, rows, now)
    plan = plan_catch_up(candidates, session, limits, added=asked.added, taken_out=asked.taken_out)
    caught = {one.bird for one in plan.chosen}
    return Proposal(
        asked=asked,
        exhibit=exhibit.name,
        plan=plan,
        prices={price.bird: price for price in prices(candidates, session, limits)},
        limits=limits,
        forecast=forecast_for(asked.day),
        nests=session.nests,
        signatures=signatures,
        portraits={bird.bird_id: portrait_of(bird) for bird in birds},
        caution=caution(CATCH),
        kept=kept_plans(today, asked.exhibit_id),
        days=tuple(catch_day(candidates, sessions[day], limits) for day in _fortnight(today)),
        kit=kit_for(
            [bird for bird in birds if bird.bird_id in caught],
            {one.bird: one.duties for one in candidates},
            today,
        ),
    )


def _candidates(
    asked: Asked, birds: Sequence[FlockBird], rows: Mapping[int, Species], now: datetime
) -> list[Candidate]:
    today = day_of(now, park_zone())
    presence = presence_of_exhibit(asked.exhibit_id, now)
    rules, told = care_rules(today), care_facts(birds, presence, now)
    mates = _mates(birds, today)
    found = []
    for bird, facts in zip(birds, told.birds, strict=True):
        due = duties_of(facts, rules.species[bird.species_id], rules.park, asked.day)
        found.append(
            Candidate(
                bird=bird.bird_id,
                name=bird.name,
                duties=tuple(due),
                minutes=minutes_in_hand(due),
                last_handled_on=told.last_handled.get(bird.bird_id),
                mate=mates.get(bird.bird_id),
                moulting=facts.moulting,
                unseen_days=max(facts.unseen_days, 1) if facts.advice != PRESENT else 0,
                rest_days=rows[bird.species_id].rest_days,
            )
        )
    return found


def _mates(birds: Sequence[FlockBird], today: date) -> dict[int, int]:
    """Mates of species whose rule matches mates; both live in the exhibit."""
    matched = set(
        Rule.objects.filter(from_on__lte=today, mates_match=True).values_list("species_id", flat=True)
    )
    here = {bird.bird_id for bird in birds if bird.species_id in matched}
    mates: dict[int, int] = {}
    for first, second in Pair.objects.filter(on_day(today)).values_list("first_id", "second_id"):
        if first in here and second in here:
            mates[first], mates[second] = second, first
    return mates


def _limits(rows: Collection[Species]) -> CatchLimits:
    """The park's limits, made stricter by those of any species in the exhibit."""
    park = one_park() or Park()
    minutes = [row.minutes_from_chase for row in rows if row.minutes_from_chase is not None]
    hot = [row.too_hot_c for row in rows if row.too_hot_c is not None]
    cold = [c for c in (park.too_cold_c, *(row.too_cold_c for row in rows)) if c is not None]
    return CatchLimits(
        minutes=float(min([park.minutes_from_chase, *minutes])),
        rest_days=park.rest_days,
        too_hot_c=min([park.too_hot_c, *hot]),
        until_hour=float(park.catch_until_hour),
        too_cold_c=max(cold, default=None),
    )


def session_on(asked: Asked) -> Session:
    """The session of a day as the register knows it: forecast, nests, what was lifted."""
    return _sessions(asked, asked.day, asked.day, days=1)[asked.day]


def limits_of(exhibit_id: int, day: date) -> CatchLimits:
    """The limits of a catch in an exhibit, by the species that live there."""
    species = {bird.species_id for bird in flock_of(exhibit_id, day)}
    return _limits(Species.objects.filter(pk__in=species))


def _fortnight(today: date) -> list[date]:
    """The days of the strip: a catch-up is planned for tomorrow at the earliest."""
    return [today + timedelta(days=ahead) for ahead in range(1, DAYS_AHEAD + 1)]


def _sessions(asked: Asked, today: date, *more: date, days: int = DAYS_AHEAD) -> dict[date, Session]:
    """The same session on each of the coming days, in a constant number of queries."""
    wanted = sorted({*_fortnight(today)[:days], *more})
    nests = list(
        Nest.objects.filter(
            Q(to_on__isnull=True) | Q(to_on__gt=wanted[0]),
            exhibit_id=asked.exhibit_id,
            forbids_chase=True,
            taken_back_at__isnull=True,
            from_on__lte=wanted[-1],
        )
        .select_related("place", "pair__first", "pair__second")
        .order_by("pk")
    )
    forecasts: dict[date, ForecastNote] = {}
    rows = standing(ForecastNote.objects.filter(for_day__in=wanted))
    for row in rows.order_by("happened_at", "recorded_at"):
        forecasts[row.for_day] = row
    held: dict[date, list[Signed]] = defaultdict(list)
    for reason in SignedReason.objects.filter(
        exhibit_id=asked.exhibit_id, for_day__in=wanted, vet__isnull=False, lead__isnull=False
    ).order_by("pk"):
        held[reason.for_day].append(Signed(reason.ruled, reason.reason, reason.bird_id))
    return {
        day: Session(
            day=day,
            starts_hour=asked.starts_hour,
            high_c=forecasts[day].high_c if day in forecasts else None,
            low_c=forecasts[day].low_c if day in forecasts else None,
            chase_minutes=asked.chase_minutes,
            nests=tuple(
                _nest(row) for row in nests if row.from_on <= day and (row.to_on is None or day < row.to_on)
            ),
            signed=tuple(held[day]),
        )
        for day in wanted
    }


def _nest(row: Nest) -> str:
    whose = f"{row.pair.first} and {row.pair.second}, " if row.pair else ""
    where = f", {row.place.name}" if row.place else ""
    return f"{whose}{row.name}{where}"


def _signatures(asked: Asked) -> tuple[Signature, ...]:
    rows = (
        SignedReason.objects.filter(exhibit_id=asked.exhibit_id, for_day=asked.day)
        .select_related("vet", "lead", "bird")
        .order_by("pk")
    )
    return tuple(
        Signature(
            row.ruled,
            row.reason,
            str(row.bird) if row.bird else "",
            row.bird_id,
            row.vet.display_name if row.vet else "",
            row.lead.display_name if row.lead else "",
        )
        for row in rows
    )


def exhibits_to_catch_in(day: date) -> tuple[tuple[int, str], ...]:
    """Exhibits that birds live in on a day, in the park's order: id and name."""
    lived_in = Stay.objects.filter(on_day(day)).values("exhibit_id")
    rows = Exhibit.objects.filter(closed_on__isnull=True, pk__in=lived_in).order_by("order", "name")
    return tuple(rows.values_list("pk", "name"))
