"""Nests and broods: eggs and chicks that are numbers yet, and the day one of them becomes a bird."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from tarsus.actions.asked_once import as_a_whole
from tarsus.actions.birds.register import NewBird, add_bird, write_bird_anew
from tarsus.actions.changes import note_changes
from tarsus.actions.known import known, known_bird, known_exhibit, known_person, known_place
from tarsus.actions.refusals import AlreadySo, OutOfOrder
from tarsus.actions.telling import Told, insert_once, write_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.queries.days import day_ends, day_of, park_zone
from tarsus.queries.flock import sexes_of
from tarsus.records.models import Nest, NestEvent, Pair, Species
from tarsus.records.models.words import NestEventKind, Origin, Precision
from tarsus.records.standing import standing

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
def put_nest_right(*, nest_id: int, from_on: date, by: int, said: Mapping[str, Any]) -> None:
    """Put right what was said of a nest when it was begun; what was found in it stays with it.

    Args:
        nest_id: which nest.
        from_on: since when.
        by: the person who puts it right.
        said: its exhibit, place, species, name, pair, and whether it forbids a chase.

    Raises:
        Unknown: no such nest, exhibit, place, species or pair.
        WrongValue: the nest has no name.
        AlreadySo: another nest of this name is there.
        OutOfOrder: it would have begun after it ended.
    """
    row = known(Nest, nest_id, "nest")
    known_exhibit(said["exhibit_id"])
    known_place(said["place_id"], said["exhibit_id"])
    known(Species, said["species_id"], "species")
    if said["pair_id"] is not None:
        known(Pair, said["pair_id"], "pair")
    changes = {**said, "name": str(said["name"]).strip(), "from_on": from_on}
    if not changes["name"]:
        raise WrongValue("name", "is empty; call the nest something")
    there = Nest.objects.filter(
        exhibit_id=said["exhibit_id"], name=changes["name"], to_on__isnull=True, taken_back_at__isnull=True
    )
    if row.to_on is None and there.exclude(pk=nest_id).exists():
        raise AlreadySo("name", f"a nest {changes['name']} is there already; choose another name")
    if row.to_on is not None and from_on > row.to_on:
        raise OutOfOrder("at", f"the nest ended on {row.to_on}; choose that day or one before")
    before = {field: getattr(row, field) for field in changes}
    for field, value in changes.items():
        setattr(row, field, value)
    row.taken_back_by = row.taken_back_at = None
    row.taken_back_because = ""
    row.save()
    note_changes("nest", nest_id, before, changes, by)


@as_a_whole
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
    *,
    told: Told,
    nest_id: int,
    hatched_on: date | None = None,
    house_name: str = "",
    number: str = "",
    bird_id: int | None = None,
) -> int:
    """Write down that an unbanded chick became a bird of its own: one number less, one bird more.

    Its parents are the nest's pair, by the sex of each as far as it is known.

    Args:
        told: who banded it and when.
        nest_id: from which nest.
        hatched_on: left out, the day on which chicks of this nest hatched by the record; *about* that day
            where they hatched on several.
        house_name: its name.
        number: the park's own number.
        bird_id: the bird that this chick was written down as before, where that is put right.

    Returns:
        The bird's number in the register; the same act told twice makes one bird.

    Raises:
        Unknown: no such nest.
        OutOfOrder: before the nest was begun, or before it hatched.
        WrongValue: the bird that is put right is of another species.
    """
    nest = known(Nest, nest_id, "nest")
    on = day_of(told.happened_at, park_zone())
    dam, sire = _parents(nest, on)
    hatched, precision = (hatched_on, Precision.DAY) if hatched_on else _hatched(nest, on)
    chick = NewBird(
        species_id=nest.species_id,
        house_name=house_name,
        number=number,
        hatched_on=hatched,
        hatched_precision=precision.value,
        origin=Origin.HATCHED_HERE.value,
        dam_id=dam,
        sire_id=sire,
        nest_id=nest_id,
    )
    if bird_id is None:
        bird_id = add_bird(bird=chick, by=told.by, exhibit_id=nest.exhibit_id, on=on, deed=told.id)
    else:
        write_bird_anew(
            bird_id=bird_id, bird=chick, by=told.by, exhibit_id=nest.exhibit_id, on=on, deed=told.id
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


def _hatched(nest: Nest, on: date) -> tuple[date | None, Precision]:
    """When chicks of a nest hatched by the record: the latest day, lest a leg be taken for grown."""
    zone = park_zone()
    told = standing(
        NestEvent.objects.filter(nest=nest, kind=NestEventKind.HATCHED, happened_at__lt=day_ends(on, zone))
    )
    days = {day_of(at, zone) for at in told.values_list("happened_at", flat=True)}
    if not days:
        return None, Precision.UNKNOWN
    return max(days), Precision.DAY if len(days) == 1 else Precision.ABOUT


def _parents(nest: Nest, on: date) -> tuple[int | None, int | None]:
    if nest.pair is None:
        return None, None
    birds = (nest.pair.first_id, nest.pair.second_id)
    sexes = sexes_of(birds, on)
    of_sex = {sexes.get(bird, ("U", ""))[0]: bird for bird in birds}
    return of_sex.get("F"), of_sex.get("M")
