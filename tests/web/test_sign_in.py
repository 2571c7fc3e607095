"""Signing in: who may, what is said when it fails, and when to wait."""

from __future__ import annotations

import pytest
from django.test import Client

from tarsus.records.models import Person

from .conftest import PASSWORD


def _try(client: Client, password: str, **more: str) -> object:
    return client.post("/sign-in/", {"username": "ines", "password": password, **more})


def test_the_right_password_leads_to_where_one_wanted_to_go(people: dict[str, Person]) -> None:
    client = Client()
    answer = _try(client, PASSWORD, next="/drawing/")
    assert (answer.status_code, answer["Location"]) == (302, "/drawing/")
    assert client.get("/drawing/").status_code == 200


def test_an_address_of_elsewhere_is_no_way_on(people: dict[str, Person]) -> None:
    answer = _try(Client(), PASSWORD, next="https://example.org/")
    assert answer["Location"] == "/"


def test_a_wrong_password_does_not_say_which_of_the_two_was_wrong(people: dict[str, Person]) -> None:
    client = Client()
    wrong = _try(client, "not this")
    nobody = client.post("/sign-in/", {"username": "nobody", "password": "not this"})
    sentence = "This name and password do not go together."
    assert wrong.status_code == nobody.status_code == 200
    assert sentence in wrong.content.decode()
    assert sentence in nobody.content.decode()
    assert 'value="ines"' in wrong.content.decode(), "the name that was typed is not lost"


def test_after_too_many_wrong_passwords_one_has_to_wait(people: dict[str, Person]) -> None:
    client = Client()
    for _ in range(8):
        answer = _try(client, "not this")
    assert answer.status_code == 429
    assert "Wait 15 minutes" in answer.content.decode()
    assert _try(client, PASSWORD).status_code == 429, "the right password comes too late now"
    other = client.post("/sign-in/", {"username": "oda", "password": PASSWORD})
    assert other.status_code == 302, "somebody else at the same phone is not held up"


def test_who_has_left_may_not_sign_in(people: dict[str, Person]) -> None:
    Person.objects.filter(login="ines").update(is_active=False)
    assert _try(Client(), PASSWORD).status_code == 200


def test_signing_out_takes_a_post(people: dict[str, Person]) -> None:
    client = Client()
    _try(client, PASSWORD)
    assert client.get("/sign-out/").status_code == 405
    assert client.post("/sign-out/").status_code == 302
    assert client.get("/drawing/").status_code == 302


@pytest.mark.django_db
def test_a_register_without_people_says_how_to_make_the_first_one() -> None:
    assert "<code>tarsus serve</code> printed" in Client().get("/sign-in/").content.decode()


def test_no_script_or_style_stands_in_a_page(people: dict[str, Person]) -> None:
    client = Client()
    sign_in = client.get("/sign-in/")
    assert "default-src 'self'" in sign_in["Content-Security-Policy"]
    _try(client, PASSWORD)
    for page in (sign_in, client.get("/drawing/"), client.get("/more/")):
        text = page.content.decode()
        assert " style=" not in text
        assert " onclick=" not in text
        assert "<style" not in text
        assert "<script>" not in text
