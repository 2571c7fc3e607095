"""The page of one catch-up: whom it takes, the kit, what became of each bird, what waits again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from tarsus.core.care.catch_kit import Kit
from tarsus.core.care.catch_limits import CatchLimits, forbidding, minutes_allowed
from tarsus.core.care.catch_outcome import Outcome
from tarsus.core.care.cautions import CATCH, caution
from tarsus.core.errors import NoAnswer
from tarsus.queries.catch_kits import kit_for
from tarsus.queries.catch_up import Asked, limits_of, session_on
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.duties import duties_of_exhibit
from tarsus.queries.flock import birds_named
from tarsus.queries.kept_catch_ups import KeptPlan, kept_plan, plans_now
from tarsus.queries.open_matters import Forecast, forecast_for
from tarsus.queries.portraits import Portrait, portrait_of


class NoSuchCatchUp(NoAnswer):
    """No catch-up has this number."""

    def __init__(self, catch_up_id: int) -> None:
        self.catch_up_id = catch_up_id
        super().__init__("no such catch-up is in this register; go to Catch-up and choose one")


@dataclass(frozen=True, slots=True)
class DayBird:
    """One bird of the plan. `portrait` is `None` for a bird that lives nowhere here any more."""

    bird: int
    name: str
    portrait: Portrait | None
    why: tuple[str, ...]
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class CatchUpDay:
    """A catch-up as its page tells it. `forbidden`: what forbids it as things stand now."""

    plan: KeptPlan
    birds: tuple[DayBird, ...]
    untold: tuple[str, ...]
    kit: Kit
    limits: CatchLimits
    over_hour: float
    forecast: Forecast | None
    forbidden: tuple[str, ...]
    caution: str

    @property
    def waits(self) -> tuple[DayBird, ...]:
        """Birds with work that is due still."""
        return tuple(one for one in self.birds if one.outcome.waits)


def catch_up_day(catch_up_id: int, now: datetime) -> CatchUpDay:
    """One catch-up, in a number of queries that does not grow with its birds.

    Raises:
        NoSuchCatchUp: there is none of this number.
    """
    plan = kept_plan(catch_up_id)
    if plan is None:
        raise NoSuchCatchUp(catch_up_id)
    today = day_of(now, park_zone())
    birds = {bird.bird_id: bird for bird in birds_named([bird for bird, _, _ in plan.birds], today)}
    due = duties_of_exhibit(plan.exhibit_id, now)
    (told,) = plans_now([plan], {bird: [duty.what for duty in own] for bird, own in due.items()})
    outcome = {one.bird: one for one in told.outcomes}
    limits = limits_of(plan.exhibit_id, today)
    session = session_on(Asked(plan.exhibit_id, plan.planned_for, plan.starts_hour, plan.chase_minutes))
    open_now = [birds[one.bird] for one in told.outcomes if one.untold and one.bird in birds]
    return CatchUpDay(
        plan=plan,
        birds=tuple(
            DayBird(bird, name, portrait_of(birds[bird]) if bird in birds else None, why, outcome[bird])
            for bird, name, why in plan.birds
        ),
        untold=told.untold,
        kit=kit_for(open_now, due, today) if plan.open else Kit((), ()),
        limits=limits,
        over_hour=plan.starts_hour + minutes_allowed(session, limits) / 60,
        forecast=forecast_for(plan.planned_for),
        forbidden=forbidding(session, limits) if plan.open else (),
        caution=caution(CATCH),
    )
