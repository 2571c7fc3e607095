"""Whatever a program or a form sends: an answer below 500, and a refusal says what to mend."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any
from uuid import uuid4

import pytest
from django.db import transaction
from django.test import Client
from hypothesis import given, settings
from hypothesis import strategies as st

from addresses import addresses
from fuzz import NUMBERS, VALUES, WORDS, patience, share
from properties.test_hostile_facts import SENDINGS, SPEAKERS, facts_of, look_at
from refusing import Small
from tarsus.actions.facts import Answer
from tarsus.core.deeds.register import DEEDS
from tarsus.records.models import Person
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
TYPED = WORDS.filter(lambda word: word.isprintable()) | NUMBERS.map(str)
"""What can travel in a form."""
ROLES = {**SPEAKERS, "pia": "viewer"}


@pytest.fixture
def clients(park: Wendlebrook) -> Mapping[str, Client]:
    """A signed-in browser of each of the park's people; a fault of ours is raised, not answered."""
    Small(park)
    found = {}
    for login in ROLES:
        found[login] = Client()
        person = Person.objects.get(login=login)
        found[login].force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    return found


def test_a_hostile_sending_is_answered_fact_by_fact(clients: Mapping[str, Client]) -> None:
    heard: list[str] = []
    answered = 0

    @settings(max_examples=share("programs") // 10, deadline=None)
    @given(SENDINGS, st.sampled_from(["/facts", "/api/v1/facts"]), st.booleans())
    def hold(sending: tuple[str, list[tuple[dict[str, Any], Any]]], address: str, odd: bool) -> None:
        nonlocal answered
        login, drawn = sending
        by = int(clients[login].session["_auth_user_id"])
        facts = [{"id": str(uuid4()), "at": at, "by": by, **said} for said, at in drawn]
        body = json.dumps({"facts": facts, **({"more": drawn} if odd else {})}, default=str)
        with transaction.atomic(), patience(body):
            answer = clients[login].post(address, data=body, content_type="application/json")
            transaction.set_rollback(True)
        heard.extend(fact["id"] for fact in facts)
        assert answer.status_code in (200, 422), (answer.status_code, body)
        if answer.status_code == 422:
            assert answer.json().get("reason") or answer.json().get("detail")
            return
        told = answer.json()["answers"]
        assert [one["id"] for one in told] == [fact["id"] for fact in facts]
        for fact, one in zip(facts, told, strict=True):
            look_at(fact, Answer(one["id"], one["outcome"], one.get("reason") or ""))
            answered += 1

    hold()
    assert len(heard) >= share("programs")
    assert answered > len(heard) // 4, "few sendings are refused whole"


def typed(said: Any) -> Any:
    """A value as a form would carry it."""
    if isinstance(said, list):
        return [typed(one) for one in said]
    text = said if isinstance(said, str) else json.dumps(said, default=str)
    return text.encode("utf-8", "replace").decode()


FORMS = st.one_of([facts_of(deed) for deed in DEEDS.values()]).flatmap(
    lambda fact: st.tuples(
        st.just(fact), st.dictionaries(st.sampled_from(["at", "by", "deed_id", "next"]), TYPED, max_size=3)
    )
)


def test_a_hostile_form_comes_back_with_what_to_mend(clients: Mapping[str, Client]) -> None:
    heard: list[str] = []

    @settings(max_examples=share("forms") // 2, deadline=None)
    @given(FORMS)
    def hold(form: tuple[dict[str, Any], dict[str, str]]) -> None:
        fact, more = form
        deed = DEEDS[fact["kind"]]
        login = next((one for one, role in ROLES.items() if deed.allowed_to(role)), "corin")
        said = {name: typed(value) for name, value in fact.items() if name != "kind" and value is not None}
        with transaction.atomic(), patience(form):
            answer = clients[login].post(f"/deeds/{deed.name}/", {"deed_id": str(uuid4()), **said, **more})
            transaction.set_rollback(True)
        heard.append(deed.name)
        assert answer.status_code < 500, form

    hold()
    assert len(heard) >= share("forms") // 2


def test_a_page_asked_for_with_anything_behind_it_answers(clients: Mapping[str, Client]) -> None:
    every = sorted({address for address, _ in addresses() if "sign-out" not in address})
    heard = 0

    @settings(max_examples=-(-share("forms") // 4), deadline=None)
    @given(
        st.sampled_from(every),
        st.sampled_from(list(ROLES)),
        st.dictionaries(st.sampled_from(ASKED) | TYPED, TYPED, max_size=3),
        VALUES,
    )
    def hold(address: str, login: str, asked: dict[str, str], more: Any) -> None:
        nonlocal heard
        with transaction.atomic(), patience((address, asked)):
            seen = clients[login].get(address, asked)
            sent = clients[login].post(address, {**asked, "more": typed(more)})
            transaction.set_rollback(True)
        heard += 2
        assert seen.status_code < 500, (address, login, asked)
        assert sent.status_code < 500, (address, login, asked, more)

    hold()
    assert heard >= share("forms") // 2


ASKED = ("q", "day", "from", "to", "bird", "exhibit", "month", "page", "next", "species", "at", "by", "read")
