"""Export on a page: who may, in which forms, what is observed and what stays here."""

from __future__ import annotations

import csv
import io
import json
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import openpyxl
import pytest
from django.test import Client
from django.urls import reverse

from pages import shown
from tarsus.records.models import Park, Sighting, Withdrawal
from wendlebrook import MORNING, Wendlebrook

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]


def body(answer: Any) -> bytes:
    assert answer.status_code == 200
    return b"".join(answer.streaming_content)


def seen(garden: Wendlebrook, name: str, how: str = "by sight", **more: Any) -> Sighting:
    return Sighting.objects.create(
        **{
            "id": uuid4(),
            "recorded_by_id": garden.actors.tilda,
            "happened_at": MORNING,
            "exhibit_id": garden.shingle,
            "bird_id": garden[name],
            "lookalike": "avocet",
            "how": how,
            "reading": {"left tibia": ["metal"]},
            "accepted_by_id": garden.actors.tilda,
            **more,
        }
    )


@pytest.mark.parametrize("login", ["pia", "tilda", "maren", "ilse"])
def test_only_the_records_office_exports(login: str, garden: Wendlebrook, signed_in: Browser) -> None:
    client = signed_in(login)
    assert client.post("/export/", {"form": "json", "what": ""}).status_code == 403
    assert 'href="/export/"' not in shown(client.get("/"))


def whole(records: Client, form: str) -> bytes:
    """Everything, written in the background and fetched from the page of the work."""
    asked = records.post("/export/", {"form": form, "what": ""})
    assert asked.status_code == 302
    job_id = UUID(asked["Location"].strip("/").rpartition("/")[2])
    for thread in threading.enumerate():
        if thread.name == f"job {job_id}":
            thread.join(60)
    page = records.get(asked["Location"])
    assert "Refresh" not in page, "it is over"
    address = reverse("job-file", args=[job_id])
    assert address in shown(page), page.content.decode()
    return body(records.get(address))


@pytest.mark.django_db(transaction=True)
def test_everything_goes_out_in_each_form_and_no_secret(
    transactional_db: None, garden: Wendlebrook, signed_in: Browser, tmp_path: Path, settings: Any
) -> None:
    settings.HOME = tmp_path
    records = signed_in("corin")
    assert 'href="/export/"' in shown(records.get("/"))
    assert "Everything" in shown(records.get("/export/"))
    told = json.loads(whole(records, "json"))
    assert [row["name"] for row in told["birds"]][:2] == ["Samphire", "Kelp"]
    assert [row["sites"] for row in told["species"]] == [
        ["left tibia", "right tibia"],
        ["left leg", "right leg"],
    ]
    assert "password" not in told["person"][0]
    book = openpyxl.load_workbook(io.BytesIO(whole(records, "xlsx")))
    assert book["bird"].max_row == len(told["bird"]) + 1
    page = shown(records.get("/export/"))
    assert page.count("Writing tarsus-") >= 2, "what was written today is found again"
    assert "Asked for within a day" in page
    assert "Asked for within a day" not in shown(signed_in("dunstan").get("/export/"))


def test_one_table_goes_out_as_csv(garden: Wendlebrook, signed_in: Browser) -> None:
    answer = signed_in("corin").post("/export/", {"form": "csv", "what": "exhibit"})
    assert answer["Content-Disposition"].startswith('attachment; filename="exhibit-')
    rows = list(csv.DictReader(io.StringIO(body(answer).decode("utf-8-sig"))))
    assert [row["name"] for row in rows] == ["Shingle Aviary", "Reed House"]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"form": "csv", "what": ""}, "A CSV file holds one table; choose which"),
        ({"form": "pdf", "what": ""}, "This is none of the choices"),
        ({"form": "json", "what": "moods"}, "This is none of the choices"),
    ],
)
def test_what_cannot_be_written_is_refused_with_a_remedy(
    asked: dict[str, str], said: str, garden: Wendlebrook, signed_in: Browser
) -> None:
    answer = signed_in("corin").post("/export/", asked)
    assert answer.status_code == 422
    assert said in shown(answer)


def test_occurrences_are_what_was_observed_and_stands(garden: Wendlebrook, signed_in: Browser) -> None:
    kept = seen(garden, "Kelp", chance=1.0)
    read = seen(garden, "Sedge", "by reading", chance=0.97, place_id=garden.north_spit)
    seen(garden, "Thrift", "by reading", chance=0.7)
    seen(garden, "Marram", "inferred", chance=0.99)
    gone = seen(garden, "Samphire")
    Withdrawal.objects.create(
        id=uuid4(),
        recorded_by_id=garden.actors.tilda,
        happened_at=MORNING,
        withdraws=gone.pk,
        kind="sighting",
        because="it was Kelp",
    )
    answer = signed_in("corin").post("/export/", {"form": "csv", "what": "occurrences"})
    rows = list(csv.DictReader(io.StringIO(body(answer).decode("utf-8-sig"))))
    assert {row["occurrenceID"] for row in rows} == {f"urn:uuid:{kept.pk}", f"urn:uuid:{read.pk}"}
    sedge = next(row for row in rows if row["organismName"] == "Sedge")
    assert sedge["eventDate"] == "2026-06-11T07:41:00+01:00"
    assert sedge["locality"] == "Wendlebrook Bird Garden, Shingle Aviary, north spit"
    assert (sedge["sex"], sedge["recordedBy"]) == ("female", "Tilda")
    Park.objects.update(invented=True)
    invented = body(signed_in("corin").post("/export/", {"form": "csv", "what": "occurrences"})).decode()
    assert invented.count("(invented),HumanObservation") == 2, "nobody takes a demo for observations"
