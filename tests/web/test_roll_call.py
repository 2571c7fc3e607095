"""The roll call's addresses: who may open them, what they answer, what they refuse."""

from __future__ import annotations

import json
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from pages import shown
from phones import Phone
from tarsus.records import models as rows
from wendlebrook import Wendlebrook, build

pytestmark = pytest.mark.django_db


@pytest.fixture
def park(db: None) -> Wendlebrook:
    return build()


def signed_in(person: int) -> Client:
    client = Client()
    client.force_login(
        rows.Person.objects.get(pk=person), backend="django.contrib.auth.backends.ModelBackend"
    )
    return client


def send(client: Client, body: Any) -> Any:
    return client.post("/facts", data=json.dumps(body), content_type="application/json")


def test_the_shell_says_nothing_of_any_bird_so_that_a_phone_may_keep_it(park: Wendlebrook) -> None:
    page = signed_in(park.actors.tilda).get(f"/exhibits/{park.shingle}/roll-call/")
    other = signed_in(park.actors.oswin).get(f"/exhibits/{park.reed}/roll-call/")
    assert page.status_code == 200
    assert page.content == other.content
    assert b"Samphire" not in page.content
    assert "csrftoken" in page.cookies


def test_a_viewer_looks_and_does_not_record(park: Wendlebrook) -> None:
    pia = signed_in(park.actors.pia)
    assert pia.get(f"/exhibits/{park.shingle}/roll-call/").status_code == 403
    assert pia.get(f"/exhibits/{park.shingle}/pack.json").status_code == 403
    assert send(pia, {"facts": []}).status_code == 403
    assert Client().get(f"/exhibits/{park.shingle}/pack.json").status_code == 401
    assert send(Client(), {"facts": []}).status_code == 401


def test_facts_are_written_once_and_each_has_its_own_answer(park: Wendlebrook) -> None:
    phone, tilda = Phone(park, park.actors.tilda), signed_in(park.actors.tilda)
    wrong = phone.sighting("Kelp") | {"bird": 9999}
    body = {"clock": None, "device": "p1", "facts": [phone.started(), wrong, phone.sighting("Sedge")]}
    first = send(tilda, body).json()["answers"]
    assert [one["outcome"] for one in first] == ["written", "refused", "written"]
    assert "9999" in first[1]["reason"]
    again = send(tilda, body).json()["answers"]
    assert [one["outcome"] for one in again] == ["known", "refused", "known"]
    assert rows.Sighting.objects.count() == 1


def test_a_shared_phone_keeps_who_acted_and_who_was_signed_in(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.oswin)
    Phone(park, park.actors.tilda).handed_to(park.actors.oswin)
    send(signed_in(park.actors.tilda), {"device": "p1", "facts": [phone.started(), phone.sighting("Kelp")]})
    seen = rows.Sighting.objects.get()
    assert (seen.recorded_by_id, seen.sent_by_id) == (park.actors.oswin, park.actors.tilda)


def test_what_is_no_sending_is_refused_whole_in_one_sentence(park: Wendlebrook) -> None:
    tilda = signed_in(park.actors.tilda)
    broken = tilda.post("/facts", data="{", content_type="application/json")
    assert (broken.status_code, broken.json()["reason"]) == (
        422,
        "sending: is no JSON at line 1, column 2: Expecting property name enclosed in double quotes",
    )
    assert send(tilda, {}).json()["reason"] == "facts: is missing; give the list of facts"
    many = send(tilda, {"facts": [{"id": str(uuid4())}] * 501})
    assert many.json()["reason"] == "facts: 501 at once; send at most 500"
    clock = send(tilda, {"facts": [], "clock": "yesterday"})
    assert (clock.status_code, clock.json()["reason"].split(":")[0]) == (422, "clock")


def test_a_pack_that_is_not_there_says_so(park: Wendlebrook) -> None:
    answer = signed_in(park.actors.tilda).get("/exhibits/999/pack.json")
    assert (answer.status_code, answer.json()["reason"]) == (
        404,
        "no exhibit 999 is in this register; choose one on Today",
    )


def test_facts_need_the_token_of_the_page(park: Wendlebrook) -> None:
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(
        rows.Person.objects.get(pk=park.actors.tilda), backend="django.contrib.auth.backends.ModelBackend"
    )
    assert send(strict, {"facts": []}).status_code == 403
    token = strict.get(f"/exhibits/{park.shingle}/pack.json").cookies["csrftoken"].value
    heard = strict.post(
        "/facts", data='{"facts": []}', content_type="application/json", headers={"X-CSRFToken": token}
    )
    assert heard.status_code == 200


def test_the_exhibits_with_packs_are_listed_in_the_parks_order(park: Wendlebrook) -> None:
    listed = signed_in(park.actors.tilda).get("/exhibits.json").json()["exhibits"]
    assert [one["name"] for one in listed] == ["Shingle Aviary", "Reed House"]


def test_a_devices_token_is_shown_once_and_can_be_taken_back(park: Wendlebrook) -> None:
    maren = signed_in(park.actors.maren)
    refused = maren.post("/settings/devices/", {"name": "tablet"})
    assert refused.status_code == 422
    assert not rows.DeviceToken.objects.exists()
    given = {"name": "tablet", "exhibits": [park.shingle], "people": [park.actors.tilda]}
    token = maren.post("/settings/devices/", given).context["token"]
    assert len(token) > 40
    again = maren.get("/settings/devices/")
    assert token not in shown(again)
    assert "tablet" in shown(again)
    device = rows.DeviceToken.objects.get()
    assert maren.post(f"/settings/devices/{device.pk}/back/").status_code == 302
    device.refresh_from_db()
    assert device.revoked_at is not None
