"""The calendar of duties: read by its link alone, of its exhibits alone, until the token is taken back."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from pages import shown
from tarsus.actions.devices import give_device_token, take_device_token_back
from tarsus.queries.devices import devices
from tarsus.records.models import Handling
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]


def link_of(client: Client) -> str:
    page = shown(client.get("/settings/devices/"))
    return re.search(r"http://testserver(/calendar/[0-9a-f]{40}\.ics)", page)[1]  # type: ignore[index]  # it is there


def given(garden: Wendlebrook, exhibit: int) -> tuple[int, str]:
    actors = garden.actors
    return give_device_token(
        name="calendar at the desk", exhibit_ids=[exhibit], people_ids=[actors.tilda], by=actors.dunstan
    )


def kelp_was_in_hand(garden: Wendlebrook) -> None:
    """Kelp was in hand yesterday: today somebody looks how it is."""
    Handling.objects.create(
        id=uuid4(),
        recorded_by_id=garden.actors.tilda,
        happened_at=timezone.now() - timedelta(days=1),
        bird_id=garden["Kelp"],
        why="weights",
    )


def test_a_link_shows_what_is_due_until_its_token_is_taken_back(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    device, token = given(garden, garden.shingle)
    kelp_was_in_hand(garden)
    link = link_of(signed_in("dunstan"))
    stranger = Client()
    answer = stranger.get(link)
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    text = answer.content.decode().replace("\r\n ", "")
    assert text.startswith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n")
    assert re.search(r"DTSTART;VALUE=DATE:\d{8}\r\nDTEND;VALUE=DATE:\d{8}\r\nSUMMARY:.*Kelp", text)
    uids = re.findall(r"UID:(.+)\r", text)
    assert len(uids) == len(set(uids))
    again = stranger.get(link).content.decode().replace("\r\n ", "")
    assert re.findall(r"UID:(.+)\r", again) == uids
    assert token not in link, "the link can read the calendar and nothing else"
    take_device_token_back(device_id=device, by=garden.actors.dunstan)
    assert stranger.get(link).status_code == 404
    assert "/calendar/" not in shown(signed_in("dunstan").get("/settings/devices/"))


def test_a_link_shows_its_own_exhibits_alone(garden: Wendlebrook, signed_in: Browser) -> None:
    given(garden, garden.reed)
    kelp_was_in_hand(garden)
    text = Client().get(link_of(signed_in("dunstan"))).content.decode()
    assert "BEGIN:VEVENT" not in text


def test_a_link_that_was_never_given_opens_nothing(garden: Wendlebrook) -> None:
    given(garden, garden.shingle)
    assert devices()
    for key in ("0" * 40, "ü", devices()[0].name):
        assert Client().get(f"/calendar/{key}.ics").status_code == 404
