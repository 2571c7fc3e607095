"""Where somebody is signed in: listed, ended from elsewhere, and not by whoever may not."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session as Kept
from django.core.cache import cache
from django.db import OperationalError
from django.test import Client
from django.utils import timezone

from pages import shown
from tarsus.actions.settings.park import set_park
from tarsus.actions.settings.people import save_person
from tarsus.core.words.browsers import browser_in_words
from tarsus.queries.exports import tables_held
from tarsus.records.models import Park, Person, SignedIn, ToldDeed

from .conftest import PASSWORD

Browser = Callable[[str], Client]
PHONE = "Mozilla/5.0 (Android 15; Mobile; rv:140.0) Gecko/140.0 Firefox/140.0"
DESK = (
    "Mozilla/5.0 (Windows NT 10.0; Win64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0 Safari/537.36"
)


def signed_in(agent: str, login: str = "ines") -> Client:
    client = Client(headers={"user-agent": agent})
    assert client.post("/sign-in/", {"username": login, "password": PASSWORD}).status_code == 302
    return client


def sessions_of(client: Client, address: str = "/settings/sessions/") -> tuple[str, list[str]]:
    page = shown(client.get(address))
    return page, re.findall(
        r'<input type="hidden" name="session" value="(\d+)"><button class="btn" type="submit">End<', page
    )


def test_each_browser_is_listed_and_one_that_is_ended_asks_to_sign_in_and_is_told_to_forget(
    people: dict[str, Person],
) -> None:
    phone, desk = signed_in(PHONE), signed_in(DESK)
    page, (of_phone,) = sessions_of(desk)
    assert re.search(r"this one</span>.*?Chrome on Windows.*?Firefox on Android", page, re.DOTALL)
    assert "ended" not in phone.get("/exhibits.json").json()
    desk.post("/settings/sessions/", {"session": of_phone})
    assert phone.get("/exhibits.json").json() == {"reason": "sign in first", "ended": True}
    assert phone.get("/")["Location"].startswith("/sign-in/")
    assert desk.get("/").status_code == 200
    assert sessions_of(desk)[1] == []
    assert Client().get("/exhibits.json").json() == {"reason": "sign in first"}
    told = ToldDeed.objects.get(kind="own_sessions_ended")
    assert (told.by, told.contents) == (people["ines"], {"sessions": [of_phone]})


def test_all_others_are_ended_at_once_and_this_one_stays(people: dict[str, Person]) -> None:
    here, *others = (signed_in(agent) for agent in (DESK, PHONE, ""))
    page, each = sessions_of(here)
    assert "End all others" in page
    here.post("/settings/sessions/", {"session": each})
    assert [client.get("/").status_code for client in (here, *others)] == [200, 302, 302]


def test_a_session_that_is_used_is_listed_however_long_ago_it_began(people: dict[str, Person]) -> None:
    desk, phone = signed_in(DESK), signed_in(PHONE)
    long_ago = timezone.now() - timedelta(days=40)
    of_phone = SignedIn.objects.filter(browser="Firefox on Android")
    of_phone.update(since=long_ago)
    phone.session.save()  # as a page that keeps something in it does: it lives for thirty days from now
    _, (listed,) = sessions_of(desk)
    desk.post("/settings/sessions/", {"session": listed})
    assert phone.get("/")["Location"].startswith("/sign-in/")
    of_phone.update(ended_at=None, last_used_at=long_ago)
    assert sessions_of(desk)[1] == []


def left_unused(minutes: int) -> None:
    """Everybody used their browser last so long ago; each server process looks anew."""
    SignedIn.objects.update(last_used_at=timezone.now() - timedelta(minutes=minutes))
    cache.clear()


def test_a_session_at_a_desk_that_nobody_uses_ends_and_a_phones_does_not(
    people: dict[str, Person], park: Park
) -> None:
    Park.objects.update(desk_idle_minutes=30)
    desk, phone = signed_in(DESK), signed_in(PHONE)
    left_unused(29)
    assert [client.get("/").status_code for client in (desk, phone)] == [200, 200]
    left_unused(31)
    assert phone.get("/").status_code == 200
    answer = desk.get("/settings/")
    assert answer["Location"].startswith("/sign-in/?unused=1&next=/settings/")
    assert "nobody had used this desk" in shown(desk.get(answer["Location"]))
    assert desk.get("/").status_code == 302
    assert SignedIn.objects.filter(ended_at__isnull=False).count() == 1


def test_a_tablet_that_calls_itself_a_desk_stays_signed_in(people: dict[str, Person], park: Park) -> None:
    Park.objects.update(desk_idle_minutes=30)
    tablet = signed_in(DESK)
    tablet.cookies["held"] = "1"
    left_unused(31)
    assert tablet.get("/").status_code == 200


def test_a_park_that_begins_to_end_desks_shuts_nobody_out_who_is_at_work(
    people: dict[str, Person], park: Park
) -> None:
    desk = signed_in(DESK)
    left_unused(40)
    set_park(by=people["ines"].pk, values={"desk_idle_minutes": 30})
    assert desk.get("/").status_code == 200
    left_unused(31)
    assert desk.get("/").status_code == 302


def test_a_register_that_is_busy_keeps_nobody_from_looking(
    people: dict[str, Person], park: Park, monkeypatch: pytest.MonkeyPatch
) -> None:
    Park.objects.update(desk_idle_minutes=30)
    desk = signed_in(DESK)
    left_unused(20)

    def busy(**_: object) -> None:
        raise OperationalError("database is locked")

    monkeypatch.setattr("tarsus.web.sessions.note_session", busy)
    assert desk.get("/").status_code == 200


def test_what_was_typed_into_a_desk_that_ended_is_not_written(people: dict[str, Person], park: Park) -> None:
    Park.objects.update(desk_idle_minutes=30)
    desk = signed_in(DESK, "ann")
    left_unused(31)
    new = {"current": PASSWORD, "password": "a dipper under the bridge"}
    assert desk.post("/settings/password/", new).status_code == 302
    assert not ToldDeed.objects.exists()


def test_a_page_that_lies_open_at_a_desk_is_no_use_of_it_and_looking_is(
    people: dict[str, Person], park: Park
) -> None:
    Park.objects.update(desk_idle_minutes=30)
    desk = signed_in(DESK)
    left_unused(20)
    desk.get("/exhibits.json", headers={"sec-fetch-mode": "cors"})
    assert SignedIn.objects.get().last_used_at < timezone.now() - timedelta(minutes=19)
    desk.get("/")
    assert SignedIn.objects.get().last_used_at > timezone.now() - timedelta(minutes=1)
    left_unused(31)
    assert desk.get("/exhibits.json", headers={"sec-fetch-mode": "cors"}).json()["ended"] is True


def test_until_the_park_says_so_a_desk_stays_signed_in(people: dict[str, Person], park: Park) -> None:
    desk = signed_in(DESK)
    left_unused(60 * 24 * 20)
    assert desk.get("/").status_code == 200


def test_nobody_ends_anothers_but_an_administrator(people: dict[str, Person]) -> None:
    ines, oda, ann = signed_in(PHONE), signed_in(DESK, "oda"), signed_in(DESK, "ann")
    row = SignedIn.objects.get(person=people["ines"])
    oda.post("/settings/sessions/", {"session": str(row.pk)})
    address = f"/settings/people/{people['ines'].pk}/sessions/"
    assert oda.post(address, {"session": str(row.pk)}).status_code == 403
    assert ines.get("/").status_code == 200
    page, _ = sessions_of(ann, address)
    assert "Ines keeps" in page
    ann.post(address, {})
    assert ines.get("/").status_code == 302
    assert ToldDeed.objects.get(kind="sessions_ended").by == people["ann"]


def test_signing_out_a_new_password_and_leaving_take_it_off_the_list(people: dict[str, Person]) -> None:
    desk, phone = signed_in(DESK), signed_in(PHONE)
    phone.post("/sign-out/")
    assert sessions_of(desk)[1] == []
    phone = signed_in(PHONE)
    new = {"current": PASSWORD, "password": "a dipper under the bridge"}
    assert desk.post("/settings/password/", new).status_code == 302
    assert phone.get("/exhibits.json").json()["ended"] is True
    page, others = sessions_of(desk)
    assert ("this one" in page, others) == (True, [])
    who = {"login": "ines", "display_name": "Ines keeps", "role": "keeper"}
    save_person(by=people["ann"].pk, person_id=people["ines"].pk, is_active=False, **who)
    assert not SignedIn.objects.filter(person=people["ines"], ended_at__isnull=True).exists()


def test_a_session_is_listed_for_as_long_as_it_lasts_and_no_longer(people: dict[str, Person]) -> None:
    desk, phone = signed_in(DESK), signed_in(PHONE)
    SignedIn.objects.update(since=timezone.now() - timedelta(days=40))
    assert phone.get("/settings/").status_code == 200
    assert len(sessions_of(desk)[1]) == 1, "what was written into it made it last longer than its age allows"
    of_phone = Kept.objects.filter(session_key=phone.session.session_key)
    of_phone.update(expire_date=timezone.now() - timedelta(minutes=1))
    assert sessions_of(desk)[1] == []


def test_no_key_of_a_session_is_kept_once_it_ended_nor_ever_exported(people: dict[str, Person]) -> None:
    client = signed_in(DESK)
    key = str(client.session.session_key)
    held = "".join(str(list(table.rows)) for table in tables_held(timezone.now().date()))
    assert key not in held
    client.post("/sign-out/")
    assert key not in str(list(SignedIn.objects.values()))


@pytest.mark.parametrize(
    ("agent", "words"),
    [
        (PHONE, "Firefox on Android"),
        (DESK, "Chrome on Windows"),
        (f"{DESK} Edg/140.0", "Edge on Windows"),
        (
            "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) Version/18.0 Safari/604.1",
            "Safari on iPhone",
        ),
        ("Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Firefox/140.0", "Firefox on Linux"),
        ("curl/8.0", "a browser"),
        ("", "a browser"),
    ],
)
def test_a_browser_is_called_as_people_know_it(agent: str, words: str) -> None:
    assert browser_in_words(agent) == words
