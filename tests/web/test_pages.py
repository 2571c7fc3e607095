"""The pages answer, name what they show, and cost the same however many birds there are."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from pages import shown
from phones import Phone
from tarsus.records import models as rows
from wendlebrook import BEGUN, Wendlebrook

NOW = datetime(2026, 6, 12, 7, 30, tzinfo=UTC)


@pytest.fixture(autouse=True)
def morning_of_12_june(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)


def page(client: Client, address: str, status: int = 200) -> str:
    answer = client.get(address)
    assert answer.status_code == status, address
    return shown(answer)


def called(garden: Wendlebrook, *seen: str) -> None:
    """Tilda called the roll yesterday and saw these birds."""
    phone = Phone(garden, garden.actors.tilda)
    begun, count = phone.started(), phone.count("avocet", 4)
    sightings = [phone.sighting(name, place=garden.north_spit) for name in seen]
    assert set(phone.send(begun, count, *sightings, phone.closed())) == {"written"}


def more_ruffs(garden: Wendlebrook, number: int) -> None:
    tilda = rows.Person.objects.get(login="tilda")
    orange = rows.Colour.objects.get(name="orange")
    for at in range(number):
        bird = rows.Bird.objects.create(species_id=garden.ruff, house_name=f"Ruff {at}", recorded_by=tilda)
        rows.Stay.objects.create(bird=bird, exhibit_id=garden.shingle, from_on=BEGUN, recorded_by=tilda)
        rows.Band.objects.create(
            bird=bird, site="left leg", kind="colour", colour=orange, from_on=BEGUN, recorded_by=tilda
        )


@pytest.mark.parametrize("address", ["/", "/exhibits/", "/exhibits/{shingle}/", "/flocks/"])
def test_a_page_costs_the_same_questions_however_many_birds(
    address: str, garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    client = signed_in("tilda")
    called(garden, "Samphire", "Kelp")
    at = address.format(shingle=garden.shingle)
    page(client, at)
    with CaptureQueriesContext(connection) as few:
        page(client, at)
    more_ruffs(garden, 30)
    with CaptureQueriesContext(connection) as many:
        page(client, at)
    assert len(many) == len(few)
    assert len(few) <= 117


def test_today_shows_each_exhibit_then_whom_to_look_for_with_the_reason_on_a_tap(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    called(garden, "Samphire", "Kelp", "Sedge", "Thrift", "Teasel", "Burdock", "Dock")
    text = page(signed_in("pia"), "/")
    assert text.index("Shingle Aviary</a>") < text.index("1 short") < text.index("Look for")
    assert "Marram" in text[text.index("Look for") :]
    why = text[text.index("<b>Why</b>") :]
    assert "4 counted of 5: one is missing" in why
    assert ">Samphire</a></h3>" not in text, "a bird that was seen is no worry"


def test_a_bird_is_told_in_words_where_no_script_runs(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    text = page(signed_in("pia"), f"/birds/{garden['Samphire']}/")
    assert ">metal on the left, yellow over green on the right</band-drawing>" in text
    assert "&quot;left tibia&quot;:[&quot;metal&quot;]" in text
    assert "WB 20417" in text


def test_lookalikes_stand_with_their_chance_and_why(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    text = page(signed_in("pia"), f"/birds/{garden['Samphire']}/")
    alike = text[text.index("Look-alikes") : text.index("so many name the other")]
    assert alike.index("Kelp") < alike.index("Sedge"), "exchanged sides are commoner than a turned order"
    assert "the same, legs swapped" in alike
    assert "the same, order swapped" in alike


def test_a_flock_says_who_is_mistaken_for_whom(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    text = page(signed_in("pia"), f"/flocks/{garden.shingle}/avocet/")
    assert "Worst pairs" in text
    assert 'class="plot map"' in text
    assert "As a colour-deficient keeper sees these bands" in text
    assert "red and green" in text, "to red-blind eyes they draw together"


def test_what_is_not_there_is_said_in_words(garden: Wendlebrook, signed_in: Callable[[str], Client]) -> None:
    client = signed_in("pia")
    assert "No such bird" in page(client, "/birds/99999/", 404)
    assert "No such exhibit" in page(client, "/exhibits/99999/", 404)
    assert "No heron lives in this exhibit" in page(client, f"/flocks/{garden.shingle}/heron/", 404)


def test_the_parks_own_colours_and_letters_are_given_to_every_page(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    rows.Colour.objects.filter(name="red").update(hex="#aa0011", letter="D")
    text = page(signed_in("pia"), "/")
    assert "&quot;red&quot;: &quot;#aa0011&quot;" in text
    assert "&quot;red&quot;: &quot;D&quot;" in text


def test_time_is_told_by_the_parks_clock(garden: Wendlebrook, signed_in: Callable[[str], Client]) -> None:
    assert "Friday 12 June, 08:30" in page(signed_in("pia"), "/")
    rows.Park.objects.update(time_zone="Asia/Tokyo")
    assert "Friday 12 June, 16:30" in page(signed_in("pia"), "/")


def test_a_name_cannot_become_part_of_the_page(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    rows.Bird.objects.filter(pk=garden["Samphire"]).update(house_name='<b>Sam</b>"')
    client = signed_in("pia")
    for address in (f"/birds/{garden['Samphire']}/", f"/flocks/{garden.shingle}/avocet/", "/flocks/"):
        assert "<b>Sam</b>" not in page(client, address)


def test_the_forecast_is_written_by_lead_and_vet_only(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    told: dict[str, Any] = {"deed_id": str(uuid4()), "for_day": "2026-06-12", "high_c": "29"}
    told |= {"note": "Catching at dawn only."}
    assert signed_in("tilda").post("/deeds/forecast/?next=/", told).status_code == 403
    client = signed_in("maren")
    refused = client.post("/deeds/forecast/?next=/", {**told, "high_c": "hot"})
    assert refused.status_code == 422
    assert "Catching at dawn only." in shown(refused), "what was typed is not lost"
    assert client.post("/deeds/forecast/?next=/", told)["Location"] == "/"
    assert "29 °C forecast. Catching at dawn only." in page(client, "/")


def test_an_empty_register_says_what_to_do_next(db: None) -> None:
    person = rows.Person.objects.create_user("first", "x" * 12, display_name="First", role="administrator")
    client = Client()
    client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    assert "Enter them in Settings" in page(client, "/")
    assert page(client, "/settings/").count("to do") >= 5
    for address in ("/exhibits/", "/flocks/", "/settings/colours/", "/settings/species/", "/more/"):
        page(client, address)
