"""Weighing, health checks, and the look on the day after a handling."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Final

from tarsus.core.care import cautions
from tarsus.core.care.duties.due import due_on, urgency_of
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import BirdFacts, SpeciesRules
from tarsus.core.care.weight_told import NOTHING, WeightTold, last_alarm, weights_told

WEIGHED: Final = "weighing"
CASE_OPENED: Final = "case opened"
HEALTH_CHECKED: Final = "health check"
SEEN_NEXT_DAY: Final = "next-day check"

AGAIN_WITHIN: Final = timedelta(days=14)
"""A second weighing that agrees ends the asking for one if it came within so long."""

ALARM_STANDS_DAYS: Final = 60
"""An alarm of a weight asks for the vet for so long, whatever is weighed after it."""


def check_duties(bird: BirdFacts, species: SpeciesRules, today: date) -> Iterator[Duty]:
    """Everything that weights, checks and handlings ask for.

    Source:
        Weights: docs/science/weights.md; a look on the day after a handling: common practice.
    """
    yield from _weight(bird, species, today)
    yield from _health(bird, species, today)
    for handling in bird.handlings:
        if handling.check_wanted and not handling.checked and today > handling.on:
            yield _duty(
                bird,
                "next-day check",
                handling.handling,
                f"Look at {bird.name}: stands, walks, feeds, bands turn.",
                f"It was in hand on {handling.on:%-d %B}.",
                handling.on + timedelta(days=1),
                Urgency.TODAY,
                cautions.NONE,
                SEEN_NEXT_DAY,
            )


def _weight(bird: BirdFacts, species: SpeciesRules, today: date) -> Iterator[Duty]:
    limits = species.weight_limits(bird.sex)
    since = today - timedelta(days=ALARM_STANDS_DAYS)
    standing = sum(weight.at.date() >= since for weight in bird.weights)
    lately = weights_told(bird.weights, limits, last=max(2, standing))
    again = bool(lately) and _again(lately[-2:])
    yield from _alarm(bird, last_alarm(lately, since), today)
    if again:
        yield _weigh_again(bird, lately[-1], today)
    if species.weigh_every_days is None or again:
        return
    last = lately[-1].weight.at.date() if lately else None
    due = _due(last or bird.here_since, species.weigh_every_days, today)
    if due is not None:
        yield _duty(
            bird,
            "weigh",
            "",
            f"Weigh {bird.name}.",
            f"Last weighed {last:%-d %B %Y}." if last else "Never weighed here.",
            due,
            urgency_of(due, today),
            cautions.WEIGH,
            WEIGHED,
            in_hand=not (lately and lately[-1].weight.off_hand),
        )


def _again(lately: Sequence[WeightTold]) -> bool:
    """Whether the latest weight waits for a second one: it does unless that one was taken and agreed."""
    *before, latest = lately
    held = any(one.side == latest.side and latest.weight.at - one.weight.at <= AGAIN_WITHIN for one in before)
    return latest.prompt != NOTHING and not held


def _alarm(bird: BirdFacts, alarm: WeightTold | None, today: date) -> Iterator[Duty]:
    if alarm is not None and (bird.vet_told_on is None or bird.vet_told_on < alarm.weight.at.date()):
        yield _duty(
            bird,
            "tell the vet of its weight",
            "",
            f"Tell the vet of {bird.name}'s weight.",
            alarm.sentence,
            today,
            Urgency.TODAY,
            cautions.WEIGH,
            CASE_OPENED,
        )


def _weigh_again(bird: BirdFacts, told: WeightTold, today: date) -> Duty:
    return _duty(
        bird,
        "weigh again",
        f"weight of {told.weight.at:%Y-%m-%d}",
        f"Weigh {bird.name} again.",
        told.sentence,
        today,
        Urgency.TODAY,
        cautions.WEIGH,
        WEIGHED,
        in_hand=not told.weight.off_hand,
    )


def _health(bird: BirdFacts, species: SpeciesRules, today: date) -> Iterator[Duty]:
    if species.health_check_every_days is None:
        return
    last = bird.health_checked_on
    due = _due(last or bird.here_since, species.health_check_every_days, today)
    if due is not None:
        yield _duty(
            bird,
            "health check",
            "",
            f"Health check for {bird.name}.",
            f"Last one {last:%-d %B %Y}." if last else "None on record.",
            due,
            urgency_of(due, today),
            cautions.NONE,
            HEALTH_CHECKED,
            in_hand=True,
        )


def _due(last: date | None, every_days: int, today: date) -> date | None:
    return due_on(last, every_days, today, lead_days=7) if last is not None else today


def _duty(
    bird: BirdFacts,
    kind: str,
    subject: str,
    what: str,
    why: str,
    by: date,
    urgency: Urgency,
    caution: str,
    settled_by: str,
    *,
    in_hand: bool = False,
) -> Duty:
    return Duty(kind, bird.bird, bird.exhibit, subject, what, why, by, urgency, caution, in_hand, settled_by)
