"""Numbers of transponders that were kept with separators are written as antennas read them."""

from __future__ import annotations

from importlib import import_module
from typing import Any

import pytest
from django.apps import apps
from django.utils import timezone

from tarsus.records.models import Transponder
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db


def brought_up() -> None:
    migration: Any = import_module("tarsus.records.migrations.0027_transponder_numbers")
    migration.write_as_antennas_read(apps, None)


def chip(park: Wendlebrook, bird: str, number: str, *, taken_back: bool = False) -> int:
    at = timezone.now()
    row = Transponder(bird_id=park[bird], number=number, from_on=at.date(), recorded_by_id=park.actors.tilda)
    if taken_back:
        row.taken_back_at, row.taken_back_by_id = at, park.actors.tilda
    row.save()
    return row.pk


def number(pk: int) -> str:
    return Transponder.objects.get(pk=pk).number


@pytest.mark.parametrize(
    ("kept", "then"),
    [
        ("999-000-222222222", "999000222222222"),
        ("999.000222222222", "999000222222222"),
        ("999000222222222", "999000222222222"),
        ("00-0132-3A4F", "00-0132-3A4F"),
        ("12-34567", "12-34567"),
    ],
)
def test_fifteen_digits_lose_their_separators_and_nothing_else_does(
    park: Wendlebrook, kept: str, then: str
) -> None:
    row = chip(park, "Dock", kept)
    brought_up()
    assert number(row) == then
    brought_up()
    assert number(row) == then


def test_two_birds_with_one_number_stay_as_they_are_written(park: Wendlebrook) -> None:
    one = chip(park, "Dock", "999-000222222222")
    other = chip(park, "Thrift", "999000222222222")
    brought_up()
    assert (number(one), number(other)) == ("999-000222222222", "999000222222222")


def test_a_number_that_was_taken_back_is_in_nobodys_way(park: Wendlebrook) -> None:
    wrong = chip(park, "Thrift", "999.000.222222222", taken_back=True)
    right = chip(park, "Dock", "999-000222222222")
    brought_up()
    assert number(right) == number(wrong) == "999000222222222"
