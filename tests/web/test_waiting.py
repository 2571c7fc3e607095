"""The list of waiting facts, its place on More and on the lead's Today, and what a phone is told."""

from __future__ import annotations

from collections.abc import Callable

from django.test import Client

from pages import shown
from phones import Phone
from wendlebrook import Wendlebrook

Browser = Callable[[str], Client]


def test_waiting_facts_are_on_more_and_for_the_lead_on_today(garden: Wendlebrook, signed_in: Browser) -> None:
    phone = Phone(garden, garden.actors.tilda)
    wrong = phone.sighting("Kelp", exhibit=garden.reed)
    phone.send(wrong)
    keeper, lead, viewer = signed_in("tilda"), signed_in("maren"), signed_in("pia")
    assert "could not be written" not in shown(lead.get("/")), "it only waits"
    phone.send(phone.started())
    assert "fact of a phone could not be written" in shown(lead.get("/"))
    assert "could not be written" not in shown(keeper.get("/"))
    assert "/waiting/" in shown(keeper.get("/more/"))
    page = shown(keeper.get("/waiting/"))
    assert "A bird was seen" in page
    assert "is of another exhibit" in page
    assert f"/deeds/set_aside/?waiting={wrong['id']}" in page
    assert viewer.get("/waiting/").status_code == 403
    asked = keeper.get("/facts/refused.json?device=p1").json()
    assert [one["id"] for one in asked["refused"]] == [wrong["id"]]
    assert keeper.get("/facts/refused.json?device=p2").json() == {"refused": []}
    assert viewer.get("/facts/refused.json?device=p1").status_code == 403
