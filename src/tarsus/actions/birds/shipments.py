"""Birds that come together: each written down with its sex, its bands as they are, and its arrival."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from uuid import UUID, uuid5

from django.db import transaction
from django.utils import timezone

from tarsus.actions.bands.fitting import NewBand, fit_band
from tarsus.actions.birds.coming_going import arrive
from tarsus.actions.birds.identity import record_sex_finding
from tarsus.actions.birds.register import NewBird, add_bird, change_bird
from tarsus.actions.birds.stays import park_day, undo_stays
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import MalformedInput, WrongValue
from tarsus.records.models import Arrival, Band, Bird, SexFinding, Withdrawal
from tarsus.records.models.words import Sex
from tarsus.records.standing import standing


@dataclass(frozen=True, slots=True)
class Newcomer:
    """One bird of a shipment: who it is, its sex as it was told, and what it wears, from the body outward."""

    bird: NewBird
    sex: str
    known_by: str
    worn: tuple[NewBand, ...]


@transaction.atomic
def receive_birds(
    *,
    told: Told,
    came_from: str,
    exhibit_id: int,
    newcomers: Sequence[Newcomer],
    on_loan: bool = False,
    papers: str = "",
) -> list[tuple[int, tuple[str, ...]]]:
    """Write down birds that came from elsewhere, all of them or none.

    What they wear is written as it is; what the rules of the park would not have given them is said.

    Args:
        told: who received them and when.
        came_from: where from.
        exhibit_id: where they live first.
        newcomers: the birds.
        on_loan: whether they are lent.
        papers: number of the papers that came with them.

    Returns:
        Each bird's number in the register, with a sentence for each rule that its bands do not keep.

    Raises:
        MalformedInput: whatever is wrong with one of them, with its place.
    """
    came = []
    for number, one in enumerate(newcomers):
        try:
            came.append(_receive(told, number, one, came_from, exhibit_id, on_loan, papers))
        except MalformedInput as refusal:
            if refusal.place in ("came_from", "exhibit"):
                raise
            raise WrongValue(f"newcomers[{number}].{refusal.place}", refusal.message) from None
    return came


def _receive(
    told: Told, number: int, one: Newcomer, came_from: str, exhibit_id: int, on_loan: bool, papers: str
) -> tuple[int, tuple[str, ...]]:
    bird = add_bird(bird=one.bird, by=told.by, deed=uuid5(told.id, f"bird {number}"))
    if one.sex != Sex.UNKNOWN:
        finding = _part(told, f"sex {number}")
        record_sex_finding(told=finding, bird_id=bird, sex=one.sex, known_by=one.known_by)
    arrive(
        told=_part(told, f"arrival {number}"),
        bird_id=bird,
        came_from=came_from,
        exhibit_id=exhibit_id,
        on_loan=on_loan,
        papers=papers,
    )
    said: tuple[str, ...] = ()
    for place, band in enumerate(one.worn):
        said = fit_band(
            bird_id=bird,
            band=band,
            on=park_day(told.happened_at),
            by=told.by,
            from_stock=False,
            deed=uuid5(told.id, f"bird {number} band {place}"),
        ).warnings
    return bird, said


@transaction.atomic
def undo_receiving(*, earlier_id: UUID, told: Told, because: str) -> None:
    """Put right what a shipment wrote that never came so: arrivals, sexes and bands are taken back.

    The birds stay in the register and live nowhere; their numbers are free again.

    Raises:
        OutOfOrder: one was moved since; that must be taken back first.
    """
    number = 0
    while (bird := Bird.objects.filter(deed=uuid5(earlier_id, f"bird {number}")).first()) is not None:
        for table, part in ((Arrival, f"arrival {number}"), (SexFinding, f"sex {number}")):
            key = uuid5(earlier_id, part)
            if standing(table._default_manager.filter(pk=key)).exists():
                mine = _part(told, f"not {part}")
                kind = str(table._meta.verbose_name)[:30]
                write_once(Withdrawal, mine, {"withdraws": key, "because": because}, derived={"kind": kind})
        undo_stays(uuid5(earlier_id, f"arrival {number}"), told.by, because)
        came_on = Band.objects.filter(bird=bird, came_with_it=True)
        written = [uuid5(earlier_id, f"bird {number} band {place}") for place in range(came_on.count())]
        for band in came_on.filter(deed__in=written, taken_back_at__isnull=True):
            band.taken_back_by_id, band.taken_back_at = told.by, timezone.now()
            band.taken_back_because = because
            band.save(update_fields=["taken_back_by", "taken_back_at", "taken_back_because"])
        change_bird(bird_id=bird.pk, by=told.by, changes={"number": ""})
        number += 1


def _part(told: Told, name: str) -> Told:
    """The same act under an id that follows from the shipment's."""
    return replace(told, id=uuid5(told.id, name))
