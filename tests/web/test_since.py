"""Since you were here, on the page: a line opens its bird, a note waits for its colleague, seen is a tap."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from pages import shown
from tarsus.actions.facts import hear_facts
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db


def tell(garden: Wendlebrook, by: str, kind: str, **said: Any) -> None:
    person = getattr(garden.actors, by)
    fact = {"id": str(uuid4()), "kind": kind, "at": timezone.now().isoformat(), "by": person, **said}
    (answer,) = hear_facts(facts=[fact], clock=None, device="", speaker=person)
    assert answer.outcome == "written", answer.reason


def page(client: Client, address: str = "/") -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return shown(answer)


def test_each_line_of_news_opens_its_bird_on_today_and_on_its_page(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    tell(garden, "maren", "departure", bird=garden["Kelp"], went_to="Saltmere <b>")
    for address in ("/", "/since/"):
        told = page(signed_in("oswin"), address)
        assert f'<a href="/birds/{garden["Kelp"]}/">Kelp</a>: to Saltmere &lt;b&gt;' in told
    assert re.search("<summary>[^<]*[Gg]one 1[,<]", page(signed_in("oswin")))


def test_a_note_for_a_colleague_stands_on_their_today_until_they_tap_seen(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    tilda, oswin = signed_in("tilda"), signed_in("oswin")
    form = {
        "deed_id": str(uuid4()),
        "text": "The heron net is torn <again>.",
        "people": [garden.actors.oswin],
        "exhibit": garden.reed,
    }
    assert "Oswin" in page(tilda, "/deeds/shift_note/")
    assert tilda.post("/deeds/shift_note/?next=/", form).status_code == 302
    assert "Oswin" in page(tilda), "what was saved is said once"
    told = page(oswin)
    assert "The heron net is torn &lt;again&gt;." in told
    assert "Tilda for Oswin" in told
    assert "heron net" not in page(signed_in("maren")), "it is for Oswin"
    assert "heron net" not in page(tilda)
    assert "seen by" not in page(tilda, "/since/")
    until = re.search(r'name="until" value="([^"]+)"', told)
    assert until
    assert oswin.post("/since/seen/", {"until": until[1]}).status_code == 302
    assert "heron net" not in page(oswin)
    assert "Nothing new" in page(oswin)
    assert "seen by Oswin" in page(tilda, "/since/")


def test_a_look_that_cannot_be_read_is_refused_in_words_and_takes_nothing_away(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    tell(garden, "tilda", "shift_note", text="gate sticks")
    oswin = signed_in("oswin")
    for until in ("", "yesterday", (timezone.now() + timedelta(days=3)).isoformat()):
        assert oswin.post("/since/seen/", {"until": until}, follow=True).status_code == 200
        assert "gate sticks" in page(oswin)
    assert oswin.get("/since/seen/").status_code == 405


def test_whoever_may_only_look_says_seen_for_themselves_and_leaves_no_note(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    tell(garden, "tilda", "shift_note", text="gate sticks")
    pia = signed_in("pia")
    assert "gate sticks" in page(pia)
    assert "/deeds/shift_note/" not in page(pia)
    assert pia.post("/since/seen/", {"until": timezone.now().isoformat()}).status_code == 302
    assert "gate sticks" not in page(pia)
    assert "gate sticks" in page(signed_in("oswin")), "seen is each person's own"


def test_a_chosen_day_tells_everything_one_did_oneself_too(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    tell(garden, "maren", "departure", bird=garden["Kelp"], went_to="Saltmere")
    maren = signed_in("maren")
    assert "Saltmere" not in page(maren, "/since/")
    day = (timezone.now() - timedelta(days=3)).date().isoformat()
    assert "Saltmere" in page(maren, f"/since/?from={day}")
    for odd in ("?from=x", "?from=0001-01-01", "?from=9999-12-31"):
        assert "Shift notes" in page(maren, f"/since/{odd}")
