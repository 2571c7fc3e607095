"""Writing a bird into the register, and changing what is said of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Final
from uuid import UUID

from django.db import IntegrityError, transaction

from tarsus.actions.birds.stays import begin_stay
from tarsus.actions.changes import note_changes
from tarsus.actions.known import known, known_bird, known_exhibit, known_person
from tarsus.actions.refusals import AlreadySo, OutOfOrder
from tarsus.actions.telling import insert_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.records.models import Bird, Nest, Species, ToldDeed
from tarsus.records.models.words import Origin, Precision

CHANGEABLE: Final = (
    "house_name",
    "number",
    "hatched_on",
    "hatched_precision",
    "origin",
    "dam_id",
    "sire_id",
    "foster_dam_id",
    "foster_sire_id",
    "nest_id",
    "legal_mark",
    "certificate",
)
"""What may be changed of a bird. Sex, owner, bands and stays are told by facts and deeds of their own."""


@dataclass(frozen=True, slots=True)
class NewBird:
    """A bird as it is first written down. Empty owner and holder mean this park."""

    species_id: int
    house_name: str = ""
    number: str = ""
    hatched_on: date | None = None
    hatched_precision: str = Precision.UNKNOWN.value
    origin: str = Origin.UNKNOWN.value
    dam_id: int | None = None
    sire_id: int | None = None
    foster_dam_id: int | None = None
    foster_sire_id: int | None = None
    nest_id: int | None = None
    owner: str = ""
    holder: str = ""
    legal_mark: str = ""
    certificate: str = ""


@transaction.atomic
def add_bird(
    *, bird: NewBird, by: int, exhibit_id: int | None = None, on: date | None = None, deed: UUID | None = None
) -> int:
    """Write a bird into the register, living in an exhibit from a day on.

    Args:
        bird: who it is.
        by: the person who writes.
        exhibit_id: where it lives; `None` for one that is known and lives elsewhere (a parent, a loan).
        on: since when; needed with an exhibit.
        deed: the form's own id; the same deed told twice writes one bird.

    Returns:
        The bird's number in the register.

    Raises:
        Unknown: no such species, exhibit, parent or nest.
        UnknownWord: no such origin or precision.
        AlreadySo: the park's own number is another bird's.
        OutOfOrder: it would live here before it hatched.
    """
    if deed is not None and (done := Bird.objects.filter(deed=deed).first()) is not None:
        return done.pk
    known_person(by)
    known(Species, bird.species_id, "species")
    _check(bird)
    values = {name: getattr(bird, name) for name in bird.__dataclass_fields__}
    row = Bird(deed=deed, recorded_by_id=by, **values)
    row = _save(row, insert=True)
    if exhibit_id is not None:
        known_exhibit(exhibit_id)
        since = on or bird.hatched_on
        if since is None:
            raise OutOfOrder("on", "is missing; say since when it lives there")
        if bird.hatched_on and bird.hatched_precision == Precision.DAY and since < bird.hatched_on:
            raise OutOfOrder("on", f"{since} is before it hatched ({bird.hatched_on}); correct one of them")
        begin_stay(row, exhibit_id, since, by, reason="first written down", through=deed)
    return row.pk


@transaction.atomic
def change_bird(*, bird_id: int, by: int, changes: Mapping[str, Any]) -> bool:
    """Change what is said of a bird; what it was before stays readable with the person and the time.

    Args:
        bird_id: which bird.
        by: the person who changes it.
        changes: new values by field, only those of `CHANGEABLE`.

    Returns:
        Whether anything was different.

    Raises:
        Unknown: no such bird or parent.
        UnknownWord: a field that is not changed here.
        AlreadySo: the park's own number is another bird's.
    """
    row = known_bird(bird_id)
    known_person(by)
    for field in changes:
        if field not in CHANGEABLE:
            raise UnknownWord(field, field, "field that is changed here", CHANGEABLE)
    before = {field: getattr(row, field) for field in changes}
    for field, value in changes.items():
        setattr(row, field, value)
    _check(row)
    _save(row, insert=False)
    return note_changes("bird", row.pk, before, changes, by)


def write_bird_anew(
    *, bird_id: int, bird: NewBird, by: int, exhibit_id: int | None, on: date | None, deed: UUID | None
) -> None:
    """Put right how a bird was first written down: the same bird, what was said of it, and where it lives.

    Its first stay was taken back before.

    Raises:
        WrongValue: it is of another species than the bird.
        AlreadySo: the park's own number is another bird's.
        OutOfOrder: it lived elsewhere since.
    """
    row = known_bird(bird_id)
    if row.species_id != bird.species_id:
        raise WrongValue("species", f"is not that of {row}; take that one back and write a new bird down")
    later = _said_since(bird_id)
    changes = {field: getattr(bird, field) for field in CHANGEABLE if field not in later}
    change_bird(bird_id=bird_id, by=by, changes=changes | later)
    if exhibit_id is not None:
        known_exhibit(exhibit_id)
        since = on or bird.hatched_on
        assert since is not None, "a day of the register's own is given with an exhibit"
        begin_stay(row, exhibit_id, since, by, reason="first written down", through=deed)


def _said_since(bird_id: int) -> dict[str, Any]:
    """What was told of a bird by changing it after it was written down: a later word stands."""
    told = ToldDeed.objects.filter(kind="bird_changed", birds__bird=bird_id).order_by("recorded_at", "pk")
    later: dict[str, Any] = {}
    for said in told.values_list("contents", flat=True):
        later |= {field: said[name] for field in CHANGEABLE if (name := field.removesuffix("_id")) in said}
    if isinstance(later.get("hatched_on"), str):
        later["hatched_on"] = date.fromisoformat(later["hatched_on"])
    return later


def _check(bird: NewBird | Bird) -> None:
    if bird.origin not in Origin.values:
        raise UnknownWord("origin", bird.origin, "origin", Origin.values)
    if bird.hatched_precision not in Precision.values:
        raise UnknownWord("hatched_precision", bird.hatched_precision, "precision", Precision.values)
    for parent in ("dam_id", "sire_id", "foster_dam_id", "foster_sire_id"):
        if getattr(bird, parent) is not None:
            known_bird(getattr(bird, parent), parent.removesuffix("_id"))
    if bird.nest_id is not None:
        known(Nest, bird.nest_id, "nest")


def _save(row: Bird, *, insert: bool) -> Bird:
    try:
        if insert:
            return insert_once(row, row.deed)
        with transaction.atomic():
            row.save()
    except IntegrityError:
        other = Bird.objects.filter(number=row.number).exclude(number="").exclude(pk=row.pk).first()
        if other is None:
            raise
        raise AlreadySo("number", f"{row.number} is {other}'s number; choose another") from None
    return row
