"""Keeping the photograph that a sighting was read from, and taking it away again.

Decision 0050.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import transaction

from tarsus.actions.pictures import picture_of
from tarsus.actions.refusals import UnknownFact
from tarsus.actions.telling import Told, write_once
from tarsus.core.documents.taps import parse_taps
from tarsus.core.errors import WrongValue
from tarsus.records.models import Park, Photograph, PhotographBytes, PhotographRemoved, Sighting


@transaction.atomic
def keep_photograph(
    *, told: Told, sighting_id: UUID, taps: Mapping[str, Any], picture: str, own_camera: bool = False
) -> bool:
    """Keep the photograph of a sighting: what was tapped, and the picture as the park wishes.

    The picture is made anew here as it was on the phone: what it says of place and maker is in neither.

    Args:
        told: who tells it.
        sighting_id: what was read in it.
        taps: the colours of what was tapped.
        picture: a JPEG or PNG in base64.
        own_camera: the phone that tells it took it.

    Returns:
        Whether it was written now. Where the park keeps no pictures, what was tapped is kept without it.

    Raises:
        UnknownFact: the sighting was not heard yet.
        WrongValue: no photograph was read there, another one is kept with it, or what is no picture.
    """
    sighting = Sighting.objects.filter(pk=sighting_id).first()
    if sighting is None:
        raise UnknownFact("sighting", sighting_id, "sighting")
    if not sighting.photographed:
        raise WrongValue("sighting", "was not read in a photograph; keep pictures with those that were")
    if Photograph.objects.filter(sighting_id=sighting_id).exclude(pk=told.id).exists():
        raise WrongValue("sighting", "has its photograph; remove nothing, and keep the one")
    columns: dict[str, Any] = {
        "sighting_id": sighting_id,
        "own_camera": own_camera,
        "taps": parse_taps(taps, "taps"),
    }
    made = picture_of(picture, "take another, or keep none")
    days = (Park.objects.first() or Park()).pictures_days
    size = {"width": made.width, "height": made.height} if days else {}
    if not write_once(Photograph, told, columns, derived=size):
        return False
    if days:
        PhotographBytes.objects.create(photograph_id=told.id, jpeg=made.jpeg)
    return True


@transaction.atomic
def remove_photograph(*, told: Told, photograph_id: UUID, because: str) -> bool:
    """Take a kept picture away for good; that it was there, who took it away and why stays.

    Returns:
        Whether it was written now.

    Raises:
        UnknownFact: no photograph has this id.
        WrongValue: it is gone already, or no reason is given.
    """
    if not because.strip():
        raise WrongValue("because", "is empty; say why it is removed")
    if PhotographRemoved.objects.filter(pk=told.id).exists():
        return False
    if not Photograph.objects.filter(pk=photograph_id).exists():
        raise UnknownFact("photograph", photograph_id, "photograph")
    if not PhotographBytes.objects.filter(pk=photograph_id).exists():
        raise WrongValue("photograph", "its picture is not kept here, or is gone already; nothing is left")
    PhotographRemoved.objects.create(
        id=told.id,
        photograph_id=photograph_id,
        by_id=told.by,
        at=told.happened_at,
        because=because.strip(),
    )
    PhotographBytes.objects.filter(pk=photograph_id).delete()
    return True


def clear_pictures(now: datetime) -> int:
    """Take away every picture whose days are over, each with a record that says so.

    It is asked at each sending, and mostly there is none: it takes a writer's turn only where there is one.

    Args:
        now: the moment of asking.

    Returns:
        How many are gone now.
    """
    days = (Park.objects.first() or Park()).pictures_days
    over = PhotographBytes.objects.filter(photograph__recorded_at__lte=now - timedelta(days=days))
    if not over.exists():
        return 0
    because = f"kept for {days} days, as the park chose" if days else "the park keeps no pictures"
    with transaction.atomic():
        gone = list(over.values_list("pk", flat=True))
        PhotographRemoved.objects.bulk_create(
            PhotographRemoved(photograph_id=key, at=now, because=because) for key in gone
        )
        PhotographBytes.objects.filter(pk__in=gone).delete()
    return len(gone)
