"""The keys by which phones seal: told to whoever may send what they seal, and to nobody else."""

from __future__ import annotations

from base64 import b64decode
from datetime import date

import pytest

from tarsus.actions.phone_keys import keys_of_phone
from tarsus.core.errors import WrongValue
from tarsus.queries.exports import tables_held
from tarsus.queries.people import idle_minutes
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

DEVICE = "the phone of these tests"


def test_each_person_and_phone_has_a_key_of_its_own_and_keeps_it(park: Wendlebrook) -> None:
    tilda, oswin = park.actors.tilda, park.actors.oswin
    first = keys_of_phone(speaker=tilda, device=DEVICE)
    assert first.keys() == {tilda}
    assert len(b64decode(first[tilda])) == 32
    assert keys_of_phone(speaker=tilda, device=DEVICE) == first
    others = (keys_of_phone(speaker=tilda, device="another"), keys_of_phone(speaker=oswin, device=DEVICE))
    assert not {key for one in others for key in one.values()} & set(first.values())
    held = "".join(str(list(table.rows)) for table in tables_held(date(2026, 6, 11)))
    assert first[tilda] not in held


def test_a_shared_phone_hears_the_key_of_whoever_took_it_there_by_their_pin(park: Wendlebrook) -> None:
    tilda, oswin = park.actors.tilda, park.actors.oswin
    rows.Park.objects.update(shared_phones=True)
    own = keys_of_phone(speaker=oswin, device=DEVICE)
    rows.Handover.objects.create(device=DEVICE, given_by_id=tilda, taken_by_id=oswin, by_pin=True)
    assert keys_of_phone(speaker=tilda, device=DEVICE)[oswin] == own[oswin]
    assert keys_of_phone(speaker=tilda, device="another").keys() == {tilda}
    assert keys_of_phone(speaker=park.actors.dunstan, device=DEVICE).keys() == {park.actors.dunstan}
    rows.Person.objects.filter(pk=oswin).update(is_active=False)
    assert keys_of_phone(speaker=park.actors.dunstan, device=DEVICE)[oswin] == own[oswin], (
        "nobody else is left"
    )
    assert keys_of_phone(speaker=tilda, device=DEVICE).keys() == {tilda}


@pytest.mark.parametrize("device", ["", "x" * 65])
def test_a_phone_says_which_it_is(device: str, park: Wendlebrook) -> None:
    with pytest.raises(WrongValue):
        keys_of_phone(speaker=park.actors.tilda, device=device)


def test_only_phones_that_keepers_share_lock_themselves(park: Wendlebrook) -> None:
    tilda, dunstan = park.actors.tilda, park.actors.dunstan
    rows.Park.objects.update(shared_phones=True)
    assert idle_minutes(tilda) == 0, "never, until the park says so"
    rows.Park.objects.update(idle_lock_minutes=5)
    assert (idle_minutes(tilda), idle_minutes(dunstan)) == (5, 0)
    rows.Park.objects.update(shared_phones=False)
    assert idle_minutes(tilda) == 0
