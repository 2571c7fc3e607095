"""A device with a token of its own sends for its exhibits only, and always for a named person."""

from __future__ import annotations

import hashlib
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone

from phones import Phone
from tarsus.actions.devices import give_device_token, note_use
from tarsus.actions.facts import hear_device
from tarsus.actions.refusals import MayNotSpeak
from tarsus.queries.devices import device_of, devices
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

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


def test_every_row_that_a_fact_names_is_of_the_devices_exhibits(
    token: object, tilda: Phone, park: Wendlebrook
) -> None:
    """A row of which nobody can say the exhibit does not pass beside one of an exhibit that is allowed."""
    band = rows.Band.objects.filter(bird_id=park["Dock"]).latest("pk").pk
    rows.Stay.objects.filter(bird_id=park["Dock"]).update(taken_back_at=timezone.now())
    rows.Stay.objects.filter(bird_id=park["Sedge"]).update(to_on=DAY)
    for fact in (
        tilda.fact("concern", birds=[park["Kelp"], park["Dock"]], seen=["lame"]),
        tilda.fact(
            "handling", bird=park["Kelp"], why="weighing", bands=[{"band": band, "conditions": ["good"]}]
        ),
        tilda.sighting("Dock", round=None),
    ):
        (told,) = send(fact)
        assert told.startswith("exhibit: this device does not send for"), fact["kind"]
    left = tilda.fact("concern", birds=[park["Kelp"], park["Sedge"]], seen=["lame"])
    assert send(left) == ["written"], "a bird that left is still of the exhibit where it lived last"


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


def test_what_waited_is_heard_for_its_devices_exhibits_when_its_turn_comes(
    token: object, tilda: Phone, park: Wendlebrook
) -> None:
    """The round was not known when its sighting came: it turns out to be of another exhibit."""
    assert send(tilda.sighting("Kelp")) == ["written"]
    elsewhere = Phone(park, park.actors.tilda, park.reed)
    elsewhere.round = tilda.round
    assert elsewhere.send(elsewhere.started()) == ["written"]
    assert f"does not send for exhibit {park.reed}" in rows.Waiting.objects.get().reason
    assert not rows.Sighting.objects.exists()


def test_a_person_who_left_is_nobodys_voice(token: object, tilda: Phone, park: Wendlebrook) -> None:
    rows.Person.objects.filter(pk=park.actors.tilda).update(is_active=False)
    (told,) = send(tilda.started())
    assert told.startswith("by: nothing is recorded here")


def test_a_token_holds_for_its_days_and_is_known_nowhere_after_them(tilda: Phone, park: Wendlebrook) -> None:
    before = timezone.now()
    named = {"exhibit_ids": [park.shingle], "people_ids": [park.actors.tilda], "by": park.actors.dunstan}
    device, secret = give_device_token(name="loan", days=30, **named)
    mine = rows.DeviceToken.objects.filter(pk=device)
    days = timedelta(days=30)
    assert before + days <= mine.get().expires_at <= timezone.now() + days
    mine.update(expires_at=timezone.now() + timedelta(minutes=5))
    assert send(tilda.started(), token=secret) == ["written"]
    assert device_of(secret) is not None
    assert [one.over for one in devices()] == [False]
    mine.update(expires_at=timezone.now() - timedelta(seconds=1))
    with pytest.raises(MayNotSpeak, match="its token is not known"):
        send(tilda.count("avocet", 5), token=secret)
    assert device_of(secret) is None
    assert [one.over for one in devices()] == [True]


def test_when_a_token_was_last_shown_is_kept_to_the_minute(
    token: rows.DeviceToken, park: Wendlebrook
) -> None:
    mine = rows.DeviceToken.objects.filter(pk=token.pk)
    other = rows.DeviceToken.objects.create(name="other", digest="0", made_by_id=park.actors.dunstan)
    assert mine.get().last_used_at is None
    before = timezone.now()
    note_use(token.pk)
    first = mine.get().last_used_at
    assert first is not None
    assert before <= first <= timezone.now()
    for ago, kept in ((timedelta(seconds=30), True), (timedelta(seconds=61), False)):
        shown = timezone.now() - ago
        mine.update(last_used_at=shown)
        note_use(token.pk)
        assert (mine.get().last_used_at == shown) is kept
    assert rows.DeviceToken.objects.get(pk=other.pk).last_used_at is None
