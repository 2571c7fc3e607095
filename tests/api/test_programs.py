"""Devices with a token: what they may ask and tell, and how they are refused."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from phones import Phone
from tarsus.actions.devices import give_device_token, take_device_token_back
from tarsus.actions.refusals import AlreadySo, Unknown
from tarsus.core.documents.identify import identified_together
from tarsus.core.errors import WrongValue
from tarsus.core.marks.marks import Reading
from tarsus.core.readings.lights import STATES, prior_of_states
from tarsus.core.readings.shared_state import FlockInStates
from tarsus.queries.asked import birds_today
from tarsus.queries.devices import device_of, devices
from tarsus.queries.observers import observers_of
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db


class Device:
    """A device as a program holds it."""

    def __init__(self, token: str) -> None:
        self.client = Client(headers={"Authorization": f"Bearer {token}"})

    def get(self, path: str) -> Any:
        return self.client.get(f"/api/v1{path}")

    def post(self, path: str, body: Any) -> Any:
        return self.client.post(f"/api/v1{path}", data=json.dumps(body), content_type="application/json")


@pytest.fixture
def shingle_tablet(park: Wendlebrook) -> Device:
    """The tablet of Shingle Aviary, in the names of Tilda and Oswin."""
    _, token = give_device_token(
        name="tablet at Shingle Aviary",
        exhibit_ids=[park.shingle],
        people_ids=[park.actors.tilda, park.actors.oswin],
        by=park.actors.dunstan,
    )
    return Device(token)


def test_only_a_digest_of_the_token_is_kept(park: Wendlebrook) -> None:
    device_id, token = give_device_token(
        name="t", exhibit_ids=[park.shingle], people_ids=[park.actors.tilda], by=park.actors.maren
    )
    row = rows.DeviceToken.objects.get(pk=device_id)
    assert token not in json.dumps(list(rows.DeviceToken.objects.values()), default=str)
    assert len(row.digest) == 64
    assert len(token) >= 40
    found = device_of(token)
    assert found is not None
    assert (found.name, found.may_ask_of(park.shingle), found.may_ask_of(park.reed)) == ("t", True, False)
    assert device_of(token[:-1]) is None


def test_a_token_that_was_taken_back_is_known_nowhere(park: Wendlebrook) -> None:
    device_id, token = give_device_token(
        name="t", exhibit_ids=[park.shingle], people_ids=[park.actors.tilda], by=park.actors.dunstan
    )
    assert Device(token).get("/exhibits").status_code == 200
    take_device_token_back(device_id=device_id, by=park.actors.dunstan)
    answer = Device(token).get("/exhibits")
    assert (answer.status_code, answer["WWW-Authenticate"]) == (401, "Bearer")
    assert [device.revoked_at is None for device in devices()] == [False]
    with pytest.raises(AlreadySo, match="taken back already"):
        take_device_token_back(device_id=device_id, by=park.actors.dunstan)


def test_who_gives_tokens_and_for_whom(park: Wendlebrook) -> None:
    def give(**changed: Any) -> None:
        asked = {
            "name": "t",
            "exhibit_ids": [park.shingle],
            "people_ids": [park.actors.tilda],
            "by": park.actors.dunstan,
        }
        give_device_token(**(asked | changed))

    with pytest.raises(WrongValue, match="people: is empty"):
        give(people_ids=[])
    with pytest.raises(WrongValue, match="name: is empty"):
        give(name="  ")
    with pytest.raises(Unknown, match=f"no person who records {park.actors.pia}"):
        give(people_ids=[park.actors.tilda, park.actors.pia])
    with pytest.raises(Unknown, match="no exhibit 999"):
        give(exhibit_ids=[999])
    assert not rows.DeviceToken.objects.exists()


def test_without_a_token_nothing_is_told(park: Wendlebrook) -> None:
    for client in (Client(), Client(headers={"Authorization": "Bearer nonsense"})):
        for path in ("/exhibits", f"/exhibits/{park.shingle}/birds", f"/exhibits/{park.shingle}/roll"):
            assert client.get(f"/api/v1{path}").status_code == 401
        assert client.post("/api/v1/facts", data="{}", content_type="application/json").status_code == 401
        assert client.get("/api/v1/openapi.json").status_code == 401


def test_the_birds_of_an_exhibit_are_told_with_their_marks(shingle_tablet: Device, park: Wendlebrook) -> None:
    birds = {
        one["name"]: one for one in shingle_tablet.get(f"/exhibits/{park.shingle}/birds").json()["items"]
    }
    assert birds["Samphire"]["marks"] == {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
    assert (birds["Samphire"]["engraving"], birds["Burdock"]["sex"]) == ("WB 20417", "M")
    refused = shingle_tablet.get(f"/exhibits/{park.reed}/birds")
    assert (refused.status_code, refused.json()["detail"].split(";")[0]) == (
        403,
        f"this device does not ask of exhibit {park.reed}",
    )


def test_identify_answers_as_the_core_does(shingle_tablet: Device, park: Wendlebrook) -> None:
    readings = [{"left tibia": ["metal"], "right tibia": ["yellow", "?"]}, {"right tibia": ["metal"]}]
    told = shingle_tablet.post(
        f"/exhibits/{park.shingle}/identify", {"by": park.actors.tilda, "readings": readings}
    )
    assert told.status_code == 200
    birds = birds_today(park.shingle, timezone.now())
    flock = FlockInStates(
        [bird.as_core() for bird in birds],
        [observers_of(park.actors.tilda, birds, DAY).person],
        strangers=0.001,
    )
    for answer, reading in zip(told.json()["readings"], readings, strict=True):
        (expected,) = identified_together([(flock, Reading.of(reading))], [1.0])[0]
        assert [one["id"] for one in answer["candidates"]][:2] == [who for who, _ in expected.candidates][:2]
        assert answer["candidates"][0]["p"] == pytest.approx(expected.candidates[0][1], abs=1e-9)
        assert answer["look_next"] == expected.look_next
        total = sum(one["p"] for one in answer["candidates"]) + answer["none_of_these"]
        assert total == pytest.approx(1.0, abs=1e-6)
    assert told.json()["readings"][0]["candidates"][0]["id"] == str(park["Samphire"])


def test_readings_of_one_round_are_weighed_in_the_light_that_was_told(
    shingle_tablet: Device, park: Wendlebrook
) -> None:
    readings = [{"left tibia": ["metal"], "right tibia": ["yellow", "?"]}, {"right tibia": ["metal"]}]
    body = {"by": park.actors.tilda, "readings": readings}
    path = f"/exhibits/{park.shingle}/identify"
    alone = shingle_tablet.post(path, body).json()
    dusk = shingle_tablet.post(path, body | {"light": "dusk", "mud": True}).json()
    birds = birds_today(park.shingle, timezone.now())
    eyes = observers_of(park.actors.tilda, birds, DAY)
    flock = FlockInStates([bird.as_core() for bird in birds], eyes.in_states, strangers=0.001)
    read = [Reading.of(one) for one in readings]
    prior = prior_of_states("dusk", mud=True)
    for at, answer in enumerate(dusk["readings"]):
        expected = flock.posterior(read[at], prior, read[:at] + read[at + 1 :])
        assert answer["none_of_these"] == pytest.approx(expected.none_of_these, abs=1e-9)
        assert answer["candidates"][0]["p"] == pytest.approx(expected.birds.max(), abs=1e-9)
        assert answer["candidates"][0]["p"] != pytest.approx(
            alone["readings"][at]["candidates"][0]["p"], abs=1e-6
        )
    assert [one["p"] for one in dusk["states"]] == pytest.approx(list(expected.states), abs=1e-9)
    assert [(one["light"], one["mud"]) for one in dusk["states"]] == [(s.light, s.mud) for s in STATES]
    untold = shingle_tablet.post(path, body | {"light": "not said"}).json()
    assert untold["states"][0]["p"] > 0.5 > dusk["states"][0]["p"]
    assert alone["states"] is None
    assert shingle_tablet.post(path, body | {"light": "fog"}).status_code == 422


def test_the_plumage_of_a_bird_weighs_where_the_park_said_when_birds_are_grown(
    shingle_tablet: Device, park: Wendlebrook
) -> None:
    path, kelp = f"/exhibits/{park.shingle}/identify", str(park["Kelp"])
    readings = [{"right tibia": ["metal"], "plumage": told} for told in ("young", "grown")]
    body = {"by": park.actors.tilda, "readings": readings}

    def chances() -> list[float]:
        answers = shingle_tablet.post(path, body).json()["readings"]
        return [{one["id"]: one["p"] for one in answer["candidates"]}[kelp] for answer in answers]

    rows.Bird.objects.update(hatched_on=DAY - timedelta(days=3000))
    rows.Bird.objects.filter(pk=park["Kelp"]).update(hatched_on=timezone.now().date() - timedelta(days=30))
    before = chances()
    assert before[0] == before[1]
    rows.Species.objects.update(grown_plumage_at_days=400)
    young, grown = chances()
    assert young > before[0] > grown


def test_a_malformed_reading_is_refused_with_its_place(shingle_tablet: Device, park: Wendlebrook) -> None:
    def asked(body: dict[str, Any]) -> tuple[int, str]:
        answer = shingle_tablet.post(f"/exhibits/{park.shingle}/identify", body)
        return answer.status_code, answer.json()["detail"]

    by = park.actors.tilda
    status, reason = asked({"by": by, "readings": [{}, {"left tibia": ["tael"]}]})
    assert status == 422
    assert reason.startswith("readings[1]")
    assert "'tael'" in reason
    status, reason = asked({"by": by, "readings": [{"left tibia": "red"}]})
    assert (status, reason.split(":")[0]) == (422, 'readings[0]["left tibia"]')
    status, reason = asked({"by": by, "readings": [], "reading": []})
    assert (status, reason.split(":")[0]) == (422, "reading")
    status, reason = asked({"readings": []})
    assert (status, reason) == (422, "by: is missing; name one of the device's people")


def test_a_device_tells_only_of_its_exhibits_and_only_for_its_people(
    shingle_tablet: Device, park: Wendlebrook
) -> None:
    here, stranger = Phone(park, park.actors.oswin), Phone(park, park.actors.maren)
    elsewhere = Phone(park, park.actors.tilda, exhibit=park.reed)
    told = shingle_tablet.post(
        "/facts", {"facts": [here.started(), here.sighting("Kelp"), stranger.started(), elsewhere.started()]}
    )
    outcomes = [(one["outcome"], one["reason"] or "") for one in told.json()["answers"]]
    assert [outcome for outcome, _ in outcomes] == ["written", "written", "refused", "refused"]
    assert "may not speak for that person" in outcomes[2][1]
    assert rows.Sighting.objects.get().recorded_by_id == park.actors.oswin
    assert rows.Sighting.objects.get().device.startswith("device ")


def test_facts_that_are_no_list_are_refused_whole(shingle_tablet: Device) -> None:
    answer = shingle_tablet.post("/facts", {"facts": "all seen"})
    assert answer.status_code == 422
    assert answer.json()["detail"].startswith("facts: ")
    assert shingle_tablet.post("/facts", {"facts": [], "clock": "yesterday"}).status_code == 422


def test_the_roll_says_who_was_seen_how_and_who_was_not(shingle_tablet: Device, park: Wendlebrook) -> None:
    none = shingle_tablet.get(f"/exhibits/{park.shingle}/roll")
    assert (none.status_code, none.json()["detail"].split(";")[0]) == (
        404,
        f"no roll was called in exhibit {park.shingle} in the last seven days",
    )
    phone = Phone(park, park.actors.tilda)
    now = timezone.now().isoformat()
    facts = [
        phone.started(),
        phone.count("avocet", 4),
        phone.sighting("Kelp"),
        phone.inferred("Sedge", 0.96),
        phone.sighting(None, None, lookalike="avocet"),
    ]
    told = shingle_tablet.post("/facts", {"facts": [fact | {"at": now} for fact in facts]})
    assert [one["outcome"] for one in told.json()["answers"]] == ["written"] * 5
    roll = shingle_tablet.get(f"/exhibits/{park.shingle}/roll").json()
    assert (roll["open"], roll["counts"][0]["counted"], roll["part_readings"]) == (True, 4, 1)
    assert {(one["bird"], one["how"]) for one in roll["seen"]} == {
        (park["Kelp"], "by sight"),
        (park["Sedge"], "inferred"),
    }
    assert park["Sedge"] in roll["unseen"]
    assert park["Kelp"] not in roll["unseen"]


def test_a_pack_is_prepared_for_a_person_the_device_speaks_for(
    shingle_tablet: Device, park: Wendlebrook
) -> None:
    pack = shingle_tablet.get(f"/exhibits/{park.shingle}/pack?by={park.actors.oswin}").json()
    assert pack["person"]["name"] == "Oswin"
    assert [one["name"] for one in pack["people"]] == ["Tilda", "Oswin"]
    refused = shingle_tablet.get(f"/exhibits/{park.shingle}/pack?by={park.actors.maren}")
    assert refused.status_code == 403
    assert shingle_tablet.get(f"/exhibits/{park.shingle}/pack").status_code == 422
