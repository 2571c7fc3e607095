"""The list of waiting facts, its place on More and on the lead's Today, and what a phone is told."""

from __future__ import annotations

from collections.abc import Callable

from django.test import Client

from phones import Phone
from wendlebrook import Wendlebrook

Browser = Callable[[str], Client]


def test_waiting_facts_are_on_more_and_for_the_lead_on_today(garden: Wendlebrook, signed_in: Browser) -> None:
    phone = Phone(garden, garden.actors.tilda)
    wrong = phone.sighting("Kelp", exhibit=garden.reed)
    phone.send(wrong)
    keeper, lead, viewer = signed_in("tilda"), signed_in("maren"), signed_in("pia")
    assert "could not be written" not in lead.get("/").content.decode(), "it only waits"
    phone.send(phone.started())
    assert "fact of a phone could not be written" in " ".join(lead.get("/").content.decode().split())
    assert "could not be written" not in keeper.get("/").content.decode()
    assert "/waiting/" in keeper.get("/more/").content.decode()
    shown = keeper.get("/waiting/").content.decode()
    assert "A bird was seen" in shown
    assert "is of another exhibit" in shown
    assert f"/deeds/set_aside/?waiting={wrong['id']}" in shown
    assert viewer.get("/waiting/").status_code == 403
    asked = keeper.get("/facts/refused.json?device=p1").json()
    assert [one["id"] for one in asked["refused"]] == [wrong["id"]]
    assert keeper.get("/facts/refused.json?device=p2").json() == {"refused": []}
    assert viewer.get("/facts/refused.json?device=p1").status_code == 403
