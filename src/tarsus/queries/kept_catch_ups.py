"""Catch-ups that were kept: whom they take, what became of each bird, and what of their work waits again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any, Final

from django.db.models import Q, QuerySet

from tarsus.core.care.catch_outcome import HANDLED, Missed, Outcome, outcomes
from tarsus.queries.days import day_begins, day_of, park_zone
from tarsus.queries.once import once
from tarsus.records.models import CatchUp, Handling, NotHandled
from tarsus.records.standing import known_by, standing

BACK_FOR: Final = timedelta(days=60)
"""So long a duty says that a catch-up did not settle it. Ours."""

DAWN: Final = 5.25


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A catch-up that was kept: when, where and for whom.

    `starts_hour`, `chase_minutes`, `minutes`: as it was planned; minutes run from the start of catching.
    `birds`: id, name, and what was planned. `signed_off_on`, `dropped`: it is over.
    """

    catch_up_id: int
    exhibit_id: int
    exhibit: str
    planned_for: date
    planned_by: str
    starts_hour: float
    chase_minutes: float
    minutes: float | None
    signed_off_on: date | None
    dropped: bool
    birds: tuple[tuple[int, str, tuple[str, ...]], ...]

    @property
    def open(self) -> bool:
        """Whether it is neither signed off nor dropped."""
        return self.signed_off_on is None and not self.dropped

    @property
    def names(self) -> tuple[str, ...]:
        """The birds by name, in the plan's order."""
        return tuple(name for _, name, _ in self.birds)


@dataclass(frozen=True, slots=True)
class PlanNow:
    """A catch-up with what became of its birds so far."""

    plan: KeptPlan
    outcomes: tuple[Outcome, ...]

    @property
    def untold(self) -> tuple[str, ...]:
        """Birds of which nobody told yet what became of them."""
        names = {bird: name for bird, name, _ in self.plan.birds}
        return tuple(names[one.bird] for one in self.outcomes if one.untold)


def kept_plans(today: date, exhibit_id: int | None = None) -> tuple[KeptPlan, ...]:
    """Catch-ups that were kept for today or later and are neither done nor dropped, the next one first."""
    rows = _open().filter(planned_for__gte=today)
    if exhibit_id is not None:
        rows = rows.filter(exhibit_id=exhibit_id)
    return tuple(_plan(row) for row in rows)


@once
def open_plans() -> tuple[PlanNow, ...]:
    """Every catch-up that is neither signed off nor dropped, those whose day is past among them, by day."""
    return plans_now([_plan(row) for row in _open()], {})


def over_plans(today: date) -> tuple[PlanNow, ...]:
    """Catch-ups that were signed off of late, the latest first."""
    rows = _rows().filter(dropped_at__isnull=True, done_at__isnull=False, planned_for__gte=today - BACK_FOR)
    return plans_now([_plan(row) for row in rows], {})[::-1]


def plans_between(first: date, last: date, exhibit_id: int | None = None) -> tuple[KeptPlan, ...]:
    """Catch-ups that were kept for days of a span, the earliest first; dropped ones among them."""
    rows = _rows().filter(planned_for__gte=first, planned_for__lte=last)
    if (moment := known_by()) is not None:
        rows = rows.filter(planned_at__lt=moment)
    if exhibit_id is not None:
        rows = rows.filter(exhibit_id=exhibit_id)
    return tuple(_plan(row) for row in rows)


def kept_plan(catch_up_id: int) -> KeptPlan | None:
    """One catch-up, over or not; `None` where there is none of this id."""
    row = _rows().filter(pk=catch_up_id).first()
    return None if row is None else _plan(row)


def plans_now(plans: Sequence[KeptPlan], due: Mapping[int, Collection[str]]) -> tuple[PlanNow, ...]:
    """What became of the birds of catch-ups, in a constant number of queries.

    Args:
        plans: which.
        due: what is due for each bird now, as its duties say it; empty where nobody asks for what waits.
    """
    if not plans:
        return ()
    handled = _handlings(plans)
    missed = _missed(plans)
    told = []
    for plan in plans:
        planned = {bird: why for bird, _, why in plan.birds}
        mine = {
            bird: handled[plan.catch_up_id, bird] for bird in planned if (plan.catch_up_id, bird) in handled
        }
        told.append(PlanNow(plan, outcomes(planned, mine, missed.get(plan.catch_up_id, ()), due)))
    return tuple(told)


