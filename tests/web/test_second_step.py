"""The second step of signing in: set up, asked for, good once, throttled, reset, and never told outside."""

from __future__ import annotations

import re
from base64 import b32encode
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pyotp
import pytest
from django.test import Client

from pages import shown
from tarsus.actions.settings import second_step
from tarsus.actions.settings.second_step import opened, sealed, step_of, step_shown
from tarsus.queries.exports import tables_held
from tarsus.records.models import Change, Park, Person, ToldDeed

from .conftest import PASSWORD

NOON = datetime(2026, 6, 11, 12, 0, 5, tzinfo=UTC)
Browser = Callable[[str], Client]


@pytest.fixture(autouse=True)
def at_noon(monkeypatch: pytest.MonkeyPatch, settings: Any) -> Callable[[timedelta], None]:
    """The clock by which codes are taken stands still, until a test sets it on."""

    def later(by: timedelta) -> None:
        clock = type("Clock", (), {"now": staticmethod(lambda: NOON + by)})
        monkeypatch.setattr(second_step, "timezone", clock)

    later(timedelta())
    # Each recovery code is digested as slowly as a password: here it may be quick.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    return later


def told_by_the_app(secret: str, after: timedelta = timedelta()) -> str:
    """What the app shows so long after noon."""
    return pyotp.TOTP(secret).at(NOON + after)


def set_up(client: Client, password: str = PASSWORD) -> tuple[str, list[str]]:
    """Scan, confirm, and write the recovery codes down."""
    page = shown(client.get("/settings/second-step/"))
    found = re.search(r'class="token">([A-Z2-7 ]+)<', page)
    assert found
    secret = found[1].replace(" ", "")
    page = shown(
        client.post("/settings/second-step/", {"code": told_by_the_app(secret), "current": password})
    )
    codes = re.findall(r"<code>([a-z2-9]{5}-[a-z2-9]{5})</code>", page)
    return secret, codes


def sign_in(login: str = "ines", next_page: str = "/drawing/") -> Client:
    client = Client()
    answer = client.post("/sign-in/", {"username": login, "password": PASSWORD, "next": next_page})
    assert answer["Location"] == "/sign-in/code/"
    return client


