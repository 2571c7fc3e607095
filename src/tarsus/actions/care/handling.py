"""A bird in the hand: everything that was done to it and found on it, in one act."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final
from uuid import uuid5

from django.db import transaction

from tarsus.actions.bands.checks import check_band
from tarsus.actions.bands.fitting import NewBand, fit_band, take_off_band
from tarsus.actions.bands.planning import settle_kept_marks
from tarsus.actions.birds.identity import take_sex_sample
from tarsus.actions.birds.stays import park_day
from tarsus.actions.care.weighing import record_weighing
from tarsus.actions.known import known, known_bird
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import MalformedInput, WrongValue
from tarsus.core.marks.marks import Reading
from tarsus.queries.marks import bird_of_engraving, engraving_key, marks_on
from tarsus.records.models import Band, Bird, Case, ConfirmedReading, Handling
from tarsus.records.models.bands import NUMBERED

BETWEEN_WEIGHTS: Final = timedelta(minutes=1)


class WrongBird(MalformedInput):
    """The number in the hand is not this bird's."""

    def __init__(self, engraving: str, bird: str, other: str) -> None:
        self.engraving, self.bird, self.other = engraving, bird, other
        whose = f"{other}'s" if other else f"not {bird}'s"
        super().__init__("engraving_read", f"{engraving} is {whose}; look which bird this is before going on")


@dataclass(frozen=True, slots=True)
class Sampled:
    """A sample that was taken: of what, and what stands on the tube."""

    sample: str
    label: str
    laboratory: str = ""


@dataclass(frozen=True, slots=True)
class InHand:
    """What was done and found while a bird was in the hand.

    `bands` are pairs of band and conditions, `taken_off` pairs of band and reason. `read_before` is what was
    read through glasses before the catch: with the bands in the hand it becomes a confirmed reading.
    """

    why: str
    engraving_read: str = ""
    weight_g: float | None = None
    first_weight_g: float | None = None
    fed: bool | None = None
    scale: str = ""
    nails: str = ""
    condition: str = ""
    treatment: str = ""
    bands: Sequence[tuple[int, tuple[str, ...]]] = ()
    taken_off: Sequence[tuple[int, str]] = ()
    put_on: Sequence[NewBand] = ()
    sample: Sampled | None = None
    read_before: Reading | None = None
    chase_started_at: datetime | None = None
    release: str = ""
    walked_well: bool | None = None
    note: str = ""
    tell_vet: bool = False


@transaction.atomic
def record_handling(*, told: Told, bird_id: int, in_hand: InHand) -> bool:
    """Write down one handling with all that belongs to it, or none of it.

    Bands taken off are taken off before new ones are put on. Where the vet is to be told, a case is opened.
    Marks that were kept for this bird at the marking desk count as fitted when it wears them now.

    Returns:
        Whether it was written now.

    Raises:
        WrongBird: the number read in the hand is another bird's, or not the one on this bird's record.
        MalformedInput: whatever is wrong with a band, a weight or a sample, with its place.
    """
    bird = known_bird(bird_id)
    if not in_hand.why.strip():
        raise WrongValue("why", "is empty; say why it was in hand")
    columns = {
        "bird_id": bird_id,
        "engraving_read": in_hand.engraving_read.strip(),
        "why": in_hand.why.strip(),
        "chase_started_at": in_hand.chase_started_at,
        "nails": in_hand.nails,
        "condition": in_hand.condition,
        "treatment": in_hand.treatment,
        "release": in_hand.release,
        "walked_well": in_hand.walked_well,
        "note": in_hand.note,
        "tell_vet": in_hand.tell_vet,
    }
    beside = {"in_hand": repr(in_hand)}
    if not write_once(Handling, told, columns, beside=beside):
        return False
    _check_bird(bird, in_hand.engraving_read.strip(), told)
    if in_hand.read_before is not None:
        _confirm(told, bird_id, in_hand.read_before)
    _bands(told, bird_id, in_hand)
    _weigh(told, bird_id, in_hand)
    if in_hand.sample is not None:
        _sample(told, bird_id, in_hand.sample)
    settle_kept_marks(bird_id=bird_id, at=told.happened_at, by=told.by)
    if in_hand.tell_vet:
        _open_case(told, bird, in_hand)
    return True


