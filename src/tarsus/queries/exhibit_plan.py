"""The plan of an exhibit, and the walk on it to the birds that are missing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import sqrt
from typing import Any

from tarsus.core.deeds.plans import LOOKED_OVER_IN, WALKED_A_MINUTE
from tarsus.core.presence.advice import LOOK_AGAIN, SEARCH
from tarsus.core.presence.search_walk import Ground, Missing, Pin, Step, search_walk
from tarsus.core.words.numbers import per_cent
from tarsus.core.words.plan import minutes_told, walk_told
from tarsus.paper.plan_on_paper import PaperPin, PaperPlan, PaperStep
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.exhibit_page import exhibit_named
from tarsus.queries.flock import birds_everywhere
from tarsus.queries.last_seen import usual_places
from tarsus.queries.once import once
from tarsus.queries.presence import presence_of_park
from tarsus.queries.roll_today import pointed_at, short_counts
from tarsus.queries.unseen import Unseen, unseen_birds
from tarsus.records.models import ExhibitPlan, Place, PlanPin

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Plan:
    """The plan of an exhibit as it stands: the last that was set.

    `picture` is a JPEG in base64, or empty. `names` are the places that are not closed, in the park's order;
    `pins` those of them that are pinned. `set_at` and `set_by` say when it was drawn, and by whom.
    """

    exhibit_id: int
    ground: Ground
    pins: tuple[Pin, ...]
    names: Mapping[int, str]
    shapes: tuple[Mapping[str, str], ...]
    picture: str
    set_at: datetime
    set_by: str

    def drawn(self) -> Json:
        """What draws it, on a page and on a phone alike; keys as in docs/reference/pack-and-facts.md."""
        return {
            "width_m": self.ground.width_m,
            "tall": self.ground.tall,
            "metres_a_minute": self.ground.metres_a_minute,
            "entrance": list(self.ground.entrance) if self.ground.entrance else None,
            "shapes": [dict(shape) for shape in self.shapes],
            "picture": self.picture,
            "pins": [
                {"place": pin.place, "x": pin.x, "y": pin.y, "minutes": pin.minutes} for pin in self.pins
            ],
        }


@once
def plans_there() -> frozenset[int]:
    """The exhibits that have a plan."""
    return frozenset(ExhibitPlan.objects.values_list("exhibit_id", flat=True))


def plan_of(exhibit_id: int) -> Plan | None:
    """The plan of an exhibit, in three queries; `None` where nobody drew one."""
    row = (
        ExhibitPlan.objects.filter(exhibit_id=exhibit_id)
        .select_related("picture", "recorded_by")
        .order_by("-recorded_at", "-pk")
        .first()
    )
    if row is None:
        return None
    names = places_of(exhibit_id)
    pinned = {pin.place_id: pin for pin in PlanPin.objects.filter(plan=row)}
    return Plan(
        exhibit_id=exhibit_id,
        ground=Ground(row.width_m, row.tall, row.metres_a_minute, _entrance(row)),
        pins=tuple(
            Pin(place, pinned[place].x, pinned[place].y, pinned[place].minutes)
            for place in names
            if place in pinned
        ),
        names=names,
        shapes=tuple(row.shapes),
        picture=row.picture.jpeg if row.picture else "",
        set_at=row.recorded_at,
        set_by=row.recorded_by.display_name,
    )


def places_of(exhibit_id: int) -> dict[int, str]:
    """The places of an exhibit that are not closed, in the park's order."""
    rows = Place.objects.filter(exhibit_id=exhibit_id, closed_on__isnull=True).order_by("order", "id")
    return dict(rows.values_list("pk", "name"))


def plan_in_pack(exhibit_id: int) -> Json | None:
    """The plan as a pack carries it, or nothing where nobody drew one."""
    plan = plan_of(exhibit_id)
    return plan.drawn() if plan else None


def _entrance(row: ExhibitPlan) -> tuple[float, float] | None:
    if row.entrance_x is None or row.entrance_y is None:
        return None
    return row.entrance_x, row.entrance_y


@dataclass(frozen=True, slots=True)
class WalkStep:
    """One place of the walk as a page and a paper tell it; `n` is the number in its pin.

    `likely` are birds, by id and name, with the chance that they are there, the likeliest first.
    """

    n: int
    place: int
    name: str
    minutes: float
    by: float
    likely: tuple[tuple[int, str, float], ...]
    expected: float
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Search:
    """Who is missing in an exhibit, and the walk to find them; `says` how long it is and what it leaves."""

    missing: tuple[Unseen, ...]
    asked: tuple[Unseen, ...]
    steps: tuple[WalkStep, ...]
    says: str


