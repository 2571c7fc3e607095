"""The relief keeper's brief of an exhibit: what stands on it, and that nothing of another exhibit does."""

from __future__ import annotations

import io
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone
from pypdf import PdfReader

from phones import Shift
from tarsus.queries.relief_brief import brief_of
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db


def parts_of(park: Wendlebrook, exhibit: int) -> dict[str, tuple[str, ...]]:
    now = timezone.now()
    brief = brief_of(exhibit, now, now - timedelta(days=2))
    assert brief is not None
    return {title.split(" since")[0]: lines for title, lines in brief.parts}


def test_who_is_missing_where_likely_and_who_is_with_the_vet(park: Wendlebrook) -> None:
    shift, now = Shift(park), timezone.now()
    for days, place in ((9, park.north_spit), (8, park.south_pool), (7, park.south_pool)):
        at = now - timedelta(days=days)
        shift.done(
            "tilda", "sighting", at=at, exhibit=park.shingle, bird=park["Kelp"], how="by sight", place=place
        )
    case = shift.done("tilda", "case_opened", birds=[park["Sedge"], park["Thrift"]], about="wing low").wrote[
        "case"
    ]
    shift.done("ilse", "instruction", case=case, text="read the right leg")
    brief = brief_of(park.shingle, now, now - timedelta(days=2))
    assert brief is not None
    (kelp,) = [one for one in brief.look_for if one.name == "Kelp"]
    assert (kelp.urgent, kelp.said) == (True, "6 days, limit 3; south pool, then north spit.")
    (case_line,) = brief.vet
    assert case_line.name == "Sedge and Thrift"
    assert case_line.said == "One of these: wing low. Keepers: read the right leg"
    assert sorted(marks.as_mapping()["right tibia"] for marks in case_line.marks) == [
        ["green", "yellow"],
        ["red", "white"],
    ]
    assert {count.name: (count.on_roll, count.mfu) for count in brief.counts} == {
        "avocet": (5, "2.3.0"),
        "ruff": (3, "1.1.1"),
    }
    assert brief_of(park.reed, now, now).vet == ()  # type: ignore[union-attr]  # the exhibit is there
    assert brief_of(987, now, now) is None


def test_news_notes_and_nests_are_those_of_the_exhibit(park: Wendlebrook) -> None:
    shift = Shift(park)
    shift.done("maren", "departure", bird=park["Kelp"], went_to="Saltmere")
    shift.done("tilda", "shift_note", text="hide\nkey is back", exhibit=park.shingle)
    shift.done("tilda", "shift_note", text="gate sticks")
    shift.done("tilda", "shift_note", text="net torn", exhibit=park.reed)
    shift.done("tilda", "shift_note", text="see me", people=[park.actors.oswin])
    shift.done(
        "maren", "nest_begun", exhibit=park.shingle, name="spit one", species=park.avocet, forbids_chase=True
    )
    here, there = parts_of(park, park.shingle), parts_of(park, park.reed)
    assert any(line.startswith("Gone: Kelp: to Saltmere") for line in here["New"])
    assert not there["New"]
    assert [line.split(" (")[0] for line in here["Notes"]] == ["gate sticks", "hide key is back"]
    assert [line.split(" (")[0] for line in there["Notes"]] == ["net torn", "gate sticks"]
    away = ("spit one: pied avocet; nobody is caught in this exhibit while it lasts.",)
    assert (here["Keep away, do not catch"], there["Keep away, do not catch"]) == (away, ())


def test_what_is_due_is_what_is_due_in_the_exhibit(park: Wendlebrook) -> None:
    band = rows.Band.objects.get(bird_id=park["Dock"], colour__name="lime").pk
    Shift(park).done("tilda", "band_checked", band=band, conditions=["tight"])
    due = parts_of(park, park.shingle)["Due"]
    assert any("Dock" in line for line in due), due
    assert not any("Dock" in line for line in parts_of(park, park.reed)["Due"])


def test_the_paper_is_one_page_and_is_offered_where_an_exhibit_is_shown(
    park: Wendlebrook, client: Client
) -> None:
    client.force_login(
        rows.Person.objects.get(login="pia"), backend="django.contrib.auth.backends.ModelBackend"
    )
    address = f"/exhibits/{park.shingle}/brief.pdf"
    for page in (f"/exhibits/{park.shingle}/", "/since/"):
        assert address in client.get(page).content.decode()
    answer = client.get(f"{address}?from=2026-06-01")
    assert answer["Content-Type"] == "application/pdf"
    (page,) = PdfReader(io.BytesIO(answer.content)).pages
    assert "Shingle Aviary" in page.extract_text()
    assert client.get("/exhibits/987/brief.pdf").status_code == 404


def test_a_departure_that_is_told_late_is_news_of_where_the_bird_lived(park: Wendlebrook) -> None:
    began = timezone.now() - timedelta(minutes=1)
    left = timezone.now() - timedelta(days=9)
    Shift(park).done("maren", "departure", at=left, bird=park["Kelp"], went_to="Saltmere")
    news = {}
    for exhibit in (park.shingle, park.reed):
        brief = brief_of(exhibit, timezone.now(), began)
        assert brief is not None
        news[exhibit] = next(lines for title, lines in brief.parts if title.startswith("New since"))
    assert any(line.startswith("Gone: Kelp: to Saltmere") for line in news[park.shingle])
    assert news[park.reed] == ()


def test_a_short_count_that_points_at_nobody_is_told(park: Wendlebrook) -> None:
    shift = Shift(park)
    begun = uuid4()
    shift.done("tilda", "round_started", round=str(begun), exhibit=park.shingle)
    shift.done("tilda", "count", round=str(begun), lookalike="avocet", counted=3)
    brief = brief_of(park.shingle, timezone.now(), timezone.now() - timedelta(days=2))
    assert brief is not None
    parts = dict(brief.parts)
    assert [line for line in parts["Short at the last count"] if line.startswith("Avocet: 3 counted of ")], (
        parts
    )


def test_an_invented_park_is_said_to_be_one_on_paper(park: Wendlebrook) -> None:
    rows.Park.objects.update(invented=True)
    brief = brief_of(park.shingle, timezone.now(), timezone.now() - timedelta(days=2))
    assert brief is not None
    assert brief.park.endswith("(invented)")
