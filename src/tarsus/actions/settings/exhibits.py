"""Exhibits and the places in them."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from tarsus.actions.birds.quarantine import refuse_end_of_quarantine
from tarsus.actions.known import known, known_exhibit, known_person
from tarsus.actions.refusals import NotThere
from tarsus.actions.settings.rows import said, save_row
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.queries.quarantine import KEPT_APART
from tarsus.records.models import Exhibit, Place, Stay
from tarsus.records.models.words import PlaceKind, Purpose


@transaction.atomic
def save_exhibit(
    *,
    by: int,
    name: str,
    purpose: str = "display",
    order: int = 0,
    closed_on: date | None = None,
    exhibit_id: int | None = None,
) -> int:
    """Write an exhibit down, a new one or as it is now.

    Raises:
        Unknown: no such exhibit.
        UnknownWord: no such purpose.
        WrongValue: no name, or a name that is taken.
        NotThere: it is closed while birds live in it.
        HeldInQuarantine: it is to keep nobody apart any more, while birds that lived in it wait for release.
    """
    known_person(by)
    row = known_exhibit(exhibit_id) if exhibit_id is not None else Exhibit()
    name = said("name", name, "the exhibit's name")
    if Exhibit.objects.filter(name=name).exclude(pk=row.pk).exists():
        raise WrongValue("name", f"{name} is an exhibit already; choose another name")
    if purpose not in Purpose.values:
        raise UnknownWord("purpose", purpose, "purpose", Purpose.values)
    if closed_on is not None and row.pk:
        living = Stay.objects.filter(exhibit=row, to_on__isnull=True, taken_back_at__isnull=True).count()
        if living:
            raise NotThere("closed_on", f"{living} birds live in {name}; move them before it is closed")
    if row.pk and row.purpose in KEPT_APART and purpose not in KEPT_APART:
        refuse_end_of_quarantine(row)
    values = {"name": name, "purpose": purpose, "order": order, "closed_on": closed_on}
    return save_row(row, values, by)


@transaction.atomic
def save_place(
    *,
    by: int,
    exhibit_id: int,
    name: str,
    kind: str = "perch",
    order: int = 0,
    closed_on: date | None = None,
    place_id: int | None = None,
) -> int:
    """Write a place of an exhibit down, a new one or as it is now; it is closed and never deleted.

    Raises:
        Unknown: no such exhibit or place.
        UnknownWord: no such kind of place.
        WrongValue: no name, or a name that this exhibit has already.
    """
    known_person(by)
    exhibit = known_exhibit(exhibit_id)
    row = known(Place, place_id, "place") if place_id is not None else Place(exhibit=exhibit)
    if row.exhibit_id != exhibit.pk:
        raise WrongValue("place", f"{row} is a place of another exhibit; open it there")
    name = said("name", name, "the place's name")
    if Place.objects.filter(exhibit=exhibit, name=name).exclude(pk=row.pk).exists():
        raise WrongValue("name", f"{name} is a place of {exhibit} already; choose another name")
    if kind not in PlaceKind.values:
        raise UnknownWord("kind", kind, "kind of place", PlaceKind.values)
    return save_row(row, {"name": name, "kind": kind, "order": order, "closed_on": closed_on}, by)