def test_the_codes_are_those_of_the_standards_own_table() -> None:
    """RFC 6238, appendix B, SHA-1: the last six of its eight digits, by RFC 4226, section 5.3."""
    secret = b32encode(b"12345678901234567890").decode()
    table = {
        59: "94287082",
        1111111109: "07081804",
        1111111111: "14050471",
        1234567890: "89005924",
        2000000000: "69279037",
        20000000000: "65353130",
    }
    for seconds, eight in table.items():
        now = datetime.fromtimestamp(seconds, UTC)
        assert step_shown(secret, eight[2:], now, after=-1) == seconds // 30
        assert step_shown(secret, eight[2:], now, after=seconds // 30) is None, "taken before"
        assert step_shown(secret, eight[2:], now + timedelta(seconds=60), after=-1) is None, "two steps on"


def test_a_code_of_the_step_before_and_of_the_next_is_taken_and_no_older_one() -> None:
    secret, step = second_step.new_secret(), step_of(NOON)
    app = pyotp.TOTP(secret)
    for off, taken in ((-2, False), (-1, True), (0, True), (1, True), (2, False)):
        assert (step_shown(secret, app.generate_otp(step + off), NOON, -1) is not None) == taken, off
    assert step_shown(secret, app.generate_otp(step - 1), NOON, after=step) is None, (
        "older than one that was taken"
    )
    for wrong in ("", "000 000 0", "½½½½½½", "é"):
        assert step_shown(secret, wrong, NOON, -1) is None


def test_once_it_is_on_a_password_alone_signs_nobody_in(
    browser_of: Browser, at_noon: Callable[[timedelta], None]
) -> None:
    secret, codes = set_up(browser_of("ines"))
    assert len(set(codes)) == 10
    client = sign_in()
    assert client.get("/drawing/").status_code == 302, "half signed in is not signed in"
    used = client.post("/sign-in/code/", {"code": told_by_the_app(secret)})
    assert "used before" in shown(used), "the code that set it up is used up"
    at_noon(timedelta(seconds=30))
    code = told_by_the_app(secret, timedelta(seconds=30))
    assert client.post("/sign-in/code/", {"code": f"{code[:3]} {code[3:]}"})["Location"] == "/drawing/"
    assert client.get("/drawing/").status_code == 200
    assert sign_in().post("/sign-in/code/", {"code": code}).status_code == 200, (
        "nobody signs in with it again"
    )


def test_a_recovery_code_signs_in_once_and_the_other_nine_stay(browser_of: Browser) -> None:
    _, codes = set_up(browser_of("ines"))
    client = sign_in()
    assert client.post("/sign-in/code/", {"code": codes[3].upper()}).status_code == 302
    assert "9 codes left" in shown(client.get("/settings/second-step/"))
    assert "9 recovery codes left" in shown(client.get("/settings/second-step/"))
    assert sign_in().post("/sign-in/code/", {"code": codes[3]}).status_code == 200
    assert sign_in().post("/sign-in/code/", {"code": codes[4]}).status_code == 302


def test_wrong_codes_are_counted_with_wrong_passwords_and_lock_out(browser_of: Browser) -> None:
    secret, _ = set_up(browser_of("ines"))
    client = sign_in()
    for _ in range(7):
        assert client.post("/sign-in/code/", {"code": "000000"}).status_code == 200
        client = sign_in()  # the right password does not begin the count anew
    assert client.post("/sign-in/code/", {"code": "000000"}).status_code == 429
    later = told_by_the_app(secret, timedelta(seconds=30))
    assert client.post("/sign-in/code/", {"code": later}).status_code == 429, "the right one comes too late"
    assert Client().post("/sign-in/", {"username": "oda", "password": PASSWORD}).status_code == 302


def test_who_gave_the_password_long_ago_or_has_another_by_now_gives_it_again(browser_of: Browser) -> None:
    _, codes = set_up(browser_of("ines"))
    slow, changed, none = sign_in(), sign_in(), Client()
    session = slow.session
    session["half signed in"] = session["half signed in"] | {"at": 0}
    session.save()
    ines = Person.objects.get(login="ines")
    ines.set_password("another long walk")
    ines.save()
    for client in (slow, changed, none):
        assert client.post("/sign-in/code/", {"code": codes[0]})["Location"] == "/sign-in/"


def test_neither_a_wrong_code_nor_a_wrong_password_switches_it_on_or_off(browser_of: Browser) -> None:
    client = browser_of("ines")
    page = shown(client.get("/settings/second-step/"))
    assert "data:image/svg+xml" in page
    secret = opened(client.session["second step"])
    assert secret not in str(dict(client.session)), "a session's table is no place for it either"
    for said in (
        {"code": "000000", "current": PASSWORD},
        {"code": told_by_the_app(secret), "current": "not this"},
    ):
        assert client.post("/settings/second-step/", said).status_code == 422
    assert Person.objects.get(login="ines").second_since is None
    assert opened(client.session["second step"]) == secret, "it is scanned once"
    assert (
        client.post(
            "/settings/second-step/", {"code": told_by_the_app(secret), "current": PASSWORD}
        ).status_code
        == 200
    )
    client.post("/settings/second-step/off/", {"current": "not this"})
    assert Person.objects.get(login="ines").second_since is not None
    client.post("/settings/second-step/off/", {"current": PASSWORD})
    assert Person.objects.get(login="ines").second_since is None
    assert Client().post("/sign-in/", {"username": "ines", "password": PASSWORD})["Location"] == "/"


def test_where_the_park_wants_it_the_office_sets_it_up_before_any_other_page(
    park: Park, browser_of: Browser
) -> None:
    Park.objects.update(office_second_step=True)
    for login in ("ann", "vito", "rhea"):
        client = browser_of(login)
        for address in ("/", "/settings/", "/drawing/"):
            assert client.get(address)["Location"] == "/settings/second-step/", (login, address)
    assert browser_of("vito").post("/facts", "{}", content_type="application/json").status_code == 403
    for login in ("ines", "oda", "vera"):
        assert browser_of(login).get("/drawing/").status_code == 200
    ann = browser_of("ann")
    set_up(ann)
    assert ann.get("/drawing/").status_code == 200
    ann.post("/settings/second-step/off/", {"current": PASSWORD})
    assert Person.objects.get(login="ann").second_since is not None, "what the park wants stays on"


def test_an_administrator_takes_anothers_off_and_the_ledger_says_who_did(browser_of: Browser) -> None:
    set_up(browser_of("rhea"))
    rhea, ann = Person.objects.get(login="rhea"), Person.objects.get(login="ann")
    assert browser_of("oda").post(f"/settings/people/{rhea.pk}/second-step-off/").status_code == 403
    assert "Take the second step off" in shown(browser_of("ann").get(f"/settings/people/{rhea.pk}/"))
    browser_of("ann").post(f"/settings/people/{rhea.pk}/second-step-off/")
    assert Person.objects.get(login="rhea").second_secret == ""
    assert ToldDeed.objects.get(kind="second_step_reset").by == ann
    assert [row.by for row in Change.objects.filter(field="second_step").order_by("id")] == [rhea, ann]
    assert Client().post("/sign-in/", {"username": "rhea", "password": PASSWORD})["Location"] == "/"


def test_the_secret_is_kept_unreadable_and_is_in_no_export_and_no_ledger(
    browser_of: Browser, settings: Any
) -> None:
    secret, codes = set_up(browser_of("ines"))
    row = Person.objects.get(login="ines")
    assert opened(row.second_secret) == secret
    held = "".join(str(list(table.rows)) for table in tables_held(NOON.date()))
    told = str(list(ToldDeed.objects.values_list("contents", "wrote"))) + str(list(Change.objects.values()))
    for private in (secret, row.second_secret, *codes, *(code.replace("-", "") for code in codes)):
        assert private not in held
        assert private not in told
        assert private == row.second_secret or private not in str(vars(row))
    settings.SECRET_KEY = "another key, of fifty signs or so, for a register that was moved"
    assert opened(row.second_secret) == "", "without the key beside the register it is nothing"
    assert sign_in().post("/sign-in/code/", {"code": codes[0]}).status_code == 302, "recovery codes still are"
    assert sealed(secret) != sealed(secret)
