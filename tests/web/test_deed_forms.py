"""Every deed has its form, made from its declaration, and Today's every line opens what settles it."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from pages import shown
from tarsus.core.care.cautions import CAUTIONS, MEDICINE
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.register import DEEDS
from tarsus.queries.duties import duties_of_park
from tarsus.records import models as rows
from tarsus.web.tell import deeds_of_a_phone
from wendlebrook import Wendlebrook

Browser = Callable[[str], Client]
LOGINS = {
    "pia": "viewer",
    "tilda": "keeper",
    "maren": "lead",
    "ilse": "vet",
    "corin": "records",
    "dunstan": "administrator",
}


def body(answer: Any) -> str:
    return shown(answer)


@pytest.mark.parametrize("login", LOGINS)
def test_a_form_opens_for_those_who_may_and_for_nobody_else(
    login: str, garden: Wendlebrook, signed_in: Browser
) -> None:
    client = signed_in(login)
    for name, deed in DEEDS.items():
        status = client.get(f"/deeds/{name}/?bird={garden['Kelp']}").status_code
        assert status == (200 if deed.allowed_to(LOGINS[login]) else 403), name


def test_the_list_of_deeds_shows_what_is_ones_own(garden: Wendlebrook, signed_in: Browser) -> None:
    told = body(signed_in("ilse").get("/deeds/"))
    assert "/deeds/quarantine_released/" in told
    assert "/deeds/person_saved/" not in told
    assert "/deeds/weighed/" in body(signed_in("tilda").get("/deeds/"))


@pytest.mark.parametrize("deed", [d for d in DEEDS.values() if not d.page], ids=lambda deed: deed.name)
def test_an_empty_form_comes_back_with_the_fields_to_mend(
    deed: Deed, garden: Wendlebrook, signed_in: Browser
) -> None:
    who = next(login for login, role in LOGINS.items() if deed.allowed_to(role))
    answer = signed_in(who).post(f"/deeds/{deed.name}/", {"deed_id": str(uuid4())})
    if any(field.required for field in deed.fields):
        assert answer.status_code == 422
        assert 'role="alert"' in body(answer)
    assert not rows.ToldDeed.objects.filter(kind=deed.name).exists() or answer.status_code == 302


def test_a_form_says_which_colour_its_address_names_and_what_is_not_written_yet(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    address = "/deeds/stock_changed/?what=cable+tie&colour=green&size=3"
    client = signed_in("maren")
    assert "<b>Colour:</b> green" in body(client.get(address))
    answer = client.post(
        address, {"deed_id": str(uuid4()), "what": "cable tie", "colour": "green", "size": "3"}
    )
    assert "Nothing is written here yet; it is needed." in body(answer)
    assert "This field is required" not in body(answer)


def test_what_is_grave_is_shown_once_more_before_it_is_written(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    client, kelp = signed_in("tilda"), garden["Kelp"]
    address = f"/deeds/death/?bird={kelp}&exhibit={garden.shingle}&next=/birds/{kelp}/"
    form = body(client.get(address))
    assert 'value="Tilda"' in form, "whoever writes usually found it"
    assert "Species" not in form, "the bird is known"
    sent = {"deed_id": str(uuid4()), "bird": kelp, "exhibit": garden.shingle, "found_by": "Tilda", "at": ""}
    once = client.post(address, sent)
    assert "Found dead by Tilda in Shingle Aviary." in body(once)
    assert not rows.Death.objects.exists()
    sure = client.post(address, {**sent, "sure": "yes"})
    assert (sure.status_code, sure["Location"]) == (302, f"/birds/{kelp}/")
    assert rows.Death.objects.get().bird_id == kelp


def test_a_treatment_says_what_can_hurt_on_its_form_and_on_the_phone(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    for login, name in (("ilse", "treatment"), ("tilda", "treatment_rechecked")):
        form = body(signed_in(login).get(f"/deeds/{name}/?bird={garden['Kelp']}"))
        assert "Only what the vet ordered, for this bird and by its weight of today" in form, name
    told = {deed["name"]: deed["caution"] for deed in json.loads(deeds_of_a_phone())}
    assert told["treatment_rechecked"] == CAUTIONS[MEDICINE]


def test_nobody_is_led_away_by_an_address(garden: Wendlebrook, signed_in: Browser) -> None:
    sent = {"deed_id": str(uuid4()), "bird": garden["Kelp"], "weight_g": "300", "where": "in hand"}
    answer = signed_in("tilda").post("/deeds/weighed/?next=https://gull.example/", sent)
    assert answer["Location"] == "/"


def test_a_line_is_put_right_from_the_history_and_says_what_it_was(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    client, kelp = signed_in("tilda"), garden["Kelp"]
    first = {"deed_id": str(uuid4()), "bird": kelp, "weight_g": "392", "where": "perch scale"}
    client.post(f"/deeds/weighed/?bird={kelp}", first)
    page = body(client.get(f"/birds/{kelp}/"))
    (link,) = re.findall(r'href="(/deeds/weighed/\?corrects=[^"]+)"', page)
    link = link.replace("&amp;", "&")
    form = body(client.get(link))
    assert 'value="392' in form
    assert "It says now: Weighed 392 g" in form
    right = {**first, "deed_id": str(uuid4()), "weight_g": "329", "why_corrected": "digits exchanged"}
    assert client.post(link, right).status_code == 302
    page = body(client.get(f"/birds/{kelp}/"))
    assert "Weighed 329 g" in page
    assert "Before: Weighed 392 g, it walked onto the scale. digits exchanged" in page


def test_a_fact_of_before_the_ledger_is_put_right_too(garden: Wendlebrook, signed_in: Browser) -> None:
    sex = rows.SexFinding.objects.get(bird=garden["Kelp"])
    form = body(signed_in("maren").get(f"/deeds/sex_finding/?corrects={sex.pk}"))
    assert '<option value="M" selected>male</option>' in form
    sent = {"deed_id": str(uuid4()), "bird": garden["Kelp"], "sex": "F", "known_by": "laid an egg"}
    sent |= {"at": "2026-06-10", "why_corrected": "it laid"}
    answer = signed_in("maren").post(f"/deeds/sex_finding/?corrects={sex.pk}", sent)
    assert answer.status_code == 302, body(answer)
    page = body(signed_in("maren").get(f"/birds/{garden['Kelp']}/"))
    assert "<dt>female</dt>" in page


def test_what_a_form_of_changes_leaves_empty_is_emptied_and_a_program_changes_one_thing(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    client, kelp = signed_in("corin"), garden["Kelp"]
    rows.Bird.objects.filter(pk=kelp).update(number="W17", legal_mark="L 4")
    form = body(client.get(f"/deeds/bird_changed/?bird={kelp}"))
    assert 'value="W17"' in form
    fact = {"id": str(uuid4()), "kind": "bird_changed", "at": "2026-06-12T08:00:00+00:00"}
    fact |= {"by": garden.actors.corin, "bird": kelp, "house_name": "Oarweed"}
    client.post("/facts", {"facts": [fact]}, content_type="application/json")
    bird = rows.Bird.objects.get(pk=kelp)
    assert (bird.house_name, bird.number, bird.legal_mark) == ("Oarweed", "W17", "L 4")
    sent = {"deed_id": str(uuid4()), "bird": kelp, "house_name": "Kelp", "number": ""}
    assert client.post(f"/deeds/bird_changed/?bird={kelp}", sent).status_code == 302
    bird.refresh_from_db()
    assert (bird.house_name, bird.number, bird.legal_mark) == ("Kelp", "", "")


@pytest.fixture
def busy(garden: Wendlebrook) -> Wendlebrook:
    """The garden with something due of many kinds."""
    at = datetime(2026, 6, 1, 9, tzinfo=UTC)
    told: dict[str, Any] = {"recorded_by_id": garden.actors.tilda, "happened_at": at}
    rows.Species.objects.update(health_check_every_days=30, weigh_every_days=30)
    quarantine = rows.Exhibit.objects.create(name="Q", purpose="quarantine")
    rows.Stay.objects.filter(bird_id=garden["Kelp"]).update(exhibit=quarantine)
    rows.Arrival.objects.create(bird_id=garden["Kelp"], came_from="Marsh", exhibit=quarantine, **told)
    death = rows.Death.objects.create(
        species_id=garden.ruff, exhibit_id=garden.shingle, found_by="T", post_mortem_asked=True, **told
    )
    rows.BandFound.objects.create(exhibit_id=garden.shingle, kind="metal", **told)
    case = rows.Case.objects.create(about="lame", opened_by_id=garden.actors.tilda, opened_at=at)
    case.birds.set([garden["Marram"]])
    band = rows.Band.objects.filter(bird_id=garden["Sedge"], kind="colour").first()
    assert band is not None
    rows.BandCheck.objects.create(band=band, condition="tight", **told)
    rows.Stock.objects.create(kind="metal", size="4", amount=1, order_below=5)
    rows.Handling.objects.create(bird_id=garden["Thrift"], why="banding", **told)
    rows.NaturalMark.objects.create(
        bird_id=garden["Dock"],
        text="nick",
        from_on="2026-01-01",
        review_on="2026-05-01",
        recorded_by_id=garden.actors.tilda,
    )
    assert death.pk
    return garden


@pytest.mark.parametrize("login", LOGINS)
def test_every_line_of_today_opens_what_settles_it_or_says_who_can(
    login: str, busy: Wendlebrook, signed_in: Browser
) -> None:
    client = signed_in(login)
    kinds = {duty.kind for duty in duties_of_park(datetime.now(UTC))}
    assert len(kinds) >= 8, kinds
    pages = [body(client.get("/"))] + [body(client.get(f"/birds/{bird}/")) for bird in busy.birds.values()]
    for page in pages:
        lines = re.findall(r'<p class="small mend settles">(.*?)</p>', page)
        assert lines or "Due" not in page
        for line in lines:
            assert "<a href=" in line or line.strip().endswith(" can"), line
            for link in re.findall(r'href="([^"]+)"', line):
                opened = client.get(link.split("#")[0].replace("&amp;", "&"))
                assert opened.status_code == 200, (link, opened.status_code)


def test_the_vet_settles_from_today_what_only_the_vet_settles(busy: Wendlebrook, signed_in: Browser) -> None:
    assert "Release from quarantine: the vet can" in body(signed_in("tilda").get("/"))
    client = signed_in("ilse")
    today = body(client.get("/"))
    (link,) = set(re.findall(r'href="(/deeds/quarantine_released/[^"]+)"', today))
    asked = link.replace("&amp;", "&")
    rows.PlannedMarks.objects.create(
        bird_id=busy["Kelp"], marks={"left leg": ["lime"]}, planned_by_id=busy.actors.maren
    )
    assert "kept for Kelp and not fitted yet: lime on the left" in body(client.get(asked))
    sent = {"deed_id": str(uuid4()), "bird": busy["Kelp"], "note": "swabs clear", "sure": "yes"}
    assert "or tick that it goes without them" in body(client.post(asked, sent))
    assert not rows.QuarantineRelease.objects.exists(), "the release asks whether kept marks are on"
    answer = client.post(asked, sent | {"without_marks": "on"})
    assert (answer.status_code, answer["Location"]) == (302, "/")
    assert "quarantine_released" not in body(client.get("/"))
