"""The one-time address of a new park: a secret, for an hour, once, and only while nobody is there."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.test import Client

from pages import shown
from tarsus.actions.settings.first_address import HOLDS_FOR, opens, sealed_secret
from tarsus.actions.settings.first_person import ParkBegun, begin_park
from tarsus.records.models import Change, Park, Person

NOW = datetime.now(UTC)
PASSWORD = "a long walk to the north spit"
FORM = {
    "display_name": "Corin Tallgrass",
    "password": PASSWORD,
    "park": "Fenwade Aviaries",
    "time_zone": "Europe/Lisbon",
}


@pytest.fixture
def address(db: None, settings: Any) -> str:
    """The address that `tarsus serve` printed just now."""
    secret, settings.FIRST_PERSON = sealed_secret(datetime.now(UTC))
    return f"/first/{secret}/"


def test_it_makes_an_administrator_names_the_park_and_signs_in(address: str) -> None:
    client = Client()
    assert client.get(address).status_code == 200
    answer = client.post(address, FORM)
    assert (answer.status_code, answer["Location"]) == (302, "/new-park/")
    person = Person.objects.get()
    assert (person.login, person.role) == ("corin", "administrator")
    assert person.password.startswith("argon2")
    assert (Park.objects.get().name, Park.objects.get().time_zone) == ("Fenwade Aviaries", "Europe/Lisbon")
    assert client.get("/").status_code == 200, "signed in"
    told = Change.objects.filter(by=person).values_list("table", "field")
    assert ("person", "role") in told
    assert ("park", "name") in told
    assert not any("password" in field for _, field in told)


def test_it_works_once(address: str) -> None:
    assert Client().post(address, FORM).status_code == 302
    for answer in (Client().get(address), Client().post(address, FORM | {"display_name": "Somebody Else"})):
        assert answer.status_code == 404
        assert "Somebody began this park already" in shown(answer)
    assert Person.objects.count() == 1


def test_a_guess_an_old_secret_and_that_of_an_earlier_start_open_nothing(address: str, settings: Any) -> None:
    secret = address.split("/")[2]
    for guess in ("x", secret[:-1], secret + "x", secret.swapcase()):
        assert Client().get(f"/first/{guess}/").status_code == 404
        assert Client().post(f"/first/{guess}/", FORM).status_code == 404
    _, settings.FIRST_PERSON = sealed_secret(datetime.now(UTC))
    assert Client().post(address, FORM).status_code == 404, "the server was started again"
    settings.FIRST_PERSON = ""
    assert Client().post(address, FORM).status_code == 404, "served in another way"
    assert not Person.objects.exists()


def test_a_secret_is_long_is_kept_nowhere_and_is_over_after_its_hour() -> None:
    secret, sealed = sealed_secret(NOW)
    assert len(secret) >= 43, "256 bits"
    assert secret not in sealed
    assert opens(sealed, secret, NOW + HOLDS_FOR - timedelta(seconds=2))
    assert not opens(sealed, secret, NOW + HOLDS_FOR)
    assert not opens("", "", NOW)
    assert not opens(sealed, sealed.split(".")[0], NOW), "the digest is no secret"
    assert sealed_secret(NOW)[0] != secret


def test_where_somebody_is_it_opens_nothing_even_in_time(address: str, people: dict[str, Person]) -> None:
    assert Client().get(address).status_code == 404
    assert Client().post(address, FORM).status_code == 404
    assert Person.objects.count() == len(people)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"password": "short"}, "too short"),
        ({"display_name": " "}, "required"),
        ({"park": ""}, "required"),
        ({"time_zone": "Europe/Nowhere"}, "none of the choices"),
    ],
)
def test_what_is_refused_is_said_at_its_field_and_nothing_is_made(
    wrong: dict[str, str], said: str, address: str
) -> None:
    answer = Client().post(address, FORM | wrong)
    page = shown(answer)
    assert answer.status_code == 422
    assert said in page
    assert not Person.objects.exists()
    assert not Park.objects.exists()
    assert FORM["password"] not in page, "a password is never sent back"
    assert Client().post(address, FORM).status_code == 302, "the address still holds"


def test_a_form_of_elsewhere_makes_nobody(address: str) -> None:
    assert Client(enforce_csrf_checks=True).post(address, FORM).status_code == 403
    assert not Person.objects.exists()


def test_the_page_is_kept_by_no_cache_and_tells_no_other_place_of_its_address(address: str) -> None:
    answer = Client().get(address)
    assert "no-store" in answer["Cache-Control"]
    assert answer["Referrer-Policy"] == "same-origin"


def test_sign_in_says_where_the_first_person_is_made(db: None) -> None:
    assert "<code>tarsus serve</code> printed" in shown(Client().get("/sign-in/"))


def test_the_database_lets_one_of_two_through_who_begin_at_one_moment(db: None) -> None:
    # The other has named the park and is not written down yet: the very moment between two statements.
    Park.objects.create(id=1, name="Fenwade Aviaries")
    with pytest.raises(ParkBegun):
        begin_park(
            display_name="Corin", login="", password=PASSWORD, park="Otterholt", time_zone="Europe/London"
        )
    assert not Person.objects.exists()


def test_the_first_person_signs_in_by_the_password_that_was_chosen(address: str) -> None:
    Client().post(address, FORM | {"login": "Corin T"})
    client = Client()
    assert client.post("/sign-in/", {"username": "corin.t", "password": PASSWORD}).status_code == 302
