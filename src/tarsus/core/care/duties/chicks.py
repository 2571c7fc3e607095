"""Bands on growing legs: looked at as often as the vet says, and off before they bind."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from tarsus.core.care import cautions
from tarsus.core.care.duties.bands import BAND_CHECKED, BAND_REPLACED
from tarsus.core.care.duties.due import due_on
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import BandOn, BirdFacts, SpeciesRules


def chick_duties(bird: BirdFacts, species: SpeciesRules, today: date) -> Iterator[Duty]:
    """Check every band on a growing leg, temporary or not; replace a temporary one when the leg is grown.

    Source:
        Growing legs and temporary bands: common practice; docs/science/cautions.md.
    """
    age = bird.age_days(today)
    for band in bird.bands:
        if age is not None and age < species.leg_grown_at_days:
            if "wing" not in band.site:
                yield from _check(bird, band, species, age, today)
        elif band.temporary and "missing" not in band.conditions:
            yield _outgrown(bird, band, age)


def _check(bird: BirdFacts, band: BandOn, species: SpeciesRules, age: int, today: date) -> Iterator[Duty]:
    due = due_on(band.checked_on or band.since, species.chick_check_every_days, today)
    if due is None:
        return
    late = due < today
    urgency = Urgency.NOW if late else Urgency.TODAY if due == today else Urgency.SOON
    yield Duty(
        kind="chick band check",
        bird=bird.bird,
        exhibit=bird.exhibit,
        subject=f"band {band.band}",
        what=f"Check {bird.name}'s band: {band.words}.",
        why=f"A chick of {age} days; the leg outgrows it. Every {species.chick_check_every_days} days.",
        by=due,
        urgency=urgency,
        caution=cautions.CHICK_BAND,
        in_hand=True,
        settled_by=BAND_CHECKED,
    )


def _outgrown(bird: BirdFacts, band: BandOn, age: int | None) -> Duty:
    grown = (
        "Its leg is grown" if age is not None else "Its age is not known; a leg that grows would outgrow it"
    )
    return Duty(
        kind="temporary band to replace",
        bird=bird.bird,
        exhibit=bird.exhibit,
        subject=f"band {band.band}",
        what=f"Put a lasting band in place of {bird.name}'s temporary one: {band.words}.",
        why=f"{grown}.",
        by=None,
        urgency=Urgency.WITH_NEXT_HANDLING if age is not None else Urgency.SOON,
        caution=cautions.FIT_BAND,
        in_hand=True,
        settled_by=BAND_REPLACED,
    )
