"""What visitors may read: nothing until the park says so, and then nothing that is not on the list."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as installed
from django.core.cache import cache
from django.test import Client

from pages import shown
from phones import Shift
from tarsus.records import models as rows
from tarsus.web import visitors
from wendlebrook import Wendlebrook

sys.path.insert(0, str(Path(__file__).parents[1] / "paper"))
from reading import words

STORY = "Nods before every meal."


@pytest.fixture(autouse=True)
def nothing_kept() -> Iterator[None]:
    cache.clear()
    yield
    cache.clear()


@pytest.fixture
def told(garden: Wendlebrook) -> Wendlebrook:
    """A story of Kelp's, and things of Kelp's and Sedge's that are nobody's business."""
    shift = Shift(garden)
    shift.done("maren", "visitor_story", bird=garden["Kelp"], story="Bites.")
    shift.done("maren", "visitor_story", bird=garden["Kelp"], story=STORY)
    shift.done("ilse", "case_opened", birds=[garden["Sedge"]], about="aspergillosis")
    shift.done("tilda", "note", bird=garden["Kelp"], text="limps at the north spit")
    return garden


def page_of(client: Client, way: str, exhibit: int) -> Any:
    rows.Park.objects.update(visitor_pages=way)
    key = visitors.visitor_key(exhibit, installed.SECRET_KEY, way) or str(exhibit)
    return client.get(f"/visitors/{key}/")


def test_the_page_is_off_until_the_park_opens_it_and_a_link_is_not_guessed_from_a_number(
    told: Wendlebrook,
) -> None:
    stranger = Client()
    assert page_of(stranger, "off", told.shingle).status_code == 404
    assert page_of(stranger, "link", told.shingle).status_code == 200
    assert stranger.get(f"/visitors/{told.shingle}/").status_code == 404
    assert page_of(stranger, "plain", told.shingle).status_code == 200
    rows.Park.objects.update(visitor_pages="off")
    assert stranger.get(f"/visitors/{told.shingle}/").status_code == 404, "a kept page is shut at once"


def test_an_exhibit_that_is_not_on_display_has_no_page_and_no_board(
    told: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    rows.Exhibit.objects.filter(pk=told.shingle).update(purpose="off-show")
    assert page_of(Client(), "plain", told.shingle).status_code == 404
    tilda = signed_in("tilda")
    assert tilda.get(f"/exhibits/{told.shingle}/who-is-who-a3.pdf").status_code == 404
    assert "who-is-who" not in shown(tilda.get(f"/exhibits/{told.shingle}/"))


def test_the_page_holds_names_bands_and_stories_and_nothing_private(told: Wendlebrook) -> None:
    answer = page_of(Client(), "plain", told.shingle)
    page = shown(answer)
    for said in ("Kelp", STORY, "Sedge", "yellow over green"):
        assert said in page, said
    private = ["Bites.", "aspergillosis", "limps", "north spit", "North Spit", 'href="/birds']
    private += list(rows.Person.objects.values_list("display_name", flat=True))
    private += list(rows.Place.objects.values_list("name", flat=True))
    private += list(rows.Band.objects.exclude(engraving="").values_list("engraving", flat=True))
    assert len(private) > 10
    assert [name for name in private if name in page] == []
    assert answer["Cache-Control"] == "public, max-age=300"
    assert "Vary" not in answer or "Cookie" not in answer["Vary"]
    assert not answer.cookies


def test_birds_that_are_missing_or_count_nowhere_yet_are_not_shown(told: Wendlebrook) -> None:
    shift = Shift(told)
    shift.done("tilda", "whereabouts", bird=told["Sedge"], state="missing")
    assert "Sedge" not in shown(page_of(Client(), "plain", told.shingle))


@pytest.mark.parametrize(
    ("kind", "is_shown"), [("quarantine", False), ("hospital", False), ("off-show", False), ("pool", True)]
)
def test_birds_that_are_kept_apart_within_the_exhibit_are_not_shown(
    told: Wendlebrook, kind: str, is_shown: bool
) -> None:
    place = rows.Place.objects.create(exhibit_id=told.shingle, name="back room", kind=kind, order=9)
    rows.Stay.objects.filter(bird_id=told["Sedge"]).update(place=place)
    page = shown(page_of(Client(), "plain", told.shingle))
    assert ("Sedge" in page) is is_shown
    assert "Kelp" in page


def test_a_story_that_was_taken_back_is_read_no_more(told: Wendlebrook) -> None:
    second = rows.Story.objects.get(text=STORY)
    Shift(told).done("maren", "withdrawn", corrects=str(second.pk), because="not true")
    page = shown(page_of(Client(), "plain", told.shingle))
    assert STORY not in page
    assert "Bites." in page


def test_the_page_is_asked_of_the_register_once_and_one_address_is_held_to_its_share(
    told: Wendlebrook, django_assert_max_num_queries: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert visitors.ASKED_AT_MOST >= 300, "all visitors on the park's Wi-Fi come from one address"
    monkeypatch.setattr(visitors, "ASKED_AT_MOST", 12)
    page_of(Client(), "plain", told.shingle)
    with django_assert_max_num_queries(2):
        Client().get(f"/visitors/{told.shingle}/")
    answers = [Client().get(f"/visitors/{told.shingle}/") for _ in range(11)]
    assert [answer.status_code for answer in answers] == [200] * 10 + [429]
    assert answers[-1]["Retry-After"] == "60"
    assert Client(REMOTE_ADDR="10.0.0.9").get(f"/visitors/{told.shingle}/").status_code == 200


def test_whoever_guesses_addresses_is_stopped_and_whoever_reads_from_there_is_not(told: Wendlebrook) -> None:
    page_of(Client(), "link", told.shingle)
    guessed = [Client().get(f"/visitors/{told.shingle}/") for _ in range(visitors.GUESSED_AT_MOST + 1)]
    assert [answer.status_code for answer in guessed] == [404] * visitors.GUESSED_AT_MOST + [429]
    assert page_of(Client(), "link", told.shingle).status_code == 200


def test_the_board_leads_to_the_page_only_where_there_is_one(
    told: Wendlebrook, signed_in: Callable[[str], Client], settings: Any
) -> None:
    settings.ADDRESS = "https://park.example"
    tilda, address = signed_in("tilda"), f"/exhibits/{told.shingle}/who-is-who-a3.pdf"
    said = words(tilda.get(address).content)
    assert STORY in said
    assert "https://" not in said
    rows.Park.objects.update(visitor_pages="plain")
    printed = words(tilda.get(address).content).replace(" ", "")  # a long address takes two lines
    assert f"https://park.example/visitors/{told.shingle}/" in printed
    assert "story=Nods+before" in shown(signed_in("maren").get(f"/birds/{told['Kelp']}/"))
