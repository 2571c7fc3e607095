"""The sheet of an exhibit over the web."""

from __future__ import annotations

import io
from typing import Any

import pytest
from django.test import Client
from pypdf import PdfReader

import wendlebrook
from tarsus.records.models import Person

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
