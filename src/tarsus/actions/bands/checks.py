"""What a look at a band found, and bands that lay on the floor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from uuid import UUID, uuid5

from django.db import transaction

from tarsus.actions.bands.fitting import take_off_band
from tarsus.actions.known import known, known_exhibit, known_place
from tarsus.actions.refusals import OutOfOrder
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.queries.days import day_of, park_zone
from tarsus.records.models import Band, BandCheck, BandFound, BandOwnerNamed, Colour
from tarsus.records.models.words import BandKind, Condition, WhyOff


@transaction.atomic
def check_band(
    *,
    told: Told,
    band_id: int,
    conditions: Sequence[str],
    in_hand: bool = False,
    handling_id: UUID | None = None,
    note: str = "",
) -> bool:
    """Write down the state of one band: good, or all that is wrong with it.

    A band found missing stays on the record, drawn as lost, until somebody takes it off there: what a bird
    wears is changed by a deed of its own.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such band.
        UnknownWord: no such condition.
        WrongValue: nothing was found, or *good* together with something that is not.
        OutOfOrder: the check is before the band was fitted.
    """
    band = known(Band, band_id, "band")
    found = sorted(set(conditions))
    for word in found:
        if word not in Condition.values:
            raise UnknownWord("conditions", word, "condition of a band", Condition.values)
    if not found or (Condition.GOOD in found and len(found) > 1):
        raise WrongValue("conditions", "say 'good', or everything that is not")
    if day_of(told.happened_at, park_zone()) < band.from_on:
        raise OutOfOrder("at", f"this band was fitted on {band.from_on} only; check which band it was")
    columns = {"band_id": band_id, "in_hand": in_hand, "handling_id": handling_id, "note": note}
    written = False
    for word in found:
        # One row a condition, all of one moment; their ids follow from the one that was told.
        row = replace(told, id=told.id if len(found) == 1 else uuid5(told.id, word))
        written |= write_once(BandCheck, row, {**columns, "condition": word})
    return written


@transaction.atomic
def record_band_found(
    *,
    told: Told,
    exhibit_id: int,
    kind: str,
    colour: str = "",
    engraving: str = "",
    place_id: int | None = None,
    note: str = "",
) -> bool:
    """Write down that a band lay on the floor. Nobody is taken for dead; whose it may be is asked afterwards.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such exhibit or place.
        UnknownWord: no such kind or colour.
    """
    known_exhibit(exhibit_id)
    known_place(place_id, exhibit_id)
    if kind not in BandKind.values:
        raise UnknownWord("kind", kind, "kind of band", BandKind.values)
    row = Colour.objects.filter(name=colour).first()
    if colour and row is None:
        names = Colour.objects.order_by("order").values_list("name", flat=True)
        raise UnknownWord("colour", colour, "colour of the palette", names)
    columns = {
        "exhibit_id": exhibit_id,
        "place_id": place_id,
        "kind": kind,
        "colour_id": None if row is None else row.pk,
        "engraving": engraving.strip(),
        "note": note,
    }
    return write_once(BandFound, told, columns)


@transaction.atomic
def name_owner_of_band(*, told: Told, found_id: UUID, band_id: int, because: str) -> bool:
    """Write down whose a found band was, and how it became known.

    Where that bird still wears it by the record, it is off since the day it was found: lost.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such find or band.
        WrongValue: no reason was given.
        OutOfOrder: the band was fitted after it was found.
    """
    found, band = known(BandFound, found_id, "found"), known(Band, band_id, "band")
    if not because.strip():
        raise WrongValue("because", "is empty; say how it became known")
    found_on = day_of(found.happened_at, park_zone())
    if band.from_on > found_on:
        raise OutOfOrder("band", f"it was fitted on {band.from_on}, after it was found; choose another")
    columns = {"found_id": found_id, "band_id": band_id, "because": because.strip()}
    if not write_once(BandOwnerNamed, told, columns):
        return False
    if band.to_on is None:
        take_off_band(band_id=band_id, on=found_on, why=WhyOff.LOST, by=told.by)
    return True
