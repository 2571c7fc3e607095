"""The first hour: step by step, each with a default, each skipped or taken up again; no model in it."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO

import pytest
from django.test import Client

from pages import shown
from tarsus.records.models import Bird, Colour, Exhibit, Park, Rule, ToldDeed

SHEET = (
    "Name,Species,Sex,Aviary,Left leg,Right leg\n"
    "Alder,Redshank,F,Mere,m,R/W\nBrine,Redshank,M,Mere,Y/W,m\nCress,Redshank,F,Mere,m,G\n"
    "Dune,Redshank,F,Mere,m,W/R\n"
)


@pytest.fixture
def lead(park: Park, browser_of: Callable[[str], Client]) -> Client:
    return browser_of("oda")


def step_of(client: Client) -> str:
    return client.get("/new-park/")["Location"]


def sent(name: str, text: str) -> BytesIO:
    file = BytesIO(text.encode())
    file.name = name
    return file


def bring_in(client: Client) -> None:
    client.post("/new-park/sheet/", {"file": sent("birds.csv", SHEET)})
    columns = {f"column-{at}": field for at, field in enumerate(("name", "species", "sex", "exhibit"))}
    page = shown(client.get("/import/look/"))
    assert "Redshank" in page
    said = {"letters": "park", "species-1": "Redshank", "where-1": "leg", "mapping": "ours", **columns}
    for at, name in enumerate(("left tarsus", "right tarsus"), start=4):
        said[f"column-{at}"] = name
    client.post("/import/look/", said)
    client.post("/import/look/", said | {"bring": "1"})


def test_the_steps_follow_from_what_is_there(lead: Client) -> None:
    assert step_of(lead) == "/new-park/bands/"
    lead.post("/new-park/bands/", {"side": "right", "letters": "published"})
    assert (Park.objects.get().female_side, Park.objects.get().male_side) == ("right", "left")
    assert Colour.objects.get(name="black").letter == "N"
    assert step_of(lead) == "/new-park/exhibits/"
    lead.post("/new-park/exhibits/", {"names": "Mere\n  South   pool \n\nMere"})
    assert sorted(Exhibit.objects.values_list("name", flat=True)) == ["Mere", "South pool"]
    assert step_of(lead) == "/new-park/sheet/"
    bring_in(lead)
    assert Bird.objects.count() == 4
    assert step_of(lead) == "/new-park/rules/"
    page = shown(lead.get("/new-park/rules/"))
    assert "As most of your birds wear them" in page
    species = Bird.objects.values_list("species", flat=True).first()
    lead.post(f"/new-park/rules/{species}/", {"rule": "worn"})
    rule = Rule.objects.get()
    assert rule.metal == {"F": "left leg", "M": "right leg", "U": None}
    assert rule.colours["F"] == {"right leg": 2}
    assert step_of(lead) == "/new-park/phone/"
    assert "Call Mere, 4 birds" in shown(lead.get("/new-park/phone/"))
    kinds = set(ToldDeed.objects.values_list("kind", flat=True))
    assert {"park_set", "published_colours", "exhibit_saved", "rule_set"} <= kinds, (
        "told through the one door"
    )


def test_a_step_is_skipped_and_taken_up_again(lead: Client) -> None:
    lead.post("/new-park/skip/bands/")
    assert step_of(lead) == "/new-park/exhibits/"
    lead.post("/new-park/exhibits/", {"names": ""})
    assert step_of(lead) == "/new-park/sheet/", "the sheet names them"
    page = shown(lead.get("/new-park/sheet/"))
    assert page.count("left for later") == 2
    lead.post("/new-park/bands/", {"side": "left", "letters": "published"})
    assert shown(lead.get("/new-park/sheet/")).count("left for later") == 1
    assert lead.post("/new-park/skip/nothing/").status_code == 404


def test_another_person_goes_on_where_the_park_is(lead: Client, browser_of: Callable[[str], Client]) -> None:
    lead.post("/new-park/bands/", {"side": "left", "letters": "published"})
    assert step_of(browser_of("ann")) == "/new-park/exhibits/"


def test_own_letters_are_changed_on_the_palettes_own_page(lead: Client) -> None:
    answer = lead.post("/new-park/bands/", {"side": "none", "letters": "own"})
    assert answer["Location"] == "/settings/colours/"
    assert (Park.objects.get().female_side, Park.objects.get().male_side) == ("", "")


@pytest.mark.parametrize("step", ["bands", "exhibits", "sheet", "phone"])
def test_every_step_says_why_and_none_asks_for_a_figure_of_a_model(step: str, lead: Client) -> None:
    page = shown(lead.get(f"/new-park/{step}/"))
    for word in ("sureness", "wanted_misnaming", "gone_per_year", "strangers", 'name="reader"'):
        assert word not in page
    assert "<h1>" in page
    assert 'class="small"' in page, "why, and what the default means"


def test_a_wrong_answer_is_refused_on_the_step_itself(lead: Client) -> None:
    assert lead.post("/new-park/bands/", {"side": "up", "letters": "published"}).status_code == 422
    assert lead.post("/new-park/sheet/", {}).status_code == 422
    assert lead.post("/new-park/exhibits/", {"names": "x" * 200}).status_code == 422
    bring_in(lead)
    species = Bird.objects.values_list("species", flat=True).first()
    answer = lead.post(f"/new-park/rules/{species}/", {"rule": "none of these"})
    assert answer.status_code == 422
    assert "Choose one of the ways below" in shown(answer)
    assert lead.get("/new-park/rules/999/").status_code == 404