def part_of(told: Told, name: str) -> Told:
    """The same act under an id that follows from the handling's: told twice, it is the same again."""
    return Told(
        by=told.by,
        at=told.at,
        id=uuid5(told.id, name),
        clock_offset=told.clock_offset,
        device=told.device,
        sent_by=told.sent_by,
    )


def _check_bird(bird: Bird, engraving: str, told: Told) -> None:
    if not engraving:
        return
    day = park_day(told.happened_at)
    owners = {owner for owner, _ in bird_of_engraving(engraving)}
    if bird.pk in owners:
        return
    if owners:
        raise WrongBird(engraving, str(bird), str(Bird.objects.get(pk=min(owners))))
    recorded = Band.objects.filter(
        bird=bird, kind__in=NUMBERED, from_on__lte=day, to_on__isnull=True, taken_back_at__isnull=True
    ).exclude(engraving_key__in=["", engraving_key(engraving)])
    if recorded.exists():
        raise WrongBird(engraving, str(bird), "")


def _confirm(told: Told, bird_id: int, read: Reading) -> None:
    worn = marks_on(bird_id, park_day(told.happened_at))
    columns = {
        "bird_id": bird_id,
        "read": read.as_mapping(),
        "worn": worn.as_mapping(),
        "reader_id": told.by,
        "handling_id": told.id,
    }
    write_once(ConfirmedReading, part_of(told, "read before"), columns)


def _bands(told: Told, bird_id: int, in_hand: InHand) -> None:
    for band_id, conditions in in_hand.bands:
        _of_this_bird(band_id, bird_id, "bands")
        check_band(
            told=part_of(told, f"band {band_id}"),
            band_id=band_id,
            conditions=conditions,
            in_hand=True,
            handling_id=told.id,
        )
    on = park_day(told.happened_at)
    for band_id, why in in_hand.taken_off:
        _of_this_bird(band_id, bird_id, "taken_off")
        take_off_band(band_id=band_id, on=on, why=why, by=told.by)
    for number, band in enumerate(in_hand.put_on):
        fit_band(bird_id=bird_id, band=band, on=on, by=told.by, deed=uuid5(told.id, f"put on {number}"))


def _of_this_bird(band_id: int, bird_id: int, place: str) -> None:
    band = known(Band, band_id, place)
    if band.bird_id != bird_id:
        raise WrongValue(place, f"band {band_id} is {band.bird}'s; choose a band of the bird in hand")


def _weigh(told: Told, bird_id: int, in_hand: InHand) -> None:
    # A weight that was doubted and taken again: both stand, the first a minute before.
    first = replace(part_of(told, "first weight"), at=told.at - BETWEEN_WEIGHTS)
    for part, grams in ((first, in_hand.first_weight_g), (part_of(told, "weight"), in_hand.weight_g)):
        if grams is not None:
            record_weighing(
                told=part,
                bird_id=bird_id,
                weight_g=grams,
                where="in hand",
                scale=in_hand.scale,
                fed=in_hand.fed,
                handling_id=told.id,
            )


def _sample(told: Told, bird_id: int, sampled: Sampled) -> None:
    worn = Band.objects.filter(
        bird_id=bird_id, kind__in=NUMBERED, to_on__isnull=True, taken_back_at__isnull=True
    )
    band: int | None = worn.order_by("from_on").values_list("pk", flat=True).first()
    take_sex_sample(
        told=part_of(told, "sample"),
        bird_id=bird_id,
        sample=sampled.sample,
        label=sampled.label,
        band_id=band,
        laboratory=sampled.laboratory,
    )


def _open_case(told: Told, bird: Bird, in_hand: InHand) -> None:
    about = in_hand.note.strip() or in_hand.condition or in_hand.why
    case = Case.objects.create(
        about=about[:200], handling_id=told.id, opened_by_id=told.by, opened_at=told.happened_at
    )
    case.birds.add(bird)
