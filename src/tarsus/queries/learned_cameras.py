"""What photographs taught of a person's own phones, for that person; and of the park's bands."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from django.db.models import Count, Max, Min

from tarsus.core.photographs.ageing import aged_by_checks, faded_share
from tarsus.core.photographs.cameras import AS_THOUGHT, Camera
from tarsus.core.words.cameras import AGED, counts_as
from tarsus.queries.cameras import checked_bands, taught_by_photographs
from tarsus.records.models import LearnedCamera, Photograph
from tarsus.records.standing import standing, withdrawn

APART: Final = 0.03
"""A colour is named whose share of faded bands is so far from the rest's. Ours."""


@dataclass(frozen=True, slots=True)
class LearnedOfCamera:
    """A phone of somebody's: how many photographs of theirs it took, when, and what is known of it.

    `rests_on` counts whoever's photographs whose bird was then in the hand. `changes` says what is different
    for it; empty until that is earned.
    """

    sent: int
    first_at: datetime
    last_at: datetime
    rests_on: int
    changes: str


@dataclass(frozen=True, slots=True)
class Aged:
    """A way in which bands have aged: its share of them as thought, and now."""

    way: str
    thought: float
    now: float


@dataclass(frozen=True, slots=True)
class LearnedOfBands:
    """What photographs taught of the park's bands, on how many it rests, and whether it is earned.

    `cameras`: of how many phones' cameras something is learned; `cameras_earned`: of how many it serves.
    """

    rests_on: int
    earned: bool
    ways: tuple[Aged, ...]
    cameras: int
    cameras_earned: int


@dataclass(frozen=True, slots=True)
class LearnedOfColour:
    """Of a colour that ages otherwise than the rest: the share that has faded, a little or more, and why so.

    `called`: so many of the `checked` bands of it were called faded when last in the hand.
    """

    colour: str
    now: float
    called: int
    checked: int


@dataclass(frozen=True, slots=True)
class LearnedOfChecks:
    """What checks in the hand taught of how each colour ages, on how many bands it rests.

    `rest`: the share of every other colour that has faded, a little or more; `thought`: as thought before.
    """

    checked: int
    rest: float
    thought: float
    colours: tuple[LearnedOfColour, ...]


def learned_of_checks(today: date) -> LearnedOfChecks | None:
    """What checks in the hand taught of how each colour ages, the most faded first, in two queries.

    Returns:
        Nothing before a band that is worn was checked in the hand.
    """
    bands = checked_bands(today)
    if not bands:
        return None
    camera = aged_by_checks(bands, *taught_by_photographs(""))
    called: Counter[str] = Counter(band.colour for band in bands if band.faded)
    checked = Counter(band.colour for band in bands)
    rows = [
        LearnedOfColour(colour, faded_share(ways), called[colour], checked[colour])
        for colour, ways in camera.ageing_of
    ]
    rest = faded_share(camera.ageing)
    apart = [row for row in rows if abs(row.now - rest) >= APART]
    told = tuple(sorted(apart, key=lambda row: -row.now))
    return LearnedOfChecks(len(bands), rest, faded_share(AS_THOUGHT.ageing), told)


def learned_of_cameras(person_id: int) -> tuple[LearnedOfCamera, ...]:
    """What was learned of each phone whose camera a person used, the latest first, in two queries."""
    own = standing(
        Photograph.objects.filter(~withdrawn("sighting_id"), recorded_by=person_id, own_camera=True)
    )
    phones = list(
        own.exclude(device="")
        .values_list("device")
        .annotate(sent=Count("pk"), first=Min("happened_at"), last=Max("happened_at"))
        .order_by("-last")
    )
    rows = LearnedCamera.objects.filter(device__in=[device for device, *_ in phones])
    kept = {row.device: row.lesson for row in rows}
    return tuple(
        LearnedOfCamera(sent, first, last, *_of_camera(kept.get(device)))
        for device, sent, first, last in phones
    )


def learned_of_bands() -> LearnedOfBands | None:
    """What photographs taught of the park's bands, in one query; nothing before there was a first lesson."""
    kept = {row.device: row.lesson for row in LearnedCamera.objects.all()}
    park = kept.pop("", None)
    if park is None:
        return None
    ageing = Camera.of_plain(park).ageing
    ways = tuple(map(Aged, AGED, AS_THOUGHT.ageing, ageing))
    earned = sum(bool(lesson["earned"]) for lesson in kept.values())
    return LearnedOfBands(park["lessons"], park["earned"], ways, len(kept), earned)


def _of_camera(lesson: dict[str, Any] | None) -> tuple[int, str]:
    if lesson is None:
        return 0, ""
    return lesson["lessons"], counts_as(Camera.of_plain(lesson).exponent) if lesson["earned"] else ""
