"""Every question of the pages, for persons and devices: who may ask what, and how long answers are parted."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from addresses import addresses
from api.programs import Program, device, person
from page_questions import ANSWERED
from phones import Phone
from tarsus.core.deeds.rights import passes_for
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db

OF_THE_PARK = (
    *("/today", "/months", "/months/2026-05", "/news", "/notes", "/settings/species", "/in-hand/pack"),
    "/arrivals",
)
BY_KIND = {"/reports/{name}": "each report has its roles", "/facts/{fact_id}": "each deed has its roles"}
"""Routes that let in by what is asked for, each with a test of its own."""
LOGINS = ("tilda", "maren", "ilse", "corin", "dunstan", "pia")
MISSING = "5f2c7a7e-5a8e-4a3c-9d55-0f6a1d1d4e11"
FOR_SOME = {
    # What the pages of the same names admit, written by hand.
    "/stock": {"maren", "corin", "dunstan"},
    "/samples": {"tilda", "maren", "ilse", "corin", "dunstan"},
    "/waiting": {"tilda", "maren", "ilse", "corin", "dunstan"},
    "/reports/weights": {"tilda", "maren", "ilse", "corin", "dunstan"},
    "/reports/duties-done": {"maren", "ilse", "corin", "dunstan"},
    "/reports/inventory": {"tilda", "maren", "ilse", "corin", "dunstan", "pia"},
}


def _named(park: Wendlebrook) -> dict[str, Any]:
    """Something for each thing that an address names; the last two are not there."""
    return {
        "exhibit_id": park.shingle,
        "bird_id": park["Samphire"],
        "name": "presence",
        "lookalike": "avocet",
        "month": "2026-05",
        "species_id": park.avocet,
        "colour_id": rows.Colour.objects.order_by("pk").values_list("pk", flat=True)[0],
        "person_id": park.actors.tilda,
        "fact_id": MISSING,
        "catch_up_id": 1,
        "batch_id": 1,
    }


def _questions(told: dict[str, Any], park: Wendlebrook) -> Iterator[str]:
    for address, operations in told["paths"].items():
        if "get" in operations:
            yield address.removeprefix("/api/v1").format(**_named(park))


# The call is of an old day of June: no roll was called lately; and nothing was imported, kept or told so.
NOT_THERE = (
    "/exhibits/{exhibit_id}/roll",
    "/catch-ups/1",
    "/imports/1",
    "/imports/1/waiting",
    f"/facts/{MISSING}",
)


def test_a_person_asks_every_question_and_finds_what_the_pages_have(park: Wendlebrook) -> None:
    asking = person(park.actors.dunstan)
    phone = Phone(park, park.actors.dunstan)
    told = asking.post("/facts", {"facts": [phone.started(), phone.sighting("Kelp")]})
    assert [one["outcome"] for one in told.json()["answers"]] == ["written", "written"]
    missing = {question.format(**_named(park)) for question in NOT_THERE}
    answers = {}
    for question in _questions(asking.get("/openapi.json").json(), park):
        answer = asking.get(question)
        assert answer.status_code == (404 if question in missing else 200), (question, answer.content)
        answers[question] = answer.json()
    assert answers["/me"]["person"] == park.actors.dunstan
    assert "weighed" in answers["/me"]["may_tell"]
    assert "today_seen" in answers["/me"]["may_tell"]
    whole = answers[f"/birds/{park['Samphire']}"]
    assert (whole["name"], whole["lives_here"], whole["exhibit"]) == ("Samphire", True, "Shingle Aviary")
    assert {band["word"] for band in whole["bands"]} == {"metal", "yellow", "green"}
    assert {one["name"] for one in answers["/birds"]["items"]} >= {"Dock", "Burdock"}
    [flock] = [
        one for one in answers[f"/exhibits/{park.shingle}/flocks"]["items"] if one["lookalike"] == "ruff"
    ]
    assert flock["mfu"] == "1.1.1"
    assert answers["/reports/presence"]["parts"][0]["columns"][0]["kind"] == "text"


def _roles(route: str) -> list[str]:
    """Whom the pages let in whose question a route answers, together."""
    return [
        role
        for _, page in addresses()
        if route in ANSWERED.get(str(page.name), ())
        for role in page.callback.admits
    ]


def test_every_question_is_for_whom_its_pages_are(park: Wendlebrook) -> None:
    people = {login: person(getattr(park.actors, login)) for login in LOGINS}
    role_of = dict(rows.Person.objects.values_list("login", "role"))
    bodies: dict[str, Any] = {
        "identify": {"readings": []},
        "pair": {"one": park["Kelp"], "other": park["Sedge"]},
        "wish": {"bird": park["Kelp"], "marks": {"left tibia": ["red"]}},
    }
    routes = {route for of_page in ANSWERED.values() for route in of_page} - BY_KIND.keys()
    for route in sorted(routes):
        body = bodies.get(route.rpartition("/")[2])
        # What a viewer may everybody may.
        for login in ("pia",) if "viewer" in _roles(route) else LOGINS:
            way = route.format(**_named(park))
            asking = people[login]
            answer = asking.get(way) if body is None else asking.post(way, body)
            let_in = passes_for(role_of[login], *_roles(route))
            assert (answer.status_code != 403) == let_in, (route, login, answer.content)


@pytest.mark.parametrize("question", FOR_SOME)
def test_a_question_is_for_whom_its_page_is(question: str, park: Wendlebrook) -> None:
    for login in LOGINS:
        answer = person(getattr(park.actors, login)).get(question)
        assert answer.status_code == (200 if login in FOR_SOME[question] else 403), login


def test_a_device_is_told_of_its_exhibits_and_of_no_other(park: Wendlebrook) -> None:
    tablet = device(park, [park.shingle], [park.actors.tilda])
    everywhere = device(park, [park.shingle, park.reed], [park.actors.tilda])
    elsewhere = device(park, [park.reed], [park.actors.tilda])
    kelp = f"/birds/{park['Kelp']}"
    assert [one["id"] for one in tablet.get("/exhibits").json()["items"]] == [park.shingle]
    assert (tablet.get(kelp).status_code, elsewhere.get(kelp).status_code) == (200, 403)
    assert (tablet.get("/birds").json()["total"], elsewhere.get("/birds").json()["total"]) == (8, 0)
    found = [program.get("/find", q="Kelp").json() for program in (tablet, elsewhere)]
    assert [len(one) for one in found] == [1, 0]
    for question in ("/duties", "/unseen", "/cases", "/catch-ups"):
        assert elsewhere.get(question).json()["total"] == 0, question
    for question in OF_THE_PARK:
        answers = [one.get(question, by=park.actors.tilda) for one in (tablet, everywhere)]
        assert [answer.status_code for answer in answers] == [403, 200], question
    # It may what its people may, and no more; a report of its own exhibit is its to ask.
    assert everywhere.get("/stock").status_code == 403
    assert device(park, [park.shingle, park.reed], [park.actors.maren]).get("/stock").status_code == 200
    assert tablet.get("/reports/weights", exhibit=park.shingle).status_code == 200
    assert tablet.get("/reports/weights", exhibit=park.reed).status_code == 403
    assert tablet.get("/reports/duties-done", exhibit=park.shingle).status_code == 403
    # The inventory begins with the whole park, whichever exhibit is asked about.
    inventory = [one.get("/reports/inventory", exhibit=park.shingle) for one in (tablet, everywhere)]
    assert [answer.status_code for answer in inventory] == [403, 200]


def test_a_person_asks_in_no_other_name_than_their_own(park: Wendlebrook) -> None:
    tilda = person(park.actors.tilda)
    pack = f"/exhibits/{park.shingle}/pack"
    assert tilda.get(pack).json()["person"]["name"] == "Tilda"
    assert tilda.get(pack, by=park.actors.oswin).status_code == 403
    refused = device(park, [park.shingle], [park.actors.tilda]).get(pack)
    assert (refused.status_code, refused.json()["detail"].split(";")[0]) == (422, "by: is missing")


def test_whoever_owes_a_second_step_asks_and_tells_nothing_until_it_is_set_up(park: Wendlebrook) -> None:
    corin, maren = person(park.actors.corin), person(park.actors.maren)
    tablet = device(park, [park.shingle], [park.actors.tilda])
    rows.Park.objects.update(office_second_step=True)
    for refused in (corin.get("/today"), corin.post("/facts", {"facts": []})):
        assert refused.status_code == 403
        assert refused.json()["detail"].startswith("set up your second step")
    assert maren.get("/today").status_code == 200, "a lead keeper is not of the office"
    assert tablet.get("/birds").status_code == 200, "a device has a token of its own"
    rows.Person.objects.filter(pk=park.actors.corin).update(second_since=timezone.now())
    assert corin.get("/today").status_code == 200


def test_a_viewer_takes_no_pack_and_reads_no_bands_as_on_the_pages(park: Wendlebrook) -> None:
    there = f"/exhibits/{park.shingle}"
    for login, status in (("pia", 403), ("tilda", 200), ("corin", 200)):
        asking = person(getattr(park.actors, login))
        assert asking.get(f"{there}/pack").status_code == status, login
        assert asking.post(f"{there}/identify", {"readings": []}).status_code == status, login


@pytest.mark.django_db(transaction=True)
def test_a_pack_is_of_one_moment_while_others_write(park: Wendlebrook) -> None:
    tilda = person(park.actors.tilda)
    with CaptureQueriesContext(connection) as asked:
        assert tilda.get(f"/exhibits/{park.shingle}/pack").status_code == 200
    # How each database is asked to hold still: its own words for it.
    still = "BEGIN DEFERRED" if connection.vendor == "sqlite" else "REPEATABLE READ"
    assert [query["sql"] for query in asked if still in query["sql"]]


def test_a_list_is_told_in_parts_that_lead_from_one_to_the_next(park: Wendlebrook) -> None:
    tilda = person(park.actors.tilda)
    names, address, parts = [], f"/exhibits/{park.shingle}/birds?limit=3", 0
    while address:
        told = tilda.get(address.removeprefix("/api/v1")).json()
        assert told["total"] == 8
        names += [one["name"] for one in told["items"]]
        address, parts = told["next"] or "", parts + 1
    assert parts == 3
    assert len(set(names)) == len(names) == 8
    assert tilda.get("/birds", limit=0).status_code == tilda.get("/birds", limit=501).status_code == 422
    kept = tilda.get("/birds", lookalike="avocet", limit=2).json()["next"]
    assert "lookalike=avocet" in kept


def test_the_same_fact_told_twice_is_written_once(park: Wendlebrook) -> None:
    tilda, phone = person(park.actors.tilda), Phone(park, park.actors.tilda)
    facts = {"facts": [phone.started()]}
    told = [tilda.post("/facts", facts).json()["answers"][0]["outcome"] for _ in range(2)]
    assert told == ["written", "known"]


def _refusals(park: Wendlebrook) -> Iterator[tuple[int, Any]]:
    tilda = person(park.actors.tilda)
    yield 401, Program(Client()).get("/birds")
    yield 401, Program(Client()).get("/openapi.json")
    yield 403, tilda.get("/stock")
    yield 404, tilda.get("/birds/999999")
    yield 404, tilda.get("/exhibits/999999/duties")
    yield 404, tilda.get("/reports/nothing")
    yield 422, tilda.get("/birds/0")
    yield 422, tilda.get("/birds/99999999999999999999")
    yield 422, tilda.get("/reports/weights", first="2026-06-02", last="2026-06-01")
    yield 422, tilda.get("/reports/weights", first="0001-01-01")
    yield 422, tilda.get("/news", after="2026-06-01T00:00")
    yield 422, tilda.client.post("/api/v1/facts", data="{", content_type="application/json")


def test_every_refusal_is_a_problem_by_the_standards_names(park: Wendlebrook) -> None:
    """Names and media type: RFC 9457, sections 3 and 6.1."""
    for status, answer in _refusals(park):
        assert answer.status_code == status, answer.content
        assert answer["Content-Type"] == "application/problem+json"
        told = answer.json()
        assert {"type", "title", "status", "detail"} <= set(told)
        assert told["status"] == status
        assert told["detail"]
        assert told["type"].startswith("/api/v1/docs#")
    amiss = person(park.actors.tilda).get("/birds", limit="many", offset=-1).json()
    assert [one["place"] for one in amiss["errors"]] == ["offset", "limit"]


def test_every_route_describes_its_refusals_and_who_may_ask(park: Wendlebrook) -> None:
    described = person(park.actors.tilda).get("/openapi.json").json()
    assert described["openapi"].startswith("3.1.")
    operations = [
        (path, method, operation)
        for path, methods in described["paths"].items()
        for method, operation in methods.items()
    ]
    assert len({operation["operationId"] for _, _, operation in operations}) == len(operations) > 30
    for path, method, operation in operations:
        assert {"200", "401", "403", "404", "422"} <= set(operation["responses"]), (path, method)
        assert list(operation["responses"]["422"]["content"]) == ["application/problem+json"], path
        assert operation["security"] == [{"DeviceBearer": []}, {"SessionAuth": []}], (path, method)
        assert operation["summary"], (path, method)
        named = {one["name"] for one in operation.get("parameters", ()) if one["in"] == "path"}
        assert named == {part[1:-1] for part in path.split("/") if part.startswith("{")}, path
    assert set(_references(described)) <= {
        f"#/components/schemas/{n}" for n in described["components"]["schemas"]
    }
    facts = described["components"]["schemas"]["FactsIn"]["properties"]["facts"]["items"]
    assert facts["discriminator"]["mapping"]["weighed"] == "#/components/schemas/Fact.weighed"
    assert len(facts["oneOf"]) > 50


def _references(told: Any) -> Iterator[str]:
    if isinstance(told, dict):
        yield from (value for name, value in told.items() if name == "$ref")
    for part in told.values() if isinstance(told, dict) else told if isinstance(told, list) else ():
        yield from _references(part)


def test_the_page_tells_every_way_and_every_fact_and_fetches_nothing_from_outside(park: Wendlebrook) -> None:
    assert Client().get("/api/v1/docs").status_code == 401
    tilda = person(park.actors.tilda)
    page = tilda.get("/docs").content.decode()
    described = tilda.get("/openapi.json").json()
    for path in described["paths"]:
        assert f"</b> {path}</code>" in page
    for name in described["components"]["schemas"]:
        if name.startswith("Fact."):
            assert f'id="fact-{name.removeprefix("Fact.")}"' in page
    for status in ("401", "403", "404", "422"):
        assert f"<code>{status}</code>" in page
    assert "http://" not in page.replace("http://www.w3.org", "")
    assert "https://" not in page
    assert "<script>" not in page
    for anchor in page.split('href="#')[1:]:
        assert f'id="{anchor.split(chr(34))[0]}"' in page
