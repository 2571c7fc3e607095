"""Bands that are missing, worn, faded, tight or unreadable, and those that soon will be."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Final

from tarsus.core.care import cautions
from tarsus.core.care.band_life import likely_unreadable
from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.facts import BandOn, BirdFacts, ParkRules
from tarsus.core.presence.loss import DAYS_A_YEAR

BAND_REPLACED: Final = "band replaced or taken off"
FOUND: Final = ("missing", "tight", "unreadable", "faded", "worn")

_WHAT: Final = {
    "missing": ("Put the record right for", "It was not on the bird when last looked for", Urgency.SOON),
    "tight": ("Have the vet see", "It was found tight", Urgency.NOW),
    "unreadable": ("Replace", "It can no longer be read", Urgency.SOON),
    "faded": ("Replace", "Its colour has faded", Urgency.WITH_NEXT_HANDLING),
    "worn": ("Replace", "It is worn", Urgency.WITH_NEXT_HANDLING),
}
BAND_CHECKED: Final = "band check"
READ_WITHOUT: Final = 2
"""One reading may overlook a band; two in a row are worth a look. Ours."""

LIKELY: Final = 0.2
"""A band this likely to be unreadable before the next catch-up is named. Ours."""


def band_duties(bird: BirdFacts, park: ParkRules, today: date) -> Iterator[Duty]:
    """What each band asks for. A later check that finds it good settles it, and so does another band.

    Source:
        Wear and loss: docs/science/band-life.md; tight bands: common practice; docs/science/cautions.md.
    """
    for band in bird.bands:
        found = [condition for condition in FOUND if condition in band.conditions]
        for condition in found:
            yield _found(bird, band, condition, today)
        if not found and band.read_without >= READ_WITHOUT:
            yield _not_read(bird, band)
        if not found and park.next_catch_up is not None:
            yield from _wearing(bird, band, park, today, park.next_catch_up)


def _not_read(bird: BirdFacts, band: BandOn) -> Duty:
    return Duty(
        kind="band not read any more",
        bird=bird.bird,
        exhibit=bird.exhibit,
        subject=f"band {band.band}",
        what=f"Look whether {bird.name} still wears its band: {band.words}.",
        why=f"{band.read_without} readings in a row saw its {band.site} without it.",
        by=None,
        urgency=Urgency.SOON,
        caution=cautions.NONE,
        in_hand=False,
        settled_by=BAND_CHECKED,
    )


def _found(bird: BirdFacts, band: BandOn, condition: str, today: date) -> Duty:
    deed, why, urgency = _WHAT[condition]
    when = f" on {band.checked_on:%-d %B}" if band.checked_on else ""
    if condition == "tight":
        caution = cautions.TIGHT_BAND
    elif band.certified:
        caution = cautions.CLOSED_BAND
    else:
        caution = cautions.WING_BAND if "wing" in band.site else cautions.FIT_BAND
    return Duty(
        kind=f"band {condition}",
        bird=bird.bird,
        exhibit=bird.exhibit,
        subject=f"band {band.band}",
        what=f"{deed} {bird.name}'s band: {band.words}.",
        why=f"{why}{when}.",
        by=today if urgency is Urgency.NOW else None,
        urgency=urgency,
        caution=caution,
        in_hand=True,
        settled_by=BAND_REPLACED,
    )


def _wearing(
    bird: BirdFacts, band: BandOn, park: ParkRules, today: date, next_catch_up: date
) -> Iterator[Duty]:
    if band.kind not in ("colour", "wing") or band.temporary:
        return
    worn = (today - band.since).days / DAYS_A_YEAR
    ahead = (next_catch_up - today).days / DAYS_A_YEAR
    wear = likely_unreadable(band.kind, band.colour, worn, max(ahead, 0.0), park.band_record)
    if wear.chance < LIKELY:
        return
    yield Duty(
        kind="band wearing out",
        bird=bird.bird,
        exhibit=bird.exhibit,
        subject=f"band {band.band}",
        what=f"Have another ready for {bird.name}: {band.words}.",
        why=(
            f"Worn {worn:.0f} years; {100 * wear.chance:.0f} % likely to be unreadable before "
            f"{next_catch_up:%-d %B %Y} ({wear.rests_on})."
        ),
        by=None,
        urgency=Urgency.WITH_NEXT_HANDLING,
        caution=cautions.FIT_BAND,
        in_hand=True,
        settled_by=BAND_REPLACED,
    )
