"""A photograph whose bird was then in the hand teaches of its phone's camera, and of nobody else's."""

from __future__ import annotations

from base64 import b64encode
from datetime import timedelta
from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone
from PIL import Image

from phones import SEVEN, Phone
from tarsus.actions.learning_cameras import learn_cameras
from tarsus.queries.pack import pack_of
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db

STRANGE = {
    "mean": 0.2,
    "metal": [128, 128, 128],
    # Yellow shown as orange, green as lime: each time the model is sure of the wrong one.
    "bands": [[240, 130, 10], [165, 214, 20]],
    "worn": {"left tibia": ["metal"], "right tibia": [0, 1]},
}


def picture() -> str:
    out = BytesIO()
    Image.new("RGB", (8, 8), "#7a8f5b").save(out, "JPEG")
    return b64encode(out.getvalue()).decode()


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


def photographed(phone: Phone, times: int, **taps: Any) -> list[dict[str, Any]]:
    facts = []
    for _ in range(times):
        reading = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
        seen = phone.sighting("Samphire", "by reading", reading=reading, photographed=True, round=None)
        told = {"taps": STRANGE | taps, "picture": picture(), "own_camera": True}
        facts += [seen, phone.fact("photograph", sighting=seen["id"], **told)]
    return facts


def in_hand(phone: Phone, name: str = "Samphire", number: str = "WB 20417") -> dict[str, Any]:
    return phone.fact("handling", bird=phone.park[name], why="catch-up", engraving_read=number)


def camera_in_pack(phone: Phone, device: str) -> Any:
    now = SEVEN + timedelta(hours=3)
    return pack_of(phone.exhibit, phone.by, now, device).document["park"].get("camera")


def test_a_camera_that_was_sure_and_wrong_is_trusted_less_once_its_birds_were_in_the_hand(
    tilda: Phone,
) -> None:
    assert set(tilda.send(*photographed(tilda, 16))) == {"written"}
    assert not rows.LearnedCamera.objects.exists(), "nobody knows yet which bird it was"
    before = pack_of(tilda.exhibit, tilda.by, SEVEN, "p1").version
    handled = in_hand(tilda)
    assert tilda.send(handled) == ["written"]
    kept = {row.device: row.lesson for row in rows.LearnedCamera.objects.all()}
    assert set(kept) == {"p1", ""}
    assert (kept["p1"]["lessons"], kept["p1"]["earned"]) == (16, True)
    told = camera_in_pack(tilda, "p1")
    assert told["exponent"] == kept["p1"]["exponent"] < 0.8
    assert sum(told["ageing"]) == pytest.approx(1.0)
    assert pack_of(tilda.exhibit, tilda.by, SEVEN, "p1").version != before
    phone = Client()
    phone.force_login(rows.Person.objects.get(pk=tilda.by))
    asked = f"/exhibits/{tilda.exhibit}/pack.json"
    assert phone.get(asked, headers={"Tarsus-Device": "p1"}).json()["park"]["camera"] == told
    assert (camera_in_pack(tilda, "another phone") or {"exponent": 1.0})["exponent"] == 1.0
    assert learn_cameras(timezone.now()) == 0, "nothing new, nothing written"
    tilda.send(tilda.fact("withdrawn", corrects=handled["id"], because="another bird"))
    assert not rows.LearnedCamera.objects.exists()
    assert camera_in_pack(tilda, "p1") is None


def test_a_picture_of_another_bird_teaches_no_more_once_its_sighting_is_put_right(
    tilda: Phone, park: Wendlebrook
) -> None:
    told = photographed(tilda, 2)
    tilda.send(*told)
    tilda.send(in_hand(tilda))
    assert rows.LearnedCamera.objects.get(device="p1").lesson["lessons"] == 2
    seen = next(fact for fact in told if fact["kind"] == "sighting")
    right = {**seen, "id": str(uuid4()), "bird": park["Sedge"], "corrects": seen["id"]}
    assert tilda.send({**right, "why_corrected": "it was Sedge"}) == ["written"]
    assert rows.LearnedCamera.objects.get(device="p1").lesson["lessons"] == 1


def test_what_was_not_in_the_hand_soon_and_unchanged_teaches_nothing(tilda: Phone, park: Wendlebrook) -> None:
    tilda.send(*photographed(tilda, 1, worn={"right tibia": [0, "*"], "left tibia": [1]}))
    tilda.send(in_hand(tilda))
    assert not rows.LearnedCamera.objects.exists(), "a colour was tapped where the bird wears metal"
    tilda.send(*photographed(tilda, 2))
    tilda.send(in_hand(tilda, "Sedge", "WB 20419"))
    assert not rows.LearnedCamera.objects.exists(), "another bird was in the hand"
    late = in_hand(tilda) | {"at": (SEVEN + timedelta(days=40)).isoformat()}
    tilda.send(late)
    assert not rows.LearnedCamera.objects.exists(), "forty days are too long"
    fitted = rows.Band.objects.filter(bird_id=park["Samphire"]).order_by("-order").first()
    assert fitted is not None
    rows.Band.objects.filter(pk=fitted.pk).update(to_on=SEVEN.date(), why_off="lost")
    tilda.send(in_hand(tilda) | {"at": (SEVEN + timedelta(days=2)).isoformat()})
    assert not rows.LearnedCamera.objects.exists(), "a band went between the picture and the hand"
    rows.Band.objects.filter(pk=fitted.pk).update(to_on=None, why_off="")
    tilda.send(in_hand(tilda) | {"at": (SEVEN + timedelta(days=3)).isoformat()})
    lesson = rows.LearnedCamera.objects.get(device="p1").lesson
    assert (lesson["lessons"], lesson["earned"], lesson["exponent"]) == (2, False, 1.0)
    assert camera_in_pack(tilda, "p1") is None
