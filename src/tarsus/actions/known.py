"""Looks an id up, or refuses it with its place and the remedy."""

from __future__ import annotations

from typing import TypeVar
from uuid import UUID

from django.db.models import Model

from tarsus.actions.asked_once import lent_row
from tarsus.actions.refusals import Unknown, UnknownRound
from tarsus.records.models import Bird, Exhibit, Person, Place, Round

M = TypeVar("M", bound=Model)


def known(table: type[M], key: object, place: str) -> M:
    """The row with this id.

    Raises:
        Unknown: the register has none.
    """
    row = lent_row(table, key) or table._default_manager.filter(pk=key).first()
    if row is None:
        raise Unknown(place, str(table._meta.verbose_name), key)
    return row


def one_at_a_time(table: type[M], key: object) -> None:
    """Let nobody else decide about this row before what is written here stands: a guard then sees it.

    On PostgreSQL two that look at one time both find nothing in their way; SQLite has one writer anyway.
    """
    table._default_manager.select_for_update().filter(pk=key).values_list("pk").first()


def known_bird(bird_id: int, place: str = "bird") -> Bird:
    """The bird with this id.

    Raises:
        Unknown: the register has none.
    """
    return known(Bird, bird_id, place)


def known_exhibit(exhibit_id: int, place: str = "exhibit") -> Exhibit:
    """The exhibit with this id.

    Raises:
        Unknown: the register has none.
    """
    return known(Exhibit, exhibit_id, place)


def known_person(person_id: int, place: str = "by") -> Person:
    """The person with this id, who must not have left.

    Raises:
        Unknown: the register has none.
    """
    row = Person.objects.filter(pk=person_id, is_active=True).first()
    if row is None:
        raise Unknown(place, "person", person_id)
    return row


def known_place(place_id: int | None, exhibit_id: int, place: str = "place") -> Place | None:
    """The place with this id in an exhibit, or none where none was said.

    Raises:
        Unknown: the exhibit has no such place.
    """
    if place_id is None:
        return None
    row = lent_row(Place, place_id) or Place.objects.filter(pk=place_id).first()
    if row is None or row.exhibit_id != exhibit_id:
        raise Unknown(place, "place of this exhibit", place_id)
    return row


def known_round(round_id: UUID) -> Round:
    """The round with this id.

    Raises:
        UnknownRound: its start was not heard yet, or the phone is not of this park.
    """
    row = lent_row(Round, round_id) or Round.objects.filter(pk=round_id).first()
    if row is None:
        raise UnknownRound(round_id)
    return row
