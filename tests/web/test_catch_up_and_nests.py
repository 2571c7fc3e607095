"""The catch-up and the nests: who opens them, what is refused at the field, what is written."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from pages import shown
from tarsus.records.models import Band, BandCheck, CatchUp, NestEvent, SignedReason
from tarsus.records.models import Nest as NestRow
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db


def session() -> dict[str, str]:
    day = timezone.localdate() + timedelta(days=1)
    return {"day": f"{day:%Y-%m-%d}", "starts": "05:15", "chase_minutes": "5"}


@pytest.fixture
def nest(garden: Wendlebrook) -> NestRow:
    return NestRow.objects.create(
        exhibit_id=garden.shingle,
        species_id=garden.avocet,
        name="reed edge 1",
        from_on=timezone.localdate() - timedelta(days=5),
        recorded_by_id=garden.actors.tilda,
    )


def test_the_lead_plans_and_a_keeper_does_not(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    assert signed_in("maren").get(f"/catch-up/{garden.shingle}/", session()).status_code == 200
    assert signed_in("tilda").get(f"/catch-up/{garden.shingle}/", session()).status_code == 403


def test_a_nest_forbids_the_chase_until_two_have_signed(
    garden: Wendlebrook, nest: NestRow, signed_in: Callable[[str], Client]
) -> None:
    address = f"/catch-up/{garden.shingle}/"
    assert "forbids catching" in shown(signed_in("maren").get(address, session()))
    reason = {**session(), "ruled": "nest or brood", "bird": "", "reason": "a tight band cannot wait"}
    assert signed_in("maren").post(f"{address}sign/", reason).status_code == 302
    assert "forbids catching" in shown(signed_in("maren").get(address, session()))
    assert signed_in("ilse").post(f"{address}sign/", reason).status_code == 302
    assert "forbids catching" not in shown(signed_in("maren").get(address, session()))
    assert SignedReason.objects.get().vet_id == garden.actors.ilse


def test_the_other_signs_too_with_one_tap_and_the_first_is_not_asked_again(
    garden: Wendlebrook, nest: NestRow, signed_in: Callable[[str], Client]
) -> None:
    address = f"/catch-up/{garden.shingle}/"
    reason = {**session(), "ruled": "nest or brood", "bird": "", "reason": "a tight band cannot wait"}
    signed_in("maren").post(f"{address}sign/", reason)
    assert "Sign too" not in shown(signed_in("maren").get(address, session()))
    page = shown(signed_in("ilse").get(address, session()))
    form = page[: page.index("Sign too")].rpartition("<form")[2]
    sent = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))
    assert signed_in("ilse").post(f"{address}sign/", sent).status_code == 302
    row = SignedReason.objects.get()
    assert (row.vet_id, row.lead_id) == (garden.actors.ilse, garden.actors.maren)
    assert "Sign too" not in shown(signed_in("ilse").get(address, session()))


def test_the_lead_adds_and_takes_out_and_is_told_what_it_costs(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    band = Band.objects.filter(bird_id=garden["Kelp"], kind="colour").first()
    assert band is not None
    BandCheck.objects.create(
        band=band, condition="tight", happened_at=timezone.now(), recorded_by_id=garden.actors.tilda
    )
    lead, address = signed_in("maren"), f"/catch-up/{garden.shingle}/"
    kelp, thrift = garden["Kelp"], garden["Thrift"]
    proposal = shown(lead.get(address, session()))
    costs = dict(re.findall(r'aria-label="([^"]+)">[^<]+</a> ([^<]+)\.', proposal))
    assert costs["Add: Thrift"] == "settles as much, 2 minutes more"
    # The chase 5, the usual look 2, the tight band 3, the look-alike 3.
    assert costs["Take out: Kelp"] == "settles less, 13 minutes fewer"
    wished = {**session(), "add": [thrift]}
    changed = shown(lead.get(address, wished))
    assert "Changed by the lead:</b> against the proposal it settles as much, 2 minutes more." in changed
    assert lead.post(f"{address}keep/", wished).status_code == 302
    assert set(CatchUp.objects.get().birds.values_list("bird_id", flat=True)) == {kelp, thrift}
    without = shown(lead.get(address, {**session(), "out": [kelp]}))
    assert "taken out by the lead" in without
    assert lead.get(address, {**session(), "add": "x"}).status_code == 200


def test_a_plan_that_catches_nobody_is_not_kept(
    garden: Wendlebrook, nest: NestRow, signed_in: Callable[[str], Client]
) -> None:
    signed_in("maren").post(f"/catch-up/{garden.shingle}/keep/", session())
    assert not CatchUp.objects.exists()


def test_eggs_without_a_number_are_refused_at_the_field_and_written_with_one(
    garden: Wendlebrook, nest: NestRow, signed_in: Callable[[str], Client]
) -> None:
    keeper, address = signed_in("tilda"), f"/deeds/nest_event/?nest={nest.pk}&next=/nests/{garden.shingle}/"
    found = {"deed_id": "9d1c0000-0000-4000-8000-000000000001", "nest": str(nest.pk), "event": "eggs"}
    assert f"/deeds/nest_event/?nest={nest.pk}" in shown(keeper.get(f"/nests/{garden.shingle}/"))
    refused = keeper.post(address, found)
    assert refused.status_code == 422
    assert "say how many" in shown(refused)
    answer = keeper.post(address, {**found, "amount": "4"})
    assert (answer.status_code, answer["Location"]) == (302, f"/nests/{garden.shingle}/")
    assert NestEvent.objects.get().amount == 4
    page = shown(keeper.get(f"/nests/{garden.shingle}/"))
    assert "4 eggs" in page
    put_right = f"/deeds/nest_event/?corrects={found['deed_id']}"
    assert put_right in page
    right = {**found, "deed_id": "9d1c0000-0000-4000-8000-000000000002", "amount": "3"}
    assert keeper.post(put_right, {**right, "why_corrected": "counted a stone"}).status_code == 302
    assert "3 eggs" in shown(keeper.get(f"/nests/{garden.shingle}/"))
    assert NestEvent.objects.count() == 2
    assert signed_in("pia").post(address, found).status_code == 403


def test_below_the_vets_cold_limit_nobody_is_caught_until_two_have_signed(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    lead, vet, address = signed_in("maren"), signed_in("ilse"), f"/catch-up/{garden.shingle}/"
    tight(garden)
    told = {"deed_id": str(uuid4()), "for_day": session()["day"], "high_c": "6", "low_c": "-1"}
    assert lead.post("/deeds/forecast/", told).status_code == 302
    assert "no limit for cold is set" in shown(lead.get(address, session()))
    assert lead.post("/settings/park/", {**park_form(lead), "too_cold_c": "2"}).status_code == 302
    page = shown(lead.get(address, session()))
    assert "Too cold: -1 °C is forecast, and nobody is caught below 2 °C." in page
    assert page.count("too cold</span>") == 1, "the strip says so of that day, and of no other"
    reason = {**session(), "ruled": "cold", "bird": "", "reason": "a tight band, caught indoors"}
    for client in (lead, vet):
        assert client.post(f"{address}sign/", reason).status_code == 302
    assert "Too cold" not in shown(lead.get(address, session()))


def test_a_limit_for_the_cold_that_is_not_below_the_heat_is_refused(
    garden: Wendlebrook, signed_in: Callable[[str], Client]
) -> None:
    lead = signed_in("maren")
    refused = lead.post("/settings/park/", {**park_form(lead), "too_cold_c": "25"})
    assert "25 °C is not below 25 °C, from where it is too hot" in shown(refused)
    told = {"deed_id": str(uuid4()), "for_day": session()["day"], "high_c": "6", "low_c": "9"}
    assert "9 °C is above the highest, 6 °C" in shown(lead.post("/deeds/forecast/", told))


def park_form(client: Client) -> dict[str, str]:
    """What the park's form holds as it is opened."""
    form = client.get("/settings/park/").context["form"]
    return {field.name: str(field.value()) for field in form if field.value() not in (None, "", False)}


def tight(garden: Wendlebrook, bird: str = "Kelp") -> None:
    band = Band.objects.filter(bird_id=garden[bird], kind="colour").first()
    assert band is not None
    BandCheck.objects.create(
        band=band, condition="tight", happened_at=timezone.now(), recorded_by_id=garden.actors.tilda
    )
