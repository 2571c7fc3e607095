"""Whatever a phone or program sends: the good facts around it are written, or all is refused as one."""

from __future__ import annotations

import json
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from phones import Phone
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
ADDRESSES = ("/facts", "/api/v1/facts")

# what stands in the place of the note's text, bird or id; the status, and what is said
VALUES: tuple[tuple[str, str, str], ...] = (
    ("text", '"\\ud800"', "text: has a character that cannot be kept"),
    ("text", '"a\\u0000b"', "text: has a character that cannot be kept"),
    ("text", "[" * 90 + "]" * 90, "is no text"),
    ("text", "1e400", "is no text"),
    ("bird", "1e400", "is no number"),
    ("bird", "NaN", "is no number"),
    ("bird", "9" * 900, "9... is no number"),
    ("id", '"' + "9" * 400 + '"', "is no id"),
    ("id", "9" * 400, "is no text"),
    ("id", '"\\ud800"', "is no id"),
    ("at", '"0001-01-01T00:00:00+14:00"', "at: "),
    ("at", '"9999-12-31T23:59:59-14:00"', "at: "),
    ("kind", '{"a": 1}', "kind: "),
)
WHOLE: tuple[tuple[str, str, str], ...] = (
    ("text", "[" * 50_000 + "]" * 50_000, "is nested too deep; write at most 100 levels"),
    ("text", "[" * 900 + "]" * 900, "is nested too deep; write at most 100 levels"),
    ("bird", "9" * 5000, "has a number of 5000 digits; write at most 1000"),
    ("text", '"one", "text": "two"', "text: stands twice in one object; leave one of them out"),
)


def sent(park: Wendlebrook, address: str, place: str, value: str) -> tuple[int, Any]:
    """Fifty good notes, half before and half after one that is none; status and answer."""
    tilda = Phone(park, park.actors.tilda)
    client = Client(raise_request_exception=False)
    client.force_login(
        rows.Person.objects.get(pk=tilda.by), backend="django.contrib.auth.backends.ModelBackend"
    )
    good = [json.dumps(tilda.fact("note", bird=park["Kelp"], text=f"note {n}")) for n in range(50)]
    plain = {**tilda.fact("note", bird=park["Kelp"], text="fine"), "id": str(uuid4())}
    bad = json.dumps({**plain, place: "HERE"}).replace('"HERE"', value)
    body = f'{{"facts": [{", ".join([*good[:25], bad, *good[25:]])}]}}'
    answer = client.post(address, data=body, content_type="application/json")
    return answer.status_code, answer.json()


def _why(refused: dict[str, Any]) -> str:
    """Why a sending was refused: to a phone as a reason, to a program as a problem's detail."""
    return str(refused["reason"] if "reason" in refused else refused["detail"])


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize(("place", "value", "said"), VALUES, ids=range(len(VALUES)))
def test_a_hostile_value_is_refused_for_its_fact_alone(
    park: Wendlebrook, address: str, place: str, value: str, said: str
) -> None:
    status, answer = sent(park, address, place, value)
    assert status == 200
    outcomes = [one["outcome"] for one in answer["answers"]]
    assert outcomes == ["written"] * 25 + ["refused"] + ["written"] * 25
    assert said in answer["answers"][25]["reason"]
    assert "fault" not in answer["answers"][25]["reason"]
    assert rows.Note.objects.count() == 50


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize(("place", "value", "said"), WHOLE, ids=range(len(WHOLE)))
def test_a_text_that_is_no_json_of_ours_refuses_the_sending_which_a_phone_then_halves(
    park: Wendlebrook, address: str, place: str, value: str, said: str
) -> None:
    status, answer = sent(park, address, place, value)
    assert status == 422
    assert said in _why(answer)
    assert not rows.Note.objects.exists()


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize(
    "body", [b"\xff\xfe{", b"", b"[]", b"null", b'"x"', b'{"facts": {}}', b'{"facts": 1}']
)
def test_what_is_no_sending_is_refused_with_a_sentence(park: Wendlebrook, address: str, body: bytes) -> None:
    client = Client(raise_request_exception=False)
    tilda = rows.Person.objects.get(pk=park.actors.tilda)
    client.force_login(tilda, backend="django.contrib.auth.backends.ModelBackend")
    answer = client.post(address, data=body, content_type="application/json")
    assert answer.status_code == 422
    assert _why(answer.json())
