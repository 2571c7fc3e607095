"""A phone joins by a code: once, for ten minutes, as the one person whose screen showed it."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.test import Client

from pages import shown
from tarsus.actions import joining_phones
from tarsus.actions.joining_phones import CodeIsOver, joining_code, use_code, whose_code
from tarsus.records.models import Person


def test_it_signs_in_once_as_whoever_showed_it(people: dict[str, Person]) -> None:
    code = joining_code(people["ines"].pk)
    phone = Client()
    page = shown(phone.get(f"/join/{code}/"))
    assert "Join as Ines keeps?" in page
    assert phone.get("/").status_code == 302, "looking signs nobody in"
    assert phone.post(f"/join/{code}/")["Location"] == "/"
    assert phone.get("/").status_code == 200
    other = Client()
    assert other.post(f"/join/{code}/").status_code == 404
    assert other.get(f"/join/{code}/").status_code == 404
    assert other.get("/").status_code == 302


def test_a_code_is_over_after_its_minutes(people: dict[str, Person], monkeypatch: pytest.MonkeyPatch) -> None:
    code = joining_code(people["ines"].pk)
    later = datetime.now() + timedelta(minutes=10, seconds=2)  # noqa: DTZ005  # as the framework's own clock
    monkeypatch.setattr(joining_phones._CODES, "_now", lambda: later)
    with pytest.raises(CodeIsOver):
        use_code(code=code)


def test_a_new_password_and_leaving_end_a_code(people: dict[str, Person]) -> None:
    of_oda, of_ines = joining_code(people["oda"].pk), joining_code(people["ines"].pk)
    people["oda"].set_password("another long walk")
    people["oda"].save()
    Person.objects.filter(login="ines").update(is_active=False)
    for code in (of_oda, of_ines):
        with pytest.raises(CodeIsOver):
            use_code(code=code)


@pytest.mark.parametrize("code", ["", "-", "1", "1-", "x-1", "99999999999999-abc", "1-abc-def", "½-a"])
def test_what_is_no_code_is_refused_in_the_same_words(code: str, people: dict[str, Person]) -> None:
    with pytest.raises(CodeIsOver):
        whose_code(code)


def test_a_code_of_one_person_signs_in_as_no_other(people: dict[str, Person]) -> None:
    _, _, token = joining_code(people["ines"].pk).partition("-")
    with pytest.raises(CodeIsOver):
        use_code(code=f"{people['ann'].pk}-{token}")


def test_joining_takes_the_forms_own_token(people: dict[str, Person]) -> None:
    code = joining_code(people["ines"].pk)
    assert Client(enforce_csrf_checks=True).post(f"/join/{code}/").status_code == 403
    assert whose_code(code) == "Ines keeps", "nothing was used up"


def test_everybody_has_a_code_for_a_phone_of_their_own(browser_of: Callable[[str], Client]) -> None:
    page = browser_of("vera").get("/settings/phone/")
    assert "no-store" in page["Cache-Control"]
    assert re.search(r'<img src="data:image/svg\+xml[^"]+" alt="QR code that signs a phone in"', shown(page))


def test_a_server_that_answers_this_computer_alone_shows_no_code(browser_of: Callable[[str], Client]) -> None:
    page = shown(browser_of("vera").get("/settings/phone/", headers={"host": "127.0.0.1:8000"}))
    assert "tarsus serve --park" in page
    assert "data:image" not in page
