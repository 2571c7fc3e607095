"""The months: who sees and who signs, what was signed stays, and what is told later stands beside it."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from urllib.parse import urlencode
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from pages import shown, text_of
from tarsus.actions.birds.register import NewBird, add_bird
from tarsus.actions.facts import hear_facts
from tarsus.queries.months import month_page, month_to_sign, months_listed
from tarsus.records.models import PrintedInventory, Stay
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]
MARCH = "/months/2026-03/"
SIGN = f"/deeds/inventory_signed/?{urlencode({'month': '2026-03-01', 'next': MARCH})}"


def tell(client: Client, address: str, **said: object) -> int:
    sent = {"deed_id": str(uuid4()), "sure": "yes", **{key: str(value) for key, value in said.items()}}
    return client.post(address, sent).status_code


def died(garden: Wendlebrook, bird: str, on: str) -> dict[str, object]:
    return {"bird": garden[bird], "exhibit": garden.shingle, "found_by": "Oswin", "at": on}


def test_everybody_looks_and_only_records_sign(garden: Wendlebrook, signed_in: Browser) -> None:
    for login in ("pia", "tilda", "maren", "corin"):
        client = signed_in(login)
        assert "March 2026" in text_of(client, MARCH)
        assert ("/deeds/inventory_signed/" in shown(client.get(MARCH))) == (login == "corin"), login
    assert re.search(r"inventory: .*records.* can", text_of(signed_in("pia"), MARCH))
    assert tell(signed_in("tilda"), SIGN, month="2026-03-01") == 403
    assert not PrintedInventory.objects.exists()
    assert shown(signed_in("pia").get("/")).count('href="/reports/"') == 1


def test_a_month_that_is_none_or_has_not_begun_is_not_found(garden: Wendlebrook, signed_in: Browser) -> None:
    for wrong in ("2026-13", "march", "2199-01", "2026-3"):
        assert signed_in("pia").get(f"/months/{wrong}/").status_code == 404, wrong


def test_signed_figures_stay_and_a_death_told_later_stands_under_them_with_its_day_and_name(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    records = signed_in("corin")
    assert "Not yet signed" in text_of(records, MARCH)
    assert tell(records, SIGN, month="2026-03-01") == 302
    signed = text_of(records, MARCH)
    assert "by Corin" in signed
    assert "adjusted since" not in signed
    assert "/deeds/inventory_signed/" not in shown(records.get(MARCH))
    assert "Pied avocet opening 0.0.0" in signed
    assert tell(signed_in("maren"), "/deeds/death/", **died(garden, "Kelp", "2026-03-30")) == 302
    assert tell(signed_in("maren"), "/deeds/death/", **died(garden, "Sedge", "2026-04-02")) == 302
    after = text_of(records, MARCH)
    assert "= closing 2.3.0" in after.split("After signing")[0]
    assert "= closing 1.3.0" not in after
    assert "The birds are told as they are known now" in after
    beside = after.split("After signing")[1]
    assert "Kelp : Found dead by Oswin" in beside
    assert "Of 30 March 2026" in beside
    assert "by Maren" in beside
    assert "Sedge" not in beside, "what happened in April is April's"
    assert "Pied avocet, males Living here died: 0 as signed, 1 as known now" in beside
    assert "closing: 2 as signed, 1 as known now" in beside
    assert "opening 1.3.0" in text_of(records, "/months/2026-04/")
    listed = text_of(records, "/months/")
    assert re.search(r"March signed \d+ \w+ \d{4}, Corin", listed)


def test_a_later_correction_of_a_signed_death_is_told_too(garden: Wendlebrook, signed_in: Browser) -> None:
    lead, deed = signed_in("maren"), str(uuid4())
    assert tell(lead, "/deeds/death/", **died(garden, "Kelp", "2026-03-30"), deed_id=deed) == 302
    tell(signed_in("corin"), SIGN, month="2026-03-01")
    assert "= closing 1.3.0" in text_of(lead, MARCH)
    mistake = f"/deeds/withdrawn/?{urlencode({'corrects': deed})}"
    assert tell(lead, mistake, corrects=deed, because="the number was misread") == 302
    beside = text_of(lead, MARCH).split("After signing")[1]
    assert "A mistake: the number was misread" in beside
    assert "died: 1 as signed, 0 as known now" in beside


def test_a_line_opens_its_equation_and_the_birds_behind_it(garden: Wendlebrook, signed_in: Browser) -> None:
    tell(signed_in("maren"), "/deeds/death/", **died(garden, "Kelp", "2026-04-30"))
    page = text_of(signed_in("pia"), "/months/2026-04/")
    assert "Males 2 − 1 died = 1" in page
    assert "Died 1 Kelp 30 April" in page
    assert "Every line balances" in page


def test_two_signatures_both_stand_and_the_first_is_shown(garden: Wendlebrook, signed_in: Browser) -> None:
    records = signed_in("corin")
    tell(records, SIGN, month="2026-03-01")
    tell(signed_in("maren"), "/deeds/death/", **died(garden, "Kelp", "2026-03-30"))
    tell(signed_in("dunstan"), SIGN, month="2026-03-01")
    assert "= closing 2.3.0" in text_of(records, MARCH)
    second = PrintedInventory.objects.order_by("pk").last()
    assert second is not None
    again = text_of(records, f"{MARCH}?version={second.pk}")
    assert "= closing 1.3.0" in again
    assert "as signed," not in again


def test_a_month_costs_the_same_questions_however_many_birds_there_are(garden: Wendlebrook) -> None:
    june = date(2026, 6, 1)
    with CaptureQueriesContext(connection) as few:
        month_page(june, date(2026, 7, 2))
    for number in range(20):
        bird = NewBird(species_id=garden.ruff, house_name=f"Ruff {number}")
        add_bird(bird=bird, by=garden.actors.corin, exhibit_id=garden.reed, on=june)
    with CaptureQueriesContext(connection) as many:
        page = month_page(june, date(2026, 7, 2))
    assert len(many) == len(few)
    assert page.held.closing == 28


def test_the_month_that_is_asked_for_is_the_one_that_today_asks_for(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    records = signed_in("corin")
    asked = month_to_sign(timezone.localdate())
    assert asked is not None
    assert f"/months/{asked:%Y-%m}/" in shown(records.get("/months/")).split("not yet signed")[0]
    tell(records, SIGN, month=asked.isoformat())
    assert month_to_sign(timezone.localdate()) is None
    assert "not yet signed" not in text_of(records, "/months/")


def test_the_first_year_there_is_and_a_version_that_is_none_are_not_found(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    records = signed_in("corin")
    tell(records, SIGN, month="2026-03-01")
    assert records.get("/months/0001-01/").status_code == 404
    assert records.get(f"{MARCH}?version=987654").status_code == 404


def test_a_stay_that_was_a_mistake_makes_the_list_of_months_no_longer(garden: Wendlebrook) -> None:
    before = len(months_listed(date(2026, 6, 1)))
    stay = Stay.objects.filter(to_on__isnull=True).order_by("pk").first()
    assert stay is not None
    Stay.objects.create(
        bird=stay.bird,
        exhibit=stay.exhibit,
        from_on=date(1925, 1, 1),
        to_on=date(1925, 1, 2),
        recorded_by=stay.recorded_by,
        taken_back_by=stay.recorded_by,
        taken_back_at=timezone.now(),
        taken_back_because="1925 for 2025",
    )
    assert len(months_listed(date(2026, 6, 1))) == before


def test_a_shipment_told_late_stands_under_the_signed_month_with_its_teller(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    records = signed_in("corin")
    tell(records, SIGN, month="2026-03-01")
    rush = {"species": garden.avocet, "house_name": "Rush"}
    fact = {
        "id": str(uuid4()),
        "kind": "birds_come",
        "at": "2026-03-28T10:00:00+00:00",
        "by": garden.actors.corin,
        "came_from": "Marsh Park",
        "exhibit": garden.shingle,
        "newcomers": [rush],
    }
    (answer,) = hear_facts(facts=[fact], clock=None, device="", speaker=garden.actors.corin)
    assert answer.outcome == "written", answer.reason
    page = text_of(records, MARCH)
    assert "as signed, " in page
    assert "Marsh Park" in page.split("After signing")[-1]
