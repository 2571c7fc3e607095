"""Marks against the side of the sex, birds too alike, and marks that wait to be fitted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from tarsus.core.care import cautions
from tarsus.core.care.duties.sexing import NUMBERED, WORDS
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import Alike, BandOn, BirdFacts, ParkRules, SpeciesRules
from tarsus.core.words.numbers import in_hundred

MARKS_CHANGED: Final = "marks changed"
METAL_OFF: Final = "all but one metal band taken off"
PLAN_CHANGED: Final = "other marks kept"
PLAN_FITTED: Final = "planned marks fitted"
OTHER_SEX: Final = "kept marks of the other sex"
"""The duty of a bird whose kept marks are not to be fitted: others are kept at the desk first."""


def marking_duties(bird: BirdFacts, species: SpeciesRules, park: ParkRules) -> Iterator[Duty]:
    """What a bird's marks ask for; it waits for the next handling unless the park re-marks at once.

    Source:
        How alike two birds' marks are: docs/science/clashes.md, eq. 3.
    """
    yield from _two_metals(bird)  # it can hurt: marks that were kept do not hide it
    urgency = Urgency.SOON if park.remark_at_once else Urgency.WITH_NEXT_HANDLING
    if bird.planned and (wrong := _plan_of_the_other_sex(bird, species)) is not None:
        yield wrong
        return
    if bird.planned:
        yield _duty(
            bird,
            "marks to fit",
            "",
            f"Fit {bird.name}'s new marks: {bird.planned}.",
            "Kept at the marking desk.",
            urgency,
            PLAN_FITTED,
        )
        return
    yield from _wrong_side(bird, species, urgency)
    for other in bird.alike:
        if other.same or other.cost > park.wanted_misnaming:
            yield _duty(
                bird,
                "too alike",
                f"bird {other.bird}",
                f"Give {bird.name} or {other.name} other marks.",
                _too_alike(bird, other),
                urgency,
                MARKS_CHANGED,
            )


def _too_alike(bird: BirdFacts, other: Alike) -> str:
    if other.same:
        return f"{bird.name} and {other.name} wear the same marks."
    return f"100 readings of the two cost as much as {in_hundred(other.cost)} wrong names, doubts counted in."


def _wrong_side(bird: BirdFacts, species: SpeciesRules, urgency: Urgency) -> Iterator[Duty]:
    wanted = species.metal_site(bird.sex)
    numbered = [band for band in bird.bands if band.kind in NUMBERED]
    if not wanted or not numbered or any(band.certified for band in numbered):
        return  # a certified mark stays where it is
    side = wanted.split()[0]
    wrong = [band for band in numbered if not band.site.startswith(side)]
    for band in wrong[:1]:  # asked for once, however many bands say so
        yield _duty(
            bird,
            "metal on the other side",
            f"band {band.band}",
            f"Move {bird.name}'s marks: the metal of a {WORDS[bird.sex]} goes on the {wanted}.",
            f"It sits on the {band.site}.",
            urgency,
            MARKS_CHANGED,
        )


def _plan_of_the_other_sex(bird: BirdFacts, species: SpeciesRules) -> Duty | None:
    """Marks that were kept before the sex was known otherwise would be fitted on the wrong side."""
    wanted = species.metal_site(bird.sex)
    if not wanted or not bird.planned_metal or bird.planned_metal == wanted:
        return None
    told = _duty(
        bird,
        OTHER_SEX,
        "",
        f"Keep other marks for {bird.name}: the metal of a {WORDS[bird.sex]} goes on the {wanted}.",
        f"Those that were kept have it on the {bird.planned_metal}.",
        Urgency.SOON,
        PLAN_CHANGED,
    )
    return replace(told, in_hand=False, caution=cautions.NONE)  # work of the desk: nobody is caught for it


def _two_metals(bird: BirdFacts) -> Iterator[Duty]:
    """Two metal bands on one leg can clash and hurt: common practice; docs/science/cautions.md."""
    by_site: dict[str, list[BandOn]] = {}
    for band in bird.bands:
        if band.kind in NUMBERED and "missing" not in band.conditions:
            by_site.setdefault(band.site, []).append(band)
    for site, metals in by_site.items():
        if len(metals) > 1:
            yield _duty(
                bird,
                "two metals on a leg",
                site,  # whose each is gets asked first: no band is named as the one to come off
                f"Take one of {bird.name}'s metal bands off the {site}; ask first whose each is.",
                f"{len(metals)} metal bands sit on the {site}: they can clash and hurt.",
                Urgency.SOON,
                METAL_OFF,
            )


def _duty(
    bird: BirdFacts, kind: str, subject: str, what: str, why: str, urgency: Urgency, settled_by: str
) -> Duty:
    wings = any("wing" in band.site for band in bird.bands)
    caution = cautions.WING_BAND if wings else cautions.FIT_BAND
    return Duty(kind, bird.bird, bird.exhibit, subject, what, why, None, urgency, caution, True, settled_by)
