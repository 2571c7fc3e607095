"""In hand over the web: who may open it, and a pack whose questions do not grow with the birds."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

import wendlebrook
from pages import shown
from tarsus.records import models as rows

pytestmark = pytest.mark.django_db


@pytest.fixture
def aviary(db: None) -> Any:
    return wendlebrook.build()


@pytest.fixture
def keeper(client: Client, aviary: Any) -> Client:
    return signed_in(client, aviary.actors.tilda)


def signed_in(client: Client, person: int) -> Client:
    client.force_login(
        rows.Person.objects.get(pk=person), backend="django.contrib.auth.backends.ModelBackend"
    )
    return client


def test_the_shell_says_nothing_of_any_bird(keeper: Client) -> None:
    page = shown(keeper.get("/in-hand/"))
    assert "in-hand.js" in page
    assert "Samphire" not in page


def test_a_viewer_may_not_have_a_bird_in_hand(client: Client, aviary: Any) -> None:
    viewer = signed_in(client, aviary.actors.pia)
    assert viewer.get("/in-hand/").status_code == 403
    assert viewer.get("/in-hand/pack.json").status_code == 403


def test_the_pack_tells_a_bird_its_bands_and_who_may_hold_it(keeper: Client, aviary: Any) -> None:
    told = keeper.get("/in-hand/pack.json").json()
    samphire = next(bird for bird in told["birds"] if bird["id"] == aviary["Samphire"])
    assert samphire["name"] == "Samphire"
    assert samphire["bands"][0]["word"] == "metal"
    assert {band["id"] for band in samphire["bands"]} <= set(rows.Band.objects.values_list("pk", flat=True))
    assert told["person"]["id"] == aviary.actors.tilda
    assert {"fit band", "chick band", "wing band", "catch", "sample", "bill"} <= set(told["cautions"])
    assert all(told["cautions"].values())
    assert told["version"]


def test_the_pack_asks_as_much_for_many_birds_as_for_few(keeper: Client, aviary: Any) -> None:
    keeper.get("/in-hand/pack.json")  # the first request of a session notes that it is used
    with CaptureQueriesContext(connection) as few:
        keeper.get("/in-hand/pack.json")
    for number in range(12):
        bird = rows.Bird.objects.create(
            species_id=aviary.avocet,
            house_name=f"Chick {number}",
            hatched_precision="unknown",
            recorded_by_id=aviary.actors.tilda,
        )
        rows.Stay.objects.create(
            bird=bird,
            exhibit_id=aviary.shingle,
            from_on=wendlebrook.BEGUN,
            recorded_by_id=aviary.actors.tilda,
        )
    with CaptureQueriesContext(connection) as many:
        told = keeper.get("/in-hand/pack.json").json()
    assert len([bird for bird in told["birds"] if bird["name"].startswith("Chick")]) == 12
    assert len(many) == len(few)


def test_an_unchanged_pack_is_not_sent_again_and_a_changed_one_is(keeper: Client, aviary: Any) -> None:
    first = keeper.get("/in-hand/pack.json")
    again = keeper.get("/in-hand/pack.json", headers={"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", first["ETag"])
    rows.Person.objects.filter(pk=first.json()["person"]["id"]).update(display_name="Tilda Newname")
    changed = keeper.get("/in-hand/pack.json", headers={"If-None-Match": first["ETag"]})
    assert changed.status_code == 200
    assert changed.json()["person"]["name"] == "Tilda Newname"
