"""The marking desk, and *Who is it?* across the park, as programs ask of them."""

from __future__ import annotations

import pytest

from api.programs import device, person
from phones import Phone
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db


def test_the_desk_proposes_marks_for_a_bird_and_judges_a_wish(park: Wendlebrook) -> None:
    maren = person(park.actors.maren)
    there = f"/exhibits/{park.shingle}/flocks/avocet"
    rule = {"species": park.avocet, "from_on": "2026-01-01", "repeat_on_a_site": True, "mates_match": False}
    rule |= {"metal": {"F": "left tibia", "M": "right tibia", "U": None}}
    rule |= {"colours": {"F": {"right tibia": 2}, "M": {"left tibia": 2}, "U": {}}}
    phone = Phone(park, park.actors.maren)
    [answer] = maren.post("/facts", {"facts": [phone.fact("rule_set", **rule)]}).json()["answers"]
    assert answer["outcome"] == "written", answer
    sedge = rows.Band.objects.filter(bird_id=park["Sedge"])
    sedge.update(to_on="2026-05-01")
    desk = maren.get(f"{there}/marking-desk", bird=park["Sedge"]).json()
    [proposal] = desk["proposals"]
    assert (proposal["bird"], proposal["name"]) == (park["Sedge"], "Sedge")
    assert proposal["drawn"]["marks"]["left tibia"] == ["metal"]
    assert len(proposal["drawn"]["marks"]["right tibia"]) == 2
    wished = {"bird": park["Sedge"], "marks": {"left leg": ["metal", "metal"]}}
    wish = maren.post(f"{there}/marking-desk/wish", wished).json()
    assert "Two metal bands on the left leg can clash and hurt." in wish["notes"]
    assert wish["notes"][0].endswith("is not banded on the left leg here.")
    nobody = maren.post(f"{there}/marking-desk/wish", {"bird": park["Sedge"], "marks": {}})
    assert (nobody.status_code, nobody.json()["detail"].split(" ")[0]) == (422, "marks:")
    # The drawer is the whole park's: a device of one exhibit asks of no desk.
    assert device(park, [park.shingle], [park.actors.maren]).get(f"{there}/marking-desk").status_code == 403


def test_who_it_is_is_asked_across_the_exhibits_that_are_theirs(park: Wendlebrook) -> None:
    samphire = rows.Band.objects.filter(bird_id=park["Samphire"], to_on__isnull=True).order_by("order")
    reading: dict[str, list[str]] = {"left tibia": [], "right tibia": []}
    for site, colour in samphire.values_list("site", "colour__name"):
        reading[site].append(colour or "metal")
    asked = {"readings": [reading]}
    [who] = person(park.actors.tilda).post("/identify", asked).json()
    assert (who["candidates"][0]["name"], who["candidates"][0]["exhibit"]) == ("Samphire", park.shingle)
    assert sum(one["p"] for one in who["candidates"]) + who["none_of_these"] == pytest.approx(1, abs=1e-4)
    several = person(park.actors.tilda).post("/identify", {"readings": [reading, {}]})
    assert [len(one["candidates"]) > 0 for one in several.json()] == [True, True]
    # Whoever is no keeper reads worse: the same reading is less sure.
    [told] = person(park.actors.tilda).post("/identify", asked | {"visitor": True}).json()
    assert told["candidates"][0]["p"] < who["candidates"][0]["p"]
    elsewhere = device(park, [park.reed], [park.actors.tilda])
    rows.Stay.objects.filter(bird_id=park["Dock"]).update(exhibit_id=park.reed)
    [found] = elsewhere.post("/identify", asked | {"by": park.actors.tilda}).json()
    assert [one["exhibit"] for one in found["candidates"]] in ([], [park.reed])
    assert elsewhere.post("/identify", asked).status_code == 422
    assert person(park.actors.pia).post("/identify", asked).status_code == 403