@dataclass(frozen=True, slots=True)
class PlanPage:
    """The plan of an exhibit with the walk on it; `plan` is none where nobody drew one."""

    exhibit_id: int
    exhibit: str
    plan: Plan | None
    search: Search

    def drawn(self) -> Json:
        """What the element `exhibit-plan` draws: the plan, the walk on it and the names that stand there."""
        assert self.plan is not None
        return {
            "exhibit": self.exhibit,
            "plan": self.plan.drawn(),
            "names": [[place, name] for place, name in self.plan.names.items()],
            "birds": [[one.portrait.bird_id, one.portrait.name] for one in self.search.asked],
            "steps": [
                {
                    "place": step.place,
                    "x": step.x,
                    "y": step.y,
                    "minutes": step.minutes,
                    "by": step.by,
                    "likely": [[bird, share] for bird, _, share in step.likely],
                    "expected": step.expected,
                }
                for step in self.search.steps
            ],
        }


@once
def plan_page(exhibit_id: int, now: datetime, bird: int | None = None) -> PlanPage:
    """The plan of an exhibit with where its missing birds may be.

    Args:
        exhibit_id: which exhibit.
        now: the moment of asking.
        bird: one of the missing, where only its own walk is asked for.

    Raises:
        NoSuchExhibit: none has this id.
    """
    name = exhibit_named(exhibit_id)
    everywhere, presence = birds_everywhere(day_of(now, park_zone())), presence_of_park(now)
    birds = [one for one in everywhere if one.exhibit_id == exhibit_id]
    unseen = unseen_birds(birds, presence, now, pointed_at(short_counts(birds, presence, now)))
    plan = plan_of(exhibit_id)
    return PlanPage(exhibit_id, name, plan, search_on(plan, unseen, exhibit_id, now, bird))


def search_on(
    plan: Plan | None, unseen: Iterable[Unseen], exhibit_id: int, now: datetime, bird: int | None = None
) -> Search:
    """The walk to the unseen birds of an exhibit that are looked for, in one query.

    Args:
        plan: of the exhibit.
        unseen: its birds that nobody saw.
        exhibit_id: which exhibit.
        now: the moment of asking.
        bird: the only one to walk for; none, or one that is not missing: all of them.
    """
    missing = tuple(one for one in unseen if one.advice in (SEARCH, LOOK_AGAIN) or one.by_count)
    asked = tuple(one for one in missing if one.portrait.bird_id == bird) or missing
    usual = usual_places(exhibit_id, now) if plan and asked else {}
    looked_for = [
        Missing(one.portrait.bird_id, one.still_here * one.usual, usual.get(one.portrait.bird_id, {}))
        for one in asked
    ]
    walk = search_walk(plan.pins, plan.ground, looked_for) if plan else ()
    steps = _told(walk, plan, asked)
    told = walk_told(
        steps[-1].by if steps else 0.0,
        sum(step.expected for step in steps),
        [one.portrait.name for one in asked],
    )
    return Search(missing, asked, steps, told)


def plan_on_paper(plan: Plan, search: Search) -> PaperPlan:
    """A plan and the walk on it as papers draw them."""
    numbers = {step.place: step for step in search.steps}
    return PaperPlan(
        tall=plan.ground.tall,
        picture=plan.picture,
        shapes=tuple((one["what"], _points(one["points"])) for one in plan.shapes),
        entrance=plan.ground.entrance,
        pins=tuple(_pin(pin, plan.names[pin.place], numbers.get(pin.place)) for pin in plan.pins),
        steps=tuple(
            PaperStep(
                name=step.name,
                minutes=minutes_told(step.minutes),
                by=minutes_told(step.by),
                likely=tuple(f"{name} {per_cent(share)}" for _, name, share in step.likely),
            )
            for step in search.steps
        ),
        says=search.says,
    )


def _pin(pin: Pin, name: str, step: WalkStep | None) -> PaperPin:
    radius = min(1.0, sqrt(step.expected)) if step else 0.0
    return PaperPin(name, pin.x, pin.y, str(step.n) if step else "", radius)


def _points(told: str) -> tuple[tuple[float, float], ...]:
    pairs = (one.split(",") for one in told.split())
    return tuple((float(x), float(y)) for x, y in pairs)


def _told(walk: Sequence[Step], plan: Plan | None, asked: Sequence[Unseen]) -> tuple[WalkStep, ...]:
    if plan is None:
        return ()
    names = {one.portrait.bird_id: one.portrait.name for one in asked}
    return tuple(
        WalkStep(
            n=number,
            place=step.place,
            name=plan.names[step.place],
            minutes=step.minutes,
            by=step.by,
            likely=tuple((bird, names[bird], share) for bird, share in step.likely),
            expected=step.expected,
            x=step.x,
            y=step.y,
        )
        for number, step in enumerate(walk, start=1)
    )


def plan_as_said(exhibit_id: int) -> Json:
    """What the page begins with that sets a plan: the one that stands, or an empty one of common practice."""
    plan = plan_of(exhibit_id)
    if plan is None:
        begun: Json = {"width_m": 40.0, "tall": 1.0, "metres_a_minute": WALKED_A_MINUTE, "entrance": None}
        return begun | {"shapes": [], "picture": "", "pins": [], "minutes": LOOKED_OVER_IN}
    return plan.drawn() | {"minutes": LOOKED_OVER_IN}
