"""A prepared park goes into an empty register whole, or not at all."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from django.db import transaction

from tarsus.actions.bulk.reader import RegisterNotEmpty, RowsRefused, register_is_empty
from tarsus.demo import small_park
from tarsus.demo.loaded import read_prepared
from tarsus.records.models import Bird, Person

pytestmark = pytest.mark.django_db
TODAY = date(2026, 6, 11)


def test_a_register_that_holds_a_park_is_left_alone() -> None:
    park = replace(small_park(TODAY), rounds=())
    read_prepared(park)
    with pytest.raises(RegisterNotEmpty, match=r"^register: already holds 'Wendlebrook Bird Garden'"):
        read_prepared(park)
    assert Bird.objects.count() == len(park.birds)


def test_a_register_in_which_only_people_are_is_left_alone_too() -> None:
    Person.objects.create_user("tilda", None, display_name="Tilda", role="administrator")
    with pytest.raises(RegisterNotEmpty, match="choose another home folder"):
        read_prepared(small_park(TODAY))
    assert not Bird.objects.exists()


def test_a_park_that_cannot_be_loaded_whole_leaves_nothing_behind() -> None:
    park = small_park(TODAY)
    first, *others = park.rounds
    with pytest.raises(RowsRefused, match=r"(?i)unique"), transaction.atomic():
        read_prepared(replace(park, rounds=(first, *others[:3], first)))
    assert register_is_empty()
