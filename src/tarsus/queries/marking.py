"""The marking desk: marks proposed for birds of one flock, and what they make of it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from tarsus.core.care.cautions import CHICK_BAND, FIT_BAND, WING_BAND, caution
from tarsus.core.words.marks_cost import compared
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.decision import park_decision
from tarsus.queries.flock import FlockBird
from tarsus.queries.flock_page import flock_birds
from tarsus.queries.marking_answer import Answer, Asked, Drawn, LeftOver, Named, Proposal
from tarsus.queries.marking_birds import (
    InDrawer,
    Planned,
    ToMark,
    birds_to_mark,
    drawer,
    plans_of,
    residents_of,
    too_alike,
    with_mates,
)
from tarsus.queries.marking_rules import rule_of
from tarsus.queries.observers import park_misreading
from tarsus.queries.resting_marks import resting_marks
from tarsus.records.models import Exhibit, Species

MOST_PROPOSED: Final = 12


@dataclass(frozen=True, slots=True)
class Kept:
    """Marks that wait for a bird's next handling."""

    planned_id: int
    bird_id: int
    name: str
    drawn: Drawn
    because: str


@dataclass(frozen=True, slots=True)
class Rests:
    """Marks of a bird that died or left, and the day from which they are offered again."""

    name: str
    drawn: Drawn
    until: date


@dataclass(frozen=True, slots=True)
class Desk:
    """One flock at the desk; `refusal` says why nothing is proposed, `rule` whether its species has one."""

    exhibit_id: int
    exhibit: str
    lookalike: str
    rule: bool
    named: Named | None
    habit: Named | None
    least_loss: float
    sureness: float
    doubt: float
    proposals: tuple[Proposal, ...]
    waiting: tuple[tuple[int, str, str, bool], ...]
    kept: tuple[Kept, ...]
    stock: tuple[LeftOver, ...]
    cautions: tuple[str, ...]
    refusal: str
    resting: tuple[Rests, ...]
    residents: tuple[str, ...]
    says: str
    sites: tuple[str, ...]
    birds: tuple[tuple[int, str], ...]


def marking_desk(
    exhibit_id: int, lookalike: str, now: datetime, chosen: Collection[int] | None = None
) -> Desk:
    """Propose marks for birds of one flock.

    Args:
        exhibit_id: where it lives.
        lookalike: its look-alike group.
        now: the moment of asking.
        chosen: the birds to be marked; left out, the first dozen that need marks and have no plan.

    Returns:
        What to fit on whom and why, next to what was kept before.

    Raises:
        NoSuchFlock: none of its birds lives there today.
    """
    today = day_of(now, park_zone())
    birds = flock_birds(exhibit_id, lookalike, today)
    plans = plans_of(birds)
    species = max({b.species_id for b in birds}, key=[b.species_id for b in birds].count)
    rule = rule_of(species, today)
    residents = residents_of(birds, exhibit_id, today)
    need: tuple[ToMark, ...] = ()
    decision = park_decision()
    if rule is not None:
        eyes = park_misreading([b for b in (*birds, *residents) if b.bands], today)
        alike = too_alike(birds, residents, eyes, decision)
        need = with_mates(birds_to_mark(birds, rule, today, alike), birds, today)
    open_ = [one for one in need if one.bird.bird_id not in plans]
    wanted = [
        one
        for at, one in enumerate(open_)
        if (at < MOST_PROPOSED if chosen is None else one.bird.bird_id in chosen)
    ]
    waiting = (*plans.values(), *plans_of(residents).values())
    held = _drawer_of(species)
    rests = resting_marks(lookalike, today)
    resting = frozenset(one.marks for one in rests)
    asked = Asked((*birds, *residents), tuple(wanted), waiting, rule, held, today, decision.sureness, resting)
    answer = Answer(asked)
    habit, least = answer.habit(), answer.found.loss_bound if answer.found else 0.0
    named = answer.named
    return Desk(
        exhibit_id=exhibit_id,
        exhibit=Exhibit.objects.get(pk=exhibit_id).name,
        lookalike=lookalike,
        rule=rule is not None,
        named=named,
        habit=habit,
        least_loss=least,
        sureness=decision.sureness,
        doubt=1.0 - decision.sureness,
        proposals=answer.proposals(),
        waiting=tuple((one.bird.bird_id, one.bird.name, one.because, one in wanted) for one in open_),
        kept=tuple(_kept(birds, plans)),
        stock=answer.left_over(),
        cautions=_cautions(wanted),
        refusal=answer.refusal,
        resting=tuple(Rests(one.name, Drawn(one.marks.as_mapping(), one.form), one.until) for one in rests),
        residents=tuple(
            Exhibit.objects.filter(pk__in={b.exhibit_id for b in residents}).values_list("name", flat=True)
        ),
        says=compared(named.loss, habit.loss if habit else None, least) if answer.found and named else "",
        sites=tuple(Species.objects.values_list("sites", flat=True).get(pk=species)),
        birds=tuple((bird.bird_id, bird.name) for bird in birds),
    )


def _drawer_of(species_id: int) -> InDrawer:
    form, size = Species.objects.values_list("form", "band_size").get(pk=species_id)
    return drawer(form, size)


def _kept(birds: Sequence[FlockBird], plans: dict[int, Planned]) -> list[Kept]:
    return [
        Kept(
            plan.planned_id,
            bird.bird_id,
            bird.name,
            Drawn(plan.marks.as_mapping(), bird.form),
            plan.because,
        )
        for bird in birds
        if (plan := plans.get(bird.bird_id)) is not None
    ]


def _cautions(wanted: Sequence[ToMark]) -> tuple[str, ...]:
    keys = [FIT_BAND]
    if any(one.growing for one in wanted):
        keys.append(CHICK_BAND)
    if any(one.bird.form == "wings" for one in wanted):
        keys.append(WING_BAND)
    return tuple(caution(key) for key in keys)
