"""A keeper's day at one look: whom to look for, what to call, what is open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from tarsus.queries.days import day_of, park_zone
from tarsus.queries.due_today import DueToday, due_in_park
from tarsus.queries.flock import birds_everywhere
from tarsus.queries.kept_catch_ups import PlanNow, open_plans
from tarsus.queries.once import once
from tarsus.queries.open_matters import (
    Forecast,
    FoundBand,
    OpenCase,
    UnnamedCarcase,
    forecast_for,
    found_bands,
    open_cases,
    unnamed_carcases,
)
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.queries.presence import presence_of_park
from tarsus.queries.reports import OpenReport, open_reports
from tarsus.queries.roll_today import ExhibitToday, ShortCount, exhibits_today, pointed_at, short_counts
from tarsus.queries.unseen import Excused, Unseen, excused_birds, unseen_birds
from tarsus.queries.waiting import how_many_refused


@dataclass(frozen=True, slots=True)
class Today:
    """Everything the page *Today* tells, as of one moment."""

    as_of: datetime
    day: date
    exhibits: tuple[ExhibitToday, ...]
    short: tuple[ShortCount, ...]
    unseen: tuple[Unseen, ...]
    excused: tuple[Excused, ...]
    off_the_roll: tuple[tuple[Portrait, str], ...]
    cases: tuple[OpenCase, ...]
    found: tuple[FoundBand, ...]
    carcases: tuple[UnnamedCarcase, ...]
    reports: tuple[OpenReport, ...]
    refused: int
    forecast: Forecast | None
    catch_ups: tuple[PlanNow, ...]
    due: DueToday

    @property
    def on_roll(self) -> int:
        """Birds on the rolls of all exhibits."""
        return sum(exhibit.on_roll for exhibit in self.exhibits)

    @property
    def to_call(self) -> int:
        """Exhibits with birds whose roll is not called yet, or only in part, or is being called."""
        return sum(
            exhibit.on_roll > 0 and exhibit.state in ("not called", "in part", "open")
            for exhibit in self.exhibits
        )


@once
def today_at(now: datetime) -> Today:
    """What *Today* tells at a moment, in a number of queries that does not grow with birds or exhibits."""
    day = day_of(now, park_zone())
    birds = birds_everywhere(day)
    presence = presence_of_park(now)
    short = short_counts(birds, presence, now)
    return Today(
        as_of=now,
        day=day,
        exhibits=exhibits_today(birds, now),
        short=short,
        unseen=unseen_birds(birds, presence, now, pointed_at(short)),
        excused=excused_birds(birds, presence),
        off_the_roll=tuple((portrait_of(bird), bird.whereabouts) for bird in birds if bird.whereabouts),
        cases=open_cases({bird.bird_id: bird for bird in birds}),
        found=found_bands(birds, presence),
        carcases=unnamed_carcases(),
        reports=open_reports(birds),
        refused=how_many_refused(),
        forecast=forecast_for(day),
        catch_ups=open_plans(),
        due=due_in_park(now, birds, presence),
    )
