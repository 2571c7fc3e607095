"""Photographs whose bird was then read in the hand, and what they taught of each phone's camera."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q

from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.photographs.ageing import CheckedBand, aged_by_checks
from tarsus.core.photographs.cameras import AS_THOUGHT, Camera
from tarsus.core.presence.loss import DAYS_A_YEAR
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.once import once
from tarsus.records.models import Band, BandCheck, Handling, LearnedCamera, Photograph
from tarsus.records.models.bands import NUMBERED
from tarsus.records.standing import lasting, standing, withdrawn

WITHIN: Final = timedelta(days=30)
"""A bird that was in the hand so soon after its photograph wore what was photographed. Invented."""

MISSING: Final = "missing"
FADED: Final = "faded"
HIDES_COLOUR: Final = frozenset({"unreadable", MISSING})


@dataclass(frozen=True, slots=True)
class CheckedPhotograph:
    """What was tapped, by which phone's own camera (empty where by none), and what the bird wore then."""

    id: UUID
    device: str
    taps: dict[str, Any]
    worn: Marks


def checked_photographs() -> tuple[CheckedPhotograph, ...]:
    """Every photograph whose bird was then in the hand, the oldest first, in four queries.

    Returns:
        Those of birds that within 30 days had a band checked or their number read in the hand, and whose
        bands were the same until then, none of them missing.

    Assumes:
        The name that was confirmed for the photograph was right; what was in the hand was that bird.
    """
    zone = park_zone()
    checks: dict[int, list[datetime]] = defaultdict(list)
    missing: dict[int, list[datetime]] = defaultdict(list)
    looks = BandCheck.objects.filter(~withdrawn("handling_id"), in_hand=True)
    for bird, at, found in standing(looks).values_list("band__bird_id", "happened_at", "condition"):
        (missing if found == MISSING else checks)[bird].append(at)
    read = standing(Handling.objects.exclude(engraving_read=""))
    for bird, at in read.values_list("bird_id", "happened_at"):
        checks[bird].append(at)
    shot = standing(Photograph.objects.filter(~withdrawn("sighting_id"), sighting__bird_id__isnull=False))
    columns = shot.filter(sighting__photographed=True).order_by("sighting__happened_at", "id")
    pictures = columns.values_list(
        "id", "device", "own_camera", "taps", "sighting__bird_id", "sighting__happened_at"
    )
    bands: dict[int, list[Band]] = defaultdict(list)
    for band in lasting(Band.objects.filter(bird_id__in=checks)).select_related("colour").order_by("order"):
        bands[band.bird_id].append(band)
    told = []
    for pk, device, own_camera, taps, bird, taken in pictures:
        after = sorted(at for at in checks.get(bird, ()) if taken < at <= taken + WITHIN)
        if not after or any(taken < at <= after[0] for at in missing.get(bird, ())):
            continue
        worn = _worn(bands[bird], taken, after[0], zone)
        if worn is not None:
            told.append(CheckedPhotograph(pk, device if own_camera else "", taps, worn))
    return tuple(told)


def _worn(bands: Sequence[Band], taken: datetime, checked: datetime, zone: ZoneInfo) -> Marks | None:
    """What a bird wore from its photograph to its check; nothing where a band came or went between.

    A band that came or went on the day of the check did so in the hand.
    """
    first, last = day_of(taken, zone), day_of(checked, zone)
    stacks: dict[str, list[str]] = defaultdict(list)
    for band in bands:
        if first <= band.from_on < last or (band.to_on is not None and first <= band.to_on < last):
            return None
        if band.from_on < first and (band.to_on is None or band.to_on >= last):
            stacks[band.site].append(
                METAL if band.kind in NUMBERED or band.colour is None else band.colour.name
            )
    return Marks.of(stacks)


@once
def checked_bands(today: date) -> tuple[CheckedBand, ...]:
    """The colour bands that are worn and were checked in the hand, each by its last such check, in one query.

    A check that found a band unreadable or missing and says nothing of fading tells nothing of its colour.
    """
    looks = BandCheck.objects.filter(~withdrawn("handling_id"), in_hand=True, band__colour__isnull=False)
    worn = looks.filter(
        Q(band__to_on__isnull=True) | Q(band__to_on__gt=today),
        band__taken_back_at__isnull=True,
        band__temporary=False,
    )
    zone = park_zone()
    last: dict[int, tuple[datetime, str, date, set[str]]] = {}
    columns = ("band_id", "band__colour__name", "band__from_on", "happened_at", "condition")
    for band, colour, from_on, at, condition in standing(worn).order_by("happened_at").values_list(*columns):
        if band not in last or last[band][0] != at:
            last[band] = (at, colour, from_on, set())
        last[band][3].add(condition)
    return tuple(
        CheckedBand(
            colour,
            (day_of(at, zone) - from_on).days / DAYS_A_YEAR,
            (today - from_on).days / DAYS_A_YEAR,
            FADED in found,
        )
        for at, colour, from_on, found in last.values()
        if FADED in found or not found & HIDES_COLOUR
    )


def camera_of(device: str, today: date) -> Camera | None:
    """What serves a phone: its camera's exponent, as far as it was earned, and how the park's bands age.

    How they age is what photographs earned, and what checks in the hand found of each colour.

    Args:
        device: the phone's own id; empty where none is known.
        today: the park's day.

    Returns:
        Nothing where nothing was learned, so that everything is as thought.
    """
    camera, taught_by = taught_by_photographs(device)
    camera = aged_by_checks(checked_bands(today), camera, taught_by)
    return None if camera == AS_THOUGHT else camera


def taught_by_photographs(device: str) -> tuple[Camera, int]:
    """What photographs taught of a phone and of the park, as far as earned, and how many of the park."""
    rows = LearnedCamera.objects.filter(device__in={device, ""})
    kept = {row.device: row.lesson for row in rows if row.lesson["earned"]}
    taught_by = 0
    camera = AS_THOUGHT
    if device and device in kept:
        camera = replace(camera, exponent=Camera.of_plain(kept[device]).exponent)
    if "" in kept:
        camera = replace(camera, ageing=Camera.of_plain(kept[""]).ageing)
        taught_by = int(kept[""]["lessons"])
    return camera, taught_by
