"""Nests and broods: eggs and chicks that are numbers yet, and the day one of them becomes a bird."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from tarsus.actions.birds.register import NewBird, add_bird
from tarsus.actions.known import known, known_bird, known_exhibit, known_person, known_place
from tarsus.actions.refusals import AlreadySo, OutOfOrder
from tarsus.actions.telling import Told, insert_once, write_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.flock import sexes_of
from tarsus.records.models import Nest, NestEvent, Pair, Species
from tarsus.records.models.words import NestEventKind, Origin, Precision

COUNTED = (
    NestEventKind.EGGS,
    NestEventKind.HATCHED,
    NestEventKind.UNBANDED_CHICKS,
    NestEventKind.FLEDGED,
    NestEventKind.VANISHED,
    NestEventKind.DEAD,
)


@transaction.atomic
def begin_nest(
    *,
    exhibit_id: int,
    species_id: int,
    name: str,
    from_on: date,
    by: int,
    place_id: int | None = None,
    pair_id: int | None = None,
    forbids_chase: bool = True,
    deed: UUID | None = None,
) -> int:
    """Write down a nest. While it lasts, no bird is chased in its exhibit unless vet and lead sign a reason.

    Returns:
        The nest's id; the same deed told twice writes one.

    Raises:
        Unknown: no such exhibit, place, species or pair.
        WrongValue: the nest has no name.
        AlreadySo: a nest of this name is there already.
    """
    if deed is not None and (done := Nest.objects.filter(deed=deed).first()) is not None:
        return done.pk
    known_person(by)
    known_exhibit(exhibit_id)
    known_place(place_id, exhibit_id)
    known(Species, species_id, "species")
    if pair_id is not None:
        known(Pair, pair_id, "pair")
    if not name.strip():
        raise WrongValue("name", "is empty; call the nest something")
    there = Nest.objects.filter(
        exhibit_id=exhibit_id, name=name.strip(), to_on__isnull=True, taken_back_at__isnull=True
    )
    if there.exists():
        raise AlreadySo("name", f"a nest {name.strip()} is there already; choose another name")
    row = Nest(
        exhibit_id=exhibit_id,
        species_id=species_id,
        name=name.strip(),
        from_on=from_on,
        place_id=place_id,
        pair_id=pair_id,
        forbids_chase=forbids_chase,
        recorded_by_id=by,
        deed=deed,
    )
    return insert_once(row, deed).pk


@transaction.atomic
def record_nest_event(
    *,
    told: Told,
    nest_id: int,
    kind: str,
    amount: int | None = None,
    bird_id: int | None = None,
    note: str = "",
) -> bool:
    """Write down what was found at a nest.

    Args:
        told: who found it and when.
        nest_id: which nest.
        kind: ``eggs`` and ``unbanded chicks`` say how many there are now, ``hatched`` and ``fledged`` how
            many more; ``failed`` ends the brood; ``banded`` names the bird that one of the chicks became.
        amount: how many.
        bird_id: the chick that was banded.
        note: anything else.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such nest or bird.
        UnknownWord: no such event.
        WrongValue: the number or the bird is missing.
        OutOfOrder: before the nest was begun.
    """
    nest = known(Nest, nest_id, "nest")
    if kind not in NestEventKind.values:
        raise UnknownWord("kind", kind, "event at a nest", NestEventKind.values)
    if kind in COUNTED and amount is None:
        raise WrongValue("amount", "is missing; say how many")
    if amount is not None and amount < 0:
        raise WrongValue("amount", f"{amount} is less than none; count again")
    if kind == NestEventKind.BANDED and bird_id is None:
        raise WrongValue("bird", "is missing; say which bird the chick became")
    if bird_id is not None:
        known_bird(bird_id)
    on = day_of(told.happened_at, park_zone())
    if on < nest.from_on:
        raise OutOfOrder("at", f"{on} is before this nest was begun ({nest.from_on}); choose a later day")
    columns = {"nest_id": nest_id, "kind": kind, "amount": amount, "bird_id": bird_id, "note": note}
    return write_once(NestEvent, told, columns)


@transaction.atomic
def bird_from_nest(
    *, told: Told, nest_id: int, hatched_on: date | None = None, house_name: str = "", number: str = ""
) -> int:
    """Write down that an unbanded chick became a bird of its own: one number less, one bird more.

    Its parents are the nest's pair, by the sex of each as far as it is known.

    Returns:
        The bird's number in the register; the same act told twice makes one bird.

    Raises:
        Unknown: no such nest.
        OutOfOrder: before the nest was begun, or before it hatched.
    """
    nest = known(Nest, nest_id, "nest")
    on = day_of(told.happened_at, park_zone())
    dam, sire = _parents(nest, on)
    bird_id = add_bird(
        bird=NewBird(
            species_id=nest.species_id,
            house_name=house_name,
            number=number,
            hatched_on=hatched_on,
            hatched_precision=(Precision.DAY if hatched_on else Precision.UNKNOWN).value,
            origin=Origin.HATCHED_HERE.value,
            dam_id=dam,
            sire_id=sire,
            nest_id=nest_id,
        ),
        by=told.by,
        exhibit_id=nest.exhibit_id,
        on=on,
        deed=told.id,
    )
    record_nest_event(told=told, nest_id=nest_id, kind=NestEventKind.BANDED.value, bird_id=bird_id)
    return bird_id


@transaction.atomic
def end_nest(*, nest_id: int, on: date, by: int) -> bool:
    """Write down that a nest is over.

    Returns:
        Whether it was written now; `False` when it was over before.

    Raises:
        Unknown: no such nest.
        OutOfOrder: before it was begun.
    """
    row = known(Nest, nest_id, "nest")
    known_person(by)
    if row.to_on is not None:
        return False
    if on < row.from_on:
        raise OutOfOrder("on", f"{on} is before it was begun ({row.from_on}); choose a later day")
    row.to_on, row.ended_by_id, row.ended_at = on, by, timezone.now()
    row.save(update_fields=["to_on", "ended_by", "ended_at"])
    return True


def _parents(nest: Nest, on: date) -> tuple[int | None, int | None]:
    if nest.pair is None:
        return None, None
    birds = (nest.pair.first_id, nest.pair.second_id)
    sexes = sexes_of(birds, on)
    of_sex = {sexes.get(bird, ("U", ""))[0]: bird for bird in birds}
    return of_sex.get("F"), of_sex.get("M")
