"""The sheet of an exhibit over the web."""

from __future__ import annotations

import io
from datetime import date
from typing import Any

import pytest
from django.test import Client
from pypdf import PdfReader

import wendlebrook
from pages import shown
from tarsus.records.models import CatchUp, CatchUpBird, Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def aviary(db: None) -> Any:
    return wendlebrook.build()


def test_a_keeper_prints_the_sheet_of_an_exhibit(client: Client, aviary: Any) -> None:
    client.force_login(
        Person.objects.get(pk=aviary.actors.tilda), backend="django.contrib.auth.backends.ModelBackend"
    )
    answer = client.get(f"/exhibits/{aviary.shingle}/sheet.pdf")
    assert answer["Content-Type"] == "application/pdf"
    said = "".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
    assert "Samphire" in said


def test_an_exhibit_that_is_not_there_has_no_sheet(client: Client, aviary: Any) -> None:
    client.force_login(
        Person.objects.get(pk=aviary.actors.tilda), backend="django.contrib.auth.backends.ModelBackend"
    )
    assert client.get("/exhibits/99999/sheet.pdf").status_code == 404


def test_a_stranger_is_asked_to_sign_in(client: Client, aviary: Any) -> None:
    assert client.get(f"/exhibits/{aviary.shingle}/sheet.pdf").status_code == 302


def said_by(answer: Any) -> str:
    return "".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)


def test_everybody_prints_the_band_chart_on_either_paper(client: Client, aviary: Any) -> None:
    pia = Person.objects.get(pk=aviary.actors.pia)
    client.force_login(pia, backend="django.contrib.auth.backends.ModelBackend")
    for size in ("a4", "a3"):
        answer = client.get(f"/exhibits/{aviary.shingle}/bands-{size}.pdf")
        assert answer["Content-Type"] == "application/pdf"
        assert "Samphire" in said_by(answer)
    for address in (f"/exhibits/{aviary.shingle}/bands-a9.pdf", "/exhibits/99999/bands-a4.pdf"):
        assert client.get(address).status_code == 404


def test_a_keeper_prints_kit_and_cards_of_a_catch_up(client: Client, aviary: Any) -> None:
    plan = CatchUp.objects.create(
        exhibit_id=aviary.shingle, planned_for=date(2026, 6, 11), planned_by_id=aviary.actors.maren
    )
    CatchUpBird.objects.create(catch_up=plan, bird_id=aviary["Kelp"], why=["Weigh Kelp."])
    for login, status in (("pia", 403), ("tilda", 200)):
        person = Person.objects.get(login=login)
        client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        answer = client.get(f"/catch-up/kept/{plan.pk}/cards.pdf")
        assert answer.status_code == status
    said = " ".join(said_by(answer).split())
    assert "Thursday 11 June 2026, from 05:15" in said
    assert "Weigh Kelp." in said
    assert client.get("/catch-up/kept/999/cards.pdf").status_code == 404
    assert f"/catch-up/kept/{plan.pk}/cards.pdf" in shown(client.get(f"/catch-up/kept/{plan.pk}/"))