def work_told(today: date) -> dict[tuple[int, str], str]:
    """What a duty says of catch-ups: that it is planned for one, or that one did not settle it.

    Args:
        today: the park's day.

    Returns:
        Bird and what its duty says -> a sentence; the latest catch-up has the word.
    """
    since = Q(done_at__isnull=False, planned_for__gte=today - BACK_FOR)
    rows = _rows().filter(Q(dropped_at__isnull=True) & (Q(done_at__isnull=True) | since))
    told: dict[tuple[int, str], str] = {}
    for now in plans_now([_plan(row) for row in rows], {}):
        for outcome, (bird, _, why) in zip(now.outcomes, now.plan.birds, strict=True):
            told |= dict.fromkeys(((bird, what) for what in why), _sentence(now.plan, outcome))
    return told


def _sentence(plan: KeptPlan, outcome: Outcome) -> str:
    on = f"{plan.planned_for:%-d %B}"
    if not outcome.untold and outcome.how != HANDLED:
        return f"Not done in the catch-up of {on}: {outcome.words}."
    if plan.open:
        return f"In the catch-up of {on}."
    return f"Not done in the catch-up of {on}, though it was in hand."


def _rows() -> QuerySet[CatchUp]:
    rows = CatchUp.objects.select_related("exhibit", "planned_by").prefetch_related("birds__bird")
    return rows.order_by("planned_for", "pk")


def _open() -> QuerySet[CatchUp]:
    return _rows().filter(dropped_at__isnull=True, done_at__isnull=True)


def _plan(row: CatchUp) -> KeptPlan:
    limits: Mapping[str, Any] = row.limits or {}
    return KeptPlan(
        catch_up_id=row.pk,
        exhibit_id=row.exhibit_id,
        exhibit=row.exhibit.name,
        planned_for=row.planned_for,
        planned_by=row.planned_by.display_name,
        starts_hour=float(limits.get("starts_hour", DAWN)),
        chase_minutes=float(limits.get("chase_minutes", 5.0)),
        minutes=limits.get("minutes"),
        signed_off_on=day_of(row.done_at, park_zone()) if row.done_at and _known(row.done_at) else None,
        dropped=row.dropped_at is not None and _known(row.dropped_at),
        birds=tuple((one.bird_id, str(one.bird), tuple(one.why)) for one in row.birds.all() if one.chosen),
    )


def _known(written_at: datetime) -> bool:
    """Whether something that was written then belongs to what is asked for: known now, or known once."""
    moment = known_by()
    return moment is None or written_at < moment


def _handlings(plans: Sequence[KeptPlan]) -> dict[tuple[int, int], tuple[datetime, str]]:
    """When a bird of a catch-up was first in hand, from its day on until it was signed off."""
    zone = park_zone()
    days: dict[int, list[KeptPlan]] = defaultdict(list)
    for plan in sorted(plans, key=lambda one: (one.planned_for, one.catch_up_id)):
        for bird, _, _ in plan.birds:
            days[bird].append(plan)
    first = min(plan.planned_for for plan in plans)
    rows = standing(Handling.objects.filter(bird_id__in=days, happened_at__gte=day_begins(first, zone)))
    found: dict[tuple[int, int], tuple[datetime, str]] = {}
    for row in rows.select_related("recorded_by").order_by("happened_at", "pk"):
        on = day_of(row.happened_at, zone)
        mine = [plan for plan in days[row.bird_id] if plan.planned_for <= on <= (plan.signed_off_on or on)]
        if mine:
            key = mine[-1].catch_up_id, row.bird_id
            found.setdefault(key, (row.happened_at, row.recorded_by.display_name))
    return found


def _missed(plans: Iterable[KeptPlan]) -> dict[int, list[tuple[int, Missed]]]:
    rows = standing(NotHandled.objects.filter(catch_up_id__in=[plan.catch_up_id for plan in plans]))
    found: dict[int, list[tuple[int, Missed]]] = defaultdict(list)
    for row in rows.select_related("recorded_by").order_by("happened_at", "pk"):
        told = Missed(row.outcome, row.because, row.recorded_by.display_name, row.happened_at)
        found[row.catch_up_id].append((row.bird_id, told))
    return found
