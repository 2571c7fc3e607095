"""The record that travels with a bird, read back from its PDF with pypdf."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from django.test import Client
from pypdf import PdfReader

from deeds.test_door import Teller
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]


def printed(client: Client, bird: int) -> str:
    answer = client.get(f"/birds/{bird}/record.pdf")
    assert answer.status_code == 200
    pages = PdfReader(io.BytesIO(answer.content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_a_bird_that_leaves_takes_its_identity_marks_weights_treatments_and_parents_with_it(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    says, kelp = Teller(garden), garden["Kelp"]
    metal = rows.Band.objects.get(bird=kelp, kind="metal").engraving
    says.done("corin", "bird_changed", bird=kelp, dam=garden["Samphire"], sire=garden["Thrift"])
    says.done("ilse", "transponder_given", bird=kelp, number="999000000000123")
    says.done("tilda", "weighed", bird=kelp, weight_g=312.5, where="perch scale", fed=False)
    says.done("tilda", "body_condition", bird=kelp, score=3)
    order = says.done("ilse", "treatment", bird=kelp, what="eye drops", recheck_days=3, rechecks=4)
    ended = says.done("ilse", "treatment", bird=kelp, what="worm dose")
    says.done("ilse", "treatment_ended", treatment=ended.id, because="given once")
    says.done("tilda", "concern", birds=[kelp], seen=["lame"], tell_vet=True)
    says.done("corin", "owner_changed", bird=kelp, owner="Fen Trust", holder="")
    says.done("corin", "departure", bird=kelp, went_to="Marsh Park", stays_ours=True, papers="T 14")
    text = printed(signed_in("corin"), kelp)
    for said in (
        "Kelp",
        metal,
        "999000000000123",
        "Samphire",
        "Thrift",
        "312.5 g",
        "3 of 5",
        "eye drops",
        "lame",
        "Fen Trust",
        "Marsh Park",
        "lent and still ours, papers T 14",
    ):
        assert said in text, said
    assert "worm dose" not in text, "what is over does not travel as going on"
    says.done("ilse", "withdrawn", corrects=order.id, because="another bird's")
    assert "eye drops" not in printed(signed_in("corin"), kelp)


def test_a_bird_of_which_little_is_known_says_so_and_a_viewer_prints_nothing(
    garden: Wendlebrook, signed_in: Browser
) -> None:
    text = printed(signed_in("tilda"), garden["Dock"])
    assert "No case is open." in text
    assert "Never scored here." in text
    assert signed_in("pia").get(f"/birds/{garden['Dock']}/record.pdf").status_code == 403
    assert signed_in("tilda").get("/birds/9999/record.pdf").status_code == 404
