"""Two phones at the same moment: what both send is written once, what both want is given once."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from threading import Barrier
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection

import wendlebrook
from phones import Phone
from tarsus.actions.bands.fitting import NewBand, fit_band
from tarsus.actions.care.cases import sign_reason
from tarsus.actions.facts import hear_facts
from tarsus.actions.refusals import AlreadySo
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def garden(transactional_db: None) -> Wendlebrook:
    return wendlebrook.build()


def at_once(*deeds: Callable[[], Any]) -> list[Any]:
    """Run deeds on connections of their own, all beginning at the same moment; refusals are answers too."""
    start = Barrier(len(deeds))

    def run(deed: Callable[[], Any]) -> Any:
        start.wait(timeout=20)
        try:
            return deed()
        except AlreadySo as refusal:
            return str(refusal)
        finally:
            connection.close()

    with ThreadPoolExecutor(len(deeds)) as pool:
        return [one.result(timeout=60) for one in [pool.submit(run, deed) for deed in deeds]]


def test_a_batch_sent_on_two_connections_is_written_once(garden: Wendlebrook) -> None:
    phone = Phone(garden, garden.actors.tilda)
    facts = [phone.started(), phone.count("avocet", 4)]
    facts += [phone.sighting(name) for name in ("Kelp", "Sedge", "Thrift", "Samphire", "Marram")]
    facts.append(phone.fact("concern", birds=[garden["Kelp"]], seen=["lame"], tell_vet=True))

    def send() -> list[str]:
        told = hear_facts(facts=facts, clock=None, device="p", speaker=garden.actors.tilda)
        return [answer.outcome for answer in told]

    answers = at_once(send, send, send)
    for outcomes in zip(*answers, strict=True):
        assert sorted(outcomes) == ["known", "known", "written"]
    assert rows.Sighting.objects.count() == 5
    assert rows.Case.objects.count() == 1


def test_one_number_goes_to_one_bird(garden: Wendlebrook) -> None:
    metal = NewBand(site="left leg", kind="metal", engraving="WB 40001", series="WB")

    def fit(bird: str) -> Callable[[], Any]:
        return lambda: fit_band(bird_id=garden[bird], band=metal, on=DAY, by=garden.actors.tilda)

    answers = at_once(fit("Dock"), fit("Teasel"), fit("Burdock"))
    refused = [one for one in answers if isinstance(one, str)]
    assert len(refused) == 2
    assert all("WB 40001 is" in one for one in refused)
    assert rows.Band.objects.filter(engraving_key="WB40001").count() == 1


def test_one_form_sent_twice_at_once_fits_one_band(garden: Wendlebrook) -> None:
    deed = uuid4()
    band = NewBand(site="left leg", kind="colour", colour="pink")

    def fit() -> int:
        told = {"bird_id": garden["Dock"], "band": band, "on": DAY, "by": garden.actors.tilda}
        return fit_band(**told, deed=deed).band_id

    first, second = at_once(fit, fit)
    assert first == second
    assert rows.Band.objects.filter(deed=deed).count() == 1


def test_two_rounds_begun_at_once_both_stand(garden: Wendlebrook) -> None:
    phones = [Phone(garden, garden.actors.tilda), Phone(garden, garden.actors.oswin)]
    told = at_once(*(lambda p=phone: p.send(p.started(), p.sighting("Kelp")) for phone in phones))
    assert told == [["written", "written"], ["written", "written"]]
    assert rows.RoundStarted.objects.filter(happened_at__gte=datetime(2026, 6, 11, tzinfo=UTC)).count() == 2


def test_two_who_sign_at_once_lose_neither_signature(garden: Wendlebrook) -> None:
    def sign(by: int) -> Callable[[], bool]:
        told = {"ruled": "heat", "exhibit_id": garden.shingle, "for_day": DAY, "reason": "a tight band"}
        return lambda: sign_reason(**told, by=by)

    answers = at_once(sign(garden.actors.ilse), sign(garden.actors.maren))
    assert sorted(answers) == [False, True], "the second of them is told that it holds"
    row = rows.SignedReason.objects.get()
    assert (row.vet_id, row.lead_id) == (garden.actors.ilse, garden.actors.maren)


def test_two_who_sign_at_once_through_the_door_lose_neither_signature_nor_line(garden: Wendlebrook) -> None:
    said = {
        "ruled": "cold",
        "exhibit": garden.shingle,
        "for_day": f"{DAY:%Y-%m-%d}",
        "reason": "a tight band",
    }

    def sign(by: int) -> Callable[[], list[str]]:
        fact = {"id": str(uuid4()), "kind": "reason_signed", "at": "2026-06-11T06:00:00Z", "by": by, **said}
        return lambda: [
            answer.outcome for answer in hear_facts(facts=[fact], clock=None, device="", speaker=by)
        ]

    assert at_once(sign(garden.actors.maren), sign(garden.actors.ilse)) == [["written"], ["written"]]
    row = rows.SignedReason.objects.get()
    assert (row.vet_id, row.lead_id) == (garden.actors.ilse, garden.actors.maren)
    assert rows.ToldDeed.objects.filter(kind="reason_signed").count() == 2


def test_two_who_sign_one_month_at_once_both_stand(garden: Wendlebrook) -> None:
    def sign(by: int) -> Callable[[], list[str]]:
        fact = {"id": str(uuid4()), "kind": "inventory_signed", "at": "2026-06-11T06:00:00Z", "by": by}
        told = {**fact, "month": "2026-05-01"}
        return lambda: [
            answer.outcome for answer in hear_facts(facts=[told], clock=None, device="", speaker=by)
        ]

    answers = at_once(sign(garden.actors.corin), sign(garden.actors.dunstan))
    assert answers == [["written"], ["written"]]
    signed = rows.PrintedInventory.objects.values_list("printed_by_id", flat=True)
    assert set(signed) == {garden.actors.corin, garden.actors.dunstan}
