"""A visitor's report stands on Today and on the exhibit until somebody has looked."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from uuid import uuid4

import pytest
from django.test import Client

from pages import shown
from phones import Phone
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

Browser = Callable[[str], Client]


@pytest.fixture(autouse=True)
def evening_of_11_june(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: datetime(2026, 6, 11, 18, 0, tzinfo=UTC))


@pytest.fixture
def told(garden: Wendlebrook) -> str:
    phone = Phone(garden, garden.actors.tilda)
    birds = [garden["Teasel"], garden["Burdock"]]
    fact = phone.fact("report", said="orange on a wing, service road", birds=birds)
    assert phone.send(fact) == ["written"]
    return str(fact["id"])


def text_of(client: Client, address: str) -> str:
    return shown(client.get(address))


def test_a_report_asks_for_a_look_on_today_and_on_its_birds_exhibit_only(
    told: str, garden: Wendlebrook, signed_in: Browser
) -> None:
    client = signed_in("oswin")
    for address in ("/", f"/exhibits/{garden.shingle}/"):
        shown = text_of(client, address)
        assert "Visitor report: orange on a wing, service road" in shown
        assert "A visitor, heard" in shown
        assert "clears nobody" in shown
    assert "orange on a wing" not in text_of(client, f"/exhibits/{garden.reed}/")
    assert f"report_answered/?report={told}" in text_of(client, "/")
    assert "report_answered" not in text_of(signed_in("pia"), "/"), "a viewer looks only"


def test_a_look_that_is_told_closes_it_once(told: str, garden: Wendlebrook, signed_in: Browser) -> None:
    client, at = signed_in("oswin"), f"/deeds/report_answered/?report={told}&next=/"
    assert "orange on a wing, service road" in text_of(client, at), "the form says which report"
    said = {"deed_id": str(uuid4()), "report": told, "found": "both on the south pool"}
    assert client.post(at, {**said, "found": ""}).status_code == 422
    for _ in range(2):
        assert client.post(at, said).status_code == 302
    assert [row.found for row in rows.ReportAnswered.objects.all()] == ["both on the south pool"]
    assert "Visitor report: orange on a wing" not in text_of(client, "/")
    assert signed_in("pia").post(at, said).status_code == 403
    assert rows.ReportAnswered.objects.count() == 1
