"""Newcomers and the flock they will join: who is too alike, and the fewest changes that settle it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import Final
from uuid import UUID

from tarsus.core.choosing.clashes import NobodyToRebandLeft, NoMarksLeft
from tarsus.core.choosing.rebanding import RebandingPlan, on_the_wrong_side, plan_rebanding
from tarsus.core.marks.birds import Bird as CoreBird
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.rules import MarkRule
from tarsus.core.readings.misreading import Misreading
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.decision import park_decision
from tarsus.queries.exhibit_names import exhibit_names
from tarsus.queries.flock import FlockBird, birds_everywhere
from tarsus.queries.marking_answer import Drawn
from tarsus.queries.marking_birds import as_will_be, drawer, plans_of
from tarsus.queries.marking_rules import rule_of
from tarsus.queries.observers import park_misreading
from tarsus.queries.portraits import Portrait, portrait_of
from tarsus.queries.quarantine import held_in_quarantine
from tarsus.queries.resting_marks import resting_marks
from tarsus.records.models import Arrival, Exhibit, ToldDeed
from tarsus.records.models.words import Purpose
from tarsus.records.standing import standing

LATELY: Final = timedelta(days=30)
"""So long after it came a bird is a newcomer, where quarantine does not hold it longer. Ours."""

NEWCOMER, RESIDENT = 1_000.0, 1_001.0
"""What changing a bird costs: the fewest birds first; of equal plans the one that leaves the flock alone."""


@dataclass(frozen=True, slots=True)
class Change:
    """A bird to change: what it wears and what it would get, as drawn; `others` are too alike to it."""

    bird_id: int
    name: str
    newcomer: bool
    worn: Portrait
    given: Drawn
    bands: int
    others: tuple[Portrait, ...]
    other_side: bool


@dataclass(frozen=True, slots=True)
class Joining:
    """Newcomers of one look-alike group. `changes` settle all clashes; `refusal` says why nothing does.

    `flock` names the exhibits where the group lives, `stay` how many of all these birds keep their marks.
    """

    exhibit_id: int
    lookalike: str
    flock: tuple[str, ...]
    newcomers: tuple[Portrait, ...]
    held: tuple[int, ...]
    changes: tuple[Change, ...]
    stay: int
    proven: bool
    refusal: str
    rule: bool


@dataclass(frozen=True, slots=True)
class Shipment:
    """Birds that came together; `told` is the deed by which all of it is taken back."""

    came_from: str
    on: date
    by: str
    exhibit: str
    papers: str
    birds: tuple[Portrait, ...]
    told: UUID


def shipments(now: datetime) -> tuple[Shipment, ...]:
    """Shipments of the last weeks, the latest first."""
    zone = park_zone()
    rows = standing(ToldDeed.objects.filter(kind="birds_come", happened_at__gt=now - LATELY - LATELY))
    told = list(rows.select_related("by").order_by("-happened_at"))
    names = exhibit_names()
    portraits = {bird.bird_id: portrait_of(bird) for bird in birds_everywhere(day_of(now, zone))}
    return tuple(
        Shipment(
            came_from=row.contents["came_from"],
            on=day_of(row.happened_at, zone),
            by=row.by.display_name,
            exhibit=names.get(row.contents["exhibit"], ""),
            papers=row.contents.get("papers", ""),
            birds=tuple(portraits[bird] for bird in row.wrote.get("birds", ()) if bird in portraits),
            told=row.pk,
        )
        for row in told
    )


def joinings(now: datetime) -> tuple[Joining, ...]:
    """Every look-alike group with newcomers: those in quarantine, and those that came lately."""
    zone = park_zone()
    today = day_of(now, zone)
    birds = birds_everywhere(today)
    apart = set(Exhibit.objects.filter(purpose=Purpose.QUARANTINE).values_list("pk", flat=True))
    held = held_in_quarantine([bird.bird_id for bird in birds if bird.exhibit_id in apart], now, zone)
    came = standing(Arrival.objects.filter(happened_at__gt=now - LATELY, happened_at__lte=now))
    new = set(held) | set(came.values_list("bird_id", flat=True))
    groups: dict[str, list[FlockBird]] = defaultdict(list)
    for bird in birds:
        groups[bird.lookalike].append(bird)
    return tuple(
        _joining(lookalike, group, new, tuple(held), today)
        for lookalike, group in sorted(groups.items())
        if any(bird.bird_id in new for bird in group)
    )


def _joining(
    lookalike: str, group: Sequence[FlockBird], new: set[int], held: tuple[int, ...], today: date
) -> Joining:
    newcomers = [bird for bird in group if bird.bird_id in new]
    residents = [bird for bird in group if bird.bird_id not in new]
    rule = rule_of(newcomers[0].species_id, today)
    plans = plans_of(group)
    flock = tuple(as_will_be([bird for bird in group if bird.bands], plans))
    plan, refusal = None, ""
    if rule is not None and any(bird.bands for bird in newcomers):
        certified = {str(b.bird_id) for b in group if any(band.certified for band in b.bands)}
        asked = _Asked(
            flock,
            rule,
            drawer(newcomers[0].form, "").held,
            park_misreading([bird for bird in group if bird.bands], today),
            park_decision().clarity,
            frozenset(certified),
            frozenset(str(bird) for bird in new),
            frozenset(one.marks for one in resting_marks(lookalike, today)),
        )
        try:
            plan = _fewest(asked)
        except (NobodyToRebandLeft, NoMarksLeft) as reason:
            refusal = _named(str(reason), group)
    return Joining(
        exhibit_id=newcomers[0].exhibit_id,
        lookalike=lookalike,
        flock=tuple(
            Exhibit.objects.filter(pk__in={b.exhibit_id for b in residents}).values_list("name", flat=True)
        ),
        newcomers=tuple(portrait_of(bird) for bird in newcomers),
        held=held,
        changes=_changes(plan, group, new, rule) if plan is not None and rule is not None else (),
        stay=len(flock) - (len(plan.birds) if plan is not None else 0),
        proven=plan is not None and plan.proven,
        refusal=refusal,
        rule=rule is not None,
    )


@dataclass(frozen=True)
class _Asked:
    """Everything the plan depends on, so that an unchanged flock is worked out once."""

    flock: tuple[CoreBird, ...]
    rule: MarkRule
    colours: tuple[str, ...]
    misreading: Misreading
    clarity: float
    keep: frozenset[str]
    joining: frozenset[str]
    resting: frozenset[Marks]


@lru_cache(maxsize=16)
def _fewest(asked: _Asked) -> RebandingPlan:
    weight = {bird.id: NEWCOMER if bird.id in asked.joining else RESIDENT for bird in asked.flock}
    return plan_rebanding(
        asked.flock,
        asked.rule,
        asked.colours,
        asked.misreading,
        asked.clarity,
        keep=asked.keep,
        weight=weight,
        joining=asked.joining,
        resting=asked.resting,
    )


def _changes(
    plan: RebandingPlan, group: Sequence[FlockBird], new: set[int], rule: MarkRule
) -> tuple[Change, ...]:
    by_id = {str(bird.bird_id): bird for bird in group}
    alike: dict[str, list[str]] = defaultdict(list)
    for one, other in plan.clashes:
        alike[one].append(other)
        alike[other].append(one)
    told = []
    for change in plan.birds:
        bird = by_id[change.bird]
        told.append(
            Change(
                bird_id=bird.bird_id,
                name=bird.name,
                newcomer=bird.bird_id in new,
                worn=portrait_of(bird),
                given=Drawn(change.given.as_mapping(), bird.form),
                bands=change.bands_put_on,
                others=tuple(portrait_of(by_id[other]) for other in alike[change.bird]),
                other_side=on_the_wrong_side(bird.as_core(), rule),
            )
        )
    return tuple(told)


def _named(sentence: str, group: Sequence[FlockBird]) -> str:
    """A refusal that names birds by number, with their names."""
    names = {str(bird.bird_id): bird.name for bird in group}
    return " ".join(names.get(word, word) for word in sentence.split(" "))
