"""Signing in: who may, what is said when it fails, and when to wait."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from axes.models import AccessAttempt
from django.contrib.sessions.models import Session
from django.test import Client, RequestFactory
from django.utils import timezone

from pages import shown
from tarsus.actions.settings.people import set_password
from tarsus.core.errors import WrongValue
from tarsus.records.models import Person
from tarsus.server.throttling import ADDRESS_LIMIT
from tarsus.web.guarding import address_of

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
    assert sentence in shown(wrong)
    assert sentence in shown(nobody)
    assert 'value="ines"' in shown(wrong), "the name that was typed is not lost"


def test_after_too_many_wrong_passwords_one_has_to_wait(people: dict[str, Person]) -> None:
    client = Client()
    for _ in range(8):
        answer = _try(client, "not this")
    assert answer.status_code == 429
    assert "Wait 15 minutes" in shown(answer)
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
    assert "<code>tarsus serve</code> printed" in shown(Client().get("/sign-in/"))


def test_no_script_or_style_stands_in_a_page(people: dict[str, Person]) -> None:
    client = Client()
    sign_in = client.get("/sign-in/")
    assert "default-src 'self'" in sign_in["Content-Security-Policy"]
    _try(client, PASSWORD)
    for page in (sign_in, client.get("/drawing/"), client.get("/more/")):
        text = shown(page)
        assert " style=" not in text
        assert " onclick=" not in text
        assert "<style" not in text
        assert "<script>" not in text


def fail(client: Client, name: str, times: int = 1, **meta: str) -> int:
    for _ in range(times):
        answer = client.post("/sign-in/", {"username": name, "password": "not this"}, **meta)
    return int(answer.status_code)


def test_a_name_waits_from_wherever_it_is_tried(people: dict[str, Person]) -> None:
    client = Client()
    for n in range(4):
        fail(client, "ines", 2, REMOTE_ADDR=f"10.0.0.{n}")
    assert fail(client, "ines", REMOTE_ADDR="10.0.0.9") == 429
    assert _try(client, PASSWORD).status_code == 429


def test_an_address_that_tries_many_names_waits_with_any_name(people: dict[str, Person]) -> None:
    client = Client()
    for n in range(ADDRESS_LIMIT - 1):
        assert fail(client, f"name-{n}", REMOTE_ADDR="10.0.0.1") == 200
    assert fail(client, "one-more", REMOTE_ADDR="10.0.0.1") == 429
    oda = {"username": "oda", "password": PASSWORD}
    assert client.post("/sign-in/", oda, REMOTE_ADDR="10.0.0.1").status_code == 429
    assert client.post("/sign-in/", oda, REMOTE_ADDR="10.0.0.2").status_code == 302, "from elsewhere"


def test_signing_in_oneself_does_not_clear_what_an_address_did_with_other_names(
    people: dict[str, Person],
) -> None:
    client = Client()
    for n in range(ADDRESS_LIMIT - 1):
        fail(client, f"name-{n}")
    assert _try(Client(), PASSWORD).status_code == 302
    assert fail(client, "one-more") == 429


def test_trying_while_one_waits_makes_it_no_longer(people: dict[str, Person]) -> None:
    client = Client()
    fail(client, "ines", 8)
    before = set(AccessAttempt.objects.values_list("attempt_time", "failures_since_start"))
    assert fail(client, "ines", 3) == 429
    assert set(AccessAttempt.objects.values_list("attempt_time", "failures_since_start")) == before
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(minutes=16))
    assert _try(client, PASSWORD).status_code == 302


def test_a_password_that_an_administrator_sets_works_at_once(people: dict[str, Person]) -> None:
    client = Client()
    assert fail(client, "ines", 8) == 429
    new = "a dipper under the bridge"
    set_password(by=people["ann"].pk, person_id=people["ines"].pk, password=new)
    assert _try(client, new).status_code == 302


@pytest.mark.parametrize(
    ("password", "why"),
    [
        ("password123", "too common"),
        ("Ines keeps", "too similar"),
        ("ines keeps1", "too similar"),
        (PASSWORD, "theirs before"),
        ("short", "too short"),
    ],
)
def test_a_password_that_is_guessed_first_is_refused(
    people: dict[str, Person], password: str, why: str
) -> None:
    with pytest.raises(WrongValue, match=why):
        set_password(by=people["ann"].pk, person_id=people["ines"].pk, password=password)


def test_a_password_of_before_is_not_taken_again(people: dict[str, Person]) -> None:
    ines, ann = people["ines"].pk, people["ann"].pk
    set_password(by=ann, person_id=ines, password="a dipper under the bridge")
    with pytest.raises(WrongValue, match="theirs before"):
        set_password(by=ann, person_id=ines, password=PASSWORD)
    assert PASSWORD not in str(Person.objects.values_list("past_passwords", flat=True))


def test_only_a_named_proxy_is_believed_about_where_a_request_came_from(
    rf: RequestFactory, settings: Any
) -> None:
    def asked(remote: str, said: str) -> str:
        return address_of(rf.get("/", REMOTE_ADDR=remote, HTTP_X_FORWARDED_FOR=said))

    assert asked("203.0.113.9", "198.51.100.1") == "203.0.113.9", "nobody is named: nobody is believed"
    settings.PROXIES = ["192.0.2.1", "192.0.2.2"]
    assert asked("192.0.2.1", "198.51.100.1") == "198.51.100.1"
    assert asked("192.0.2.1", "6.6.6.6, 198.51.100.1, 192.0.2.2") == "198.51.100.1"
    assert asked("203.0.113.9", "198.51.100.1") == "203.0.113.9"
    assert asked("192.0.2.1", "'; DROP") == "192.0.2.1"
    assert asked("192.0.2.1", "") == "192.0.2.1"


def test_wrong_passwords_behind_a_named_proxy_are_counted_by_who_is_behind_it(
    people: dict[str, Person], settings: Any
) -> None:
    settings.PROXIES = ["127.0.0.1"]
    client = Client()
    for n in range(ADDRESS_LIMIT):
        fail(client, f"name-{n}", HTTP_X_FORWARDED_FOR="198.51.100.1")
    oda = {"username": "oda", "password": PASSWORD}
    assert client.post("/sign-in/", oda, HTTP_X_FORWARDED_FOR="198.51.100.1").status_code == 429
    assert client.post("/sign-in/", oda, HTTP_X_FORWARDED_FOR="198.51.100.2").status_code == 302


def test_sessions_that_ran_out_are_cleared_as_people_sign_in(people: dict[str, Person]) -> None:
    Session.objects.create(session_key="old", session_data="", expire_date=timezone.now() - timedelta(days=1))
    _try(Client(), PASSWORD)
    assert not Session.objects.filter(session_key="old").exists()


def test_no_page_is_kept_by_a_browser_and_other_methods_are_refused(
    people: dict[str, Person], caplog: pytest.LogCaptureFixture
) -> None:
    client = Client()
    _try(client, PASSWORD)
    for path in ("/", "/settings/", "/sign-in/", "/api/v1/exhibits"):
        assert "no-store" in client.get(path)["Cache-Control"], path
    for method in ("TRACE", "TRACK", "DELETE", "PUT"):
        assert client.generic(method, "/").status_code == 405
    assert client.get("/settings/people/").status_code == 403
    assert f"refused with 403: GET '/settings/people/' by person {people['ines'].pk}" in caplog.text
    assert PASSWORD not in caplog.text


def test_over_tls_cookies_carry_the_prefix_and_pages_are_asked_over_tls_only(tmp_path: Path) -> None:
    """RFC 6797 (HSTS); RFC 6265bis, section 4.1.3.2, has the prefix."""
    names = ("SESSION_COOKIE_NAME", "CSRF_COOKIE_NAME", "SECURE_HSTS_SECONDS")
    asked = f"from django.conf import settings as s\nprint(*(getattr(s, name) for name in {names}))"
    said = {}
    for tls in "01":
        told = {"TARSUS_HOME": str(tmp_path), "DJANGO_SETTINGS_MODULE": "tarsus.server.settings"}
        ran = subprocess.run(
            [sys.executable, "-c", asked],
            env=os.environ | told | {"TARSUS_TLS": tls},
            capture_output=True,
            text=True,
            check=True,
        )
        said[tls] = ran.stdout.split()
    assert said["1"] == ["__Host-sessionid", "__Host-csrftoken", str(365 * 24 * 3600)]
    assert said["0"] == ["sessionid", "csrftoken", "0"]
