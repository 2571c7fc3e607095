"""The report of catch-ups: what was planned for each bird, and what became of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from tarsus.core.care.catch_outcome import Outcome
from tarsus.core.reports.report import Cell, Column, Kind, Part, Report, Row
from tarsus.queries.kept_catch_ups import KeptPlan, PlanNow, plans_between, plans_now
from tarsus.queries.park_reports.asked import Asked, at_park

_EACH: Final = (
    Column("catch-up", Kind.DAY),
    Column("exhibit", wide=1),
    Column("bird", wide=1),
    Column("planned", wide=3),
    Column("outcome", wide=2),
    Column("when", Kind.MOMENT),
    Column("told by"),
)
_SUMS: Final = (
    Column("catch-up", Kind.DAY),
    Column("exhibit", wide=1),
    Column("planned by"),
    Column("birds", Kind.NUMBER, summed=True),
    Column("handled", Kind.NUMBER, summed=True),
    Column("not caught", Kind.NUMBER, summed=True),
    Column("let go unhandled", Kind.NUMBER, summed=True),
    Column("not told", Kind.NUMBER, summed=True),
    Column("state"),
)
NOTE: Final = (
    "Planned is what was due when the catch-up was kept. A bird that was in hand on its day counts as "
    "handled."
)


def catch_ups(asked: Asked) -> Report:
    """The catch-ups of a span of days with the outcome of each bird, in a constant number of queries."""
    told = plans_now(plans_between(asked.first, asked.last, asked.exhibit_id), {})
    parts = (
        Part("Catch-ups", _SUMS, tuple(_sum(one) for one in told), "No catch-up was planned."),
        Part("Birds", _EACH, tuple(row for one in told for row in _each(one)), "No bird was to be caught."),
    )
    return Report("catch-ups", "Catch-ups", asked.words, parts, (NOTE,))


def _sum(told: PlanNow) -> Row:
    plan, hows = told.plan, [one.how for one in told.outcomes]
    untold = sum(one.untold for one in told.outcomes)
    numbers = (len(hows), *(hows.count(how) for how in ("handled", "not caught", "let go unhandled")), untold)
    state = "dropped" if plan.dropped else "open" if plan.open else "signed off"
    return Row((str(plan.catch_up_id),), (plan.planned_for, plan.exhibit, plan.planned_by, *numbers, state))


def _each(told: PlanNow) -> Iterator[Row]:
    for (bird, name, why), outcome in zip(told.plan.birds, told.outcomes, strict=True):
        yield Row((str(told.plan.catch_up_id), str(bird)), _cells(told.plan, name, why, outcome), bird)


def _cells(plan: KeptPlan, name: str, why: tuple[str, ...], outcome: Outcome) -> tuple[Cell, ...]:
    at = at_park(outcome.at) if outcome.at else None
    return (plan.planned_for, plan.exhibit, name, "; ".join(why), outcome.words, at, outcome.by)
