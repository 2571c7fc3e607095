"""A device with a token of its own sends for its exhibits only, and always for a named person."""

from __future__ import annotations

import hashlib
from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone

from phones import Phone
from tarsus.actions.facts import hear_device
from tarsus.actions.refusals import MayNotSpeak
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
TOKEN = "gull-over-the-spit"


@pytest.fixture
def token(park: Wendlebrook) -> rows.DeviceToken:
    row = rows.DeviceToken.objects.create(
        name="Shingle phone",
        digest=hashlib.sha256(TOKEN.encode()).hexdigest(),
        made_by_id=park.actors.dunstan,
    )
    row.exhibits.set([park.shingle])
    row.people.set([park.actors.tilda, park.actors.pia])
    return row


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


def send(*facts: dict[str, Any], token: str = TOKEN) -> list[str]:
    told = hear_device(facts=facts, clock=None, device="shingle", token=token)
    return [one.outcome if one.outcome != "refused" else one.reason for one in told]


def test_a_device_is_heard_for_its_own_exhibit(token: object, tilda: Phone, park: Wendlebrook) -> None:
    facts = [tilda.started(), tilda.count("avocet", 5), tilda.sighting("Kelp")]
    assert send(*facts) == ["written"] * 3
    row = rows.Sighting.objects.get()
    assert (row.recorded_by_id, row.sent_by_id, row.device) == (park.actors.tilda, None, "shingle")
    mistake = tilda.fact("withdrawn", corrects=facts[2]["id"], because="it was Marram")
    assert send(mistake) == ["written"]
    assert send(tilda.fact("concern", birds=[park["Kelp"]], seen=["lame"])) == ["written"]


def test_a_device_is_not_heard_for_another_exhibit_by_any_way_round(
    token: object, tilda: Phone, park: Wendlebrook
) -> None:
    elsewhere = Phone(park, park.actors.tilda, park.reed)
    rows.Stay.objects.filter(bird_id=park["Dock"]).update(exhibit_id=park.reed)
    call = rows.Round.objects.create(exhibit_id=park.reed)
    for fact in (
        elsewhere.started(),
        elsewhere.sighting("Kelp"),
        tilda.fact("count", round=str(call.pk), lookalike="ruff", counted=1),
        tilda.fact("count", round=str(uuid4()), lookalike="ruff", counted=1),
        tilda.fact("concern", birds=[park["Dock"]], seen=["lame"]),
        tilda.fact("concern", birds=[park["Dock"], park["Kelp"]], seen=["lame"]),
        tilda.fact("handling", bird=park["Dock"], why="weighing"),
        tilda.fact("note", bird=park["Dock"], text="shy"),
    ):
        (told,) = send(fact)
        assert told.startswith("exhibit: this device does not send for"), fact["kind"]
    for table in (rows.Sighting, rows.Count, rows.Concern, rows.Handling, rows.Waiting):
        assert not table.objects.exists()


def test_a_device_speaks_only_for_those_named_with_it_and_never_for_a_viewer(
    token: object, park: Wendlebrook
) -> None:
    for stranger in (park.actors.oswin, park.actors.maren, park.actors.pia):
        (told,) = send(Phone(park, stranger).started())
        assert told.startswith("by: nothing is recorded here")


def test_a_token_that_was_taken_back_or_never_given_is_not_heard(
    token: rows.DeviceToken, tilda: Phone
) -> None:
    with pytest.raises(MayNotSpeak, match="its token is not known"):
        send(tilda.started(), token="gull-over-the-sea")
    token.revoked_at = timezone.now()
    token.save()
    with pytest.raises(MayNotSpeak, match="its token is not known"):
        send(tilda.started())


def test_a_person_who_left_is_nobodys_voice(token: object, tilda: Phone, park: Wendlebrook) -> None:
    rows.Person.objects.filter(pk=park.actors.tilda).update(is_active=False)
    (told,) = send(tilda.started())
    assert told.startswith("by: nothing is recorded here")
