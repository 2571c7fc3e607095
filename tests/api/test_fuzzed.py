"""The interface asked and told at random from its own description: it answers as described."""

from __future__ import annotations

import json
from typing import Any
from urllib.parse import quote

import pytest
from django.db import transaction
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from api.from_description import Described
from api.programs import Program, device, person
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
FEW = settings(
    max_examples=40,
    deadline=None,
    phases=(Phase.generate,),
    suppress_health_check=list(HealthCheck),
    database=None,
)


@pytest.fixture
def programs(park: Wendlebrook) -> list[Program]:
    """One who may much by session, and a device."""
    return [person(park.actors.dunstan), device(park, [park.shingle, park.reed], [park.actors.maren])]


@pytest.fixture
def described(park: Wendlebrook, programs: list[Program]) -> Described:
    ids = [park.shingle, park.reed, park["Kelp"], park["Dock"], park.actors.maren, park.avocet]
    return Described(programs[0].get("/openapi.json").json(), sorted(set(ids)))


@seed(20260611)
@FEW
@given(st.data())
def test_every_question_is_answered_as_described_whatever_is_asked(
    described: Described, programs: list[Program], data: st.DataObject
) -> None:
    address, method, operation = data.draw(described.operations())
    asked = {
        one["name"]: (one["in"], data.draw(described.parameter(one)))
        for one in operation.get("parameters", ())
        if one.get("required") or data.draw(st.booleans())
    }
    path = address
    for name, (where, value) in asked.items():
        if where == "path":
            path = path.replace(
                f"{{{name}}}", str(value) if str(value).startswith("%") else quote(str(value), safe="")
            )
    query = {
        name: _said(value) for name, (where, value) in asked.items() if where == "query" and value is not None
    }
    body = data.draw(described.body(operation))
    program = data.draw(st.sampled_from(programs))
    with transaction.atomic():
        if method == "get":
            answer = program.client.get(path, query)
        else:
            answer = program.client.generic(
                method.upper(), path, json.dumps(body), content_type="application/json"
            )
        transaction.set_rollback(True)
    _as_described(operation, answer)


@seed(20260612)
@FEW
@given(st.data())
def test_every_fact_is_answered_whatever_is_told(
    described: Described, programs: list[Program], data: st.DataObject
) -> None:
    schema = described.told["components"]["schemas"]["FactsIn"]["properties"]["facts"]["items"]
    facts = data.draw(st.lists(described.value(schema), min_size=1, max_size=3))
    program = data.draw(st.sampled_from(programs))
    speaks = program.get("/me").json()["people"][0]
    # What is told in a name that is not theirs comes no farther; one in some stays as it was made.
    facts = [fact if data.draw(st.integers(0, 9)) == 7 else {**fact, "by": speaks} for fact in facts]
    with transaction.atomic():
        answer = program.post("/facts", {"facts": facts})
        transaction.set_rollback(True)
    _as_described(described.told["paths"]["/api/v1/facts"]["post"], answer)
    if answer.status_code == 200:
        told = answer.json()["answers"]
        assert len(told) == len(facts)
        for one in told:
            # A fault is an exception of ours that was kept from the phone: never an answer to a fact.
            assert "tell the administrator: fault" not in (one["reason"] or ""), (facts, one)


def _said(value: Any) -> str:
    return value if isinstance(value, str) else json.dumps(value)


def _as_described(operation: dict[str, Any], answer: Any) -> None:
    """An answer of a status that the description has, in the shape it has for it."""
    told = operation["responses"].get(str(answer.status_code))
    # An address that holds a slash or nothing where an id should stand leads nowhere: a plain 404.
    assert told is not None, (answer.status_code, answer.content)
    if answer.status_code >= 400 and answer["Content-Type"].startswith("application/"):
        assert answer["Content-Type"] == "application/problem+json"
        assert answer.json()["detail"]
