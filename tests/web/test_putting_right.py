"""What was written down wrong is put right where it shows: who, when, why, and what it was before."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from deeds.test_door import Teller
from pages import shown
from tarsus.queries.bird_events import events_of
from tarsus.queries.flock import sexes_of
from tarsus.records import models as rows
from tarsus.records.standing import standing
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]


@pytest.fixture
def says(garden: Wendlebrook) -> Teller:
    return Teller(garden)


def link_at(client: Client, page: str, fact: str) -> str:
    """Where the line of a fact leads to be put right, as the page itself says."""
    text = unescape(shown(client.get(page)))
    links = sorted(set(re.findall(rf'href="(/deeds/\w+/\?corrects={fact}[^"]*)"', text)))
    # Beside the line itself a duty may ask to take it back altogether.
    return str(next((link for link in links if "/withdrawn/" not in link), links[0]))


def put_right(client: Client, page: str, fact: str, **said: Any) -> str:
    """Open the form from the line, send it, and read the page again."""
    link = link_at(client, page, fact)
    form = client.get(link)
    assert form.status_code == 200, link
    sent = {"deed_id": str(uuid4()), "sure": "yes", "corrects": fact, **said}
    answer = client.post(link, sent, follow=True)
    assert answer.status_code == 200, answer.content.decode()[:3000]
    return text_of(client, page)


def text_of(client: Client, page: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", shown(client.get(page)))).split())


def named(garden: Wendlebrook, bird: str) -> None:
    """Every line of a bird's history names a person."""
    assert not [event.text for event in events_of(garden[bird]) if not event.who]


def test_a_weight(garden: Wendlebrook, says: Teller, signed_in: Browser) -> None:
    kelp = garden["Kelp"]
    wrong = says.done("tilda", "weighed", bird=kelp, weight_g=3100, where="perch scale")
    page = put_right(
        signed_in("tilda"), f"/birds/{kelp}/", wrong.id, bird=kelp, weight_g="310", where="perch scale",
        why_corrected="a nought too many",
    )  # fmt: skip
    assert "Weighed 310 g" in page
    assert "Before: Weighed 3100 g, it walked onto the scale. a nought too many" in page
    assert [one.weight_g for one in standing(rows.Weighing.objects.filter(bird=kelp))] == [310]
    named(garden, "Kelp")


def test_a_move(garden: Wendlebrook, says: Teller, signed_in: Browser) -> None:
    kelp, sedge = garden["Kelp"], garden["Sedge"]
    wrong = says.done("tilda", "moved", came=[kelp, sedge], to_exhibit=garden.reed)
    client = signed_in("corin")
    page = put_right(
        client, f"/birds/{kelp}/", wrong.id, came=[sedge], to_exhibit=garden.reed,
        why_corrected="Kelp would not come",
    )  # fmt: skip
    home = {
        stay.bird_id: stay.exhibit_id for stay in rows.Stay.objects.filter(to_on=None, taken_back_at=None)
    }
    assert (home[kelp], home[sedge]) == (garden.shingle, garden.reed)
    assert "Came to live in Reed House. Tilda. Taken back by Corin: Kelp would not come" in page
    assert "Kelp would not come" in page
    there = text_of(client, f"/birds/{sedge}/")
    assert "Before: Moved to" in there
    named(garden, "Kelp")
    named(garden, "Sedge")


def test_a_sex_finding(garden: Wendlebrook, says: Teller, signed_in: Browser) -> None:
    kelp = garden["Kelp"]
    wrong = says.done("ilse", "sex_finding", bird=kelp, sex="F", known_by="DNA", at=f"{DAY}T12:00:00+01:00")
    page = put_right(
        signed_in("corin"), f"/birds/{kelp}/", wrong.id, bird=kelp, sex="M", known_by="DNA",
        why_corrected="the tubes were exchanged",
    )  # fmt: skip
    assert sexes_of([kelp], DAY)[kelp] == ("M", "DNA")
    assert "Before: Female, DNA. the tubes were exchanged" in page
    named(garden, "Kelp")


def test_a_death_of_another_bird_stays_readable_in_both_histories(
    garden: Wendlebrook, says: Teller, signed_in: Browser
) -> None:
    kelp, sedge, client = garden["Kelp"], garden["Sedge"], signed_in("corin")
    wrong = says.done("tilda", "death", bird=kelp, exhibit=garden.shingle, found_by="Tilda")
    page = put_right(
        client, f"/birds/{kelp}/", wrong.id, bird=sedge, exhibit=garden.shingle, found_by="Tilda",
        why_corrected="the transponder says so",
    )  # fmt: skip
    alive = set(rows.Stay.objects.filter(to_on=None, taken_back_at=None).values_list("bird_id", flat=True))
    assert kelp in alive
    assert sedge not in alive
    assert "Found dead by Tilda. Tilda. Taken back by Corin: the transponder says so" in page
    assert "the transponder says so" in page
    there = text_of(client, f"/birds/{sedge}/")
    assert "Before: Found dead by Tilda" in there
    named(garden, "Sedge")


def test_a_handling_is_taken_back_whole_and_told_again(
    garden: Wendlebrook, says: Teller, signed_in: Browser
) -> None:
    kelp, client = garden["Kelp"], signed_in("tilda")
    wrong = says.done("tilda", "handling", bird=kelp, why="catch-up", weight_g=300, condition="thin")
    page = put_right(client, f"/birds/{kelp}/", wrong.id, because="that was Sedge")
    assert "Taken back by Tilda: that was Sedge" in page
    assert not standing(rows.Handling.objects.filter(bird=kelp)).exists()
    assert not standing(rows.Weighing.objects.filter(bird=kelp)).exists()
    named(garden, "Kelp")


def test_a_nest_event(garden: Wendlebrook, says: Teller, signed_in: Browser) -> None:
    said = {"exhibit": garden.shingle, "name": "spit 1", "species": garden.avocet}
    nest = says.done("tilda", "nest_begun", **said).wrote["nest"]
    wrong = says.done("tilda", "nest_event", nest=nest, event="eggs", amount=5)
    page = f"/nests/{garden.shingle}/"
    text = put_right(
        signed_in("tilda"),
        page,
        wrong.id,
        nest=nest,
        event="eggs",
        amount="4",
        why_corrected="one was a stone",
    )
    assert "4 eggs" in text
    assert "Before: spit 1: eggs, so many now, 5. one was a stone" in text.replace("Spit 1", "spit 1")
    gone = standing(rows.NestEvent.objects.filter(nest=nest)).get()
    taken = put_right(
        signed_in("tilda"), page, str(gone.pk), nest=nest, event="checked", why_corrected="no eggs"
    )
    assert "no eggs" in taken
    assert "Nothing in it by the record" in taken


@pytest.mark.parametrize(
    ("by", "kind", "said", "then", "before"),
    [
        (
            "tilda",
            "health_check",
            {"well": False, "found": "limps"},
            {"found": "limps left"},
            "Health check: limps",
        ),
        ("tilda", "whereabouts", {"state": "escaped"}, {"state": "missing"}, "Escaped"),
        ("tilda", "body_condition", {"score": 1}, {"score": "2"}, "Body condition 1"),
        ("tilda", "note", {"text": "bold"}, {"text": "shy"}, "Bold"),
        ("maren", "departure", {"went_to": "Fen"}, {"went_to": "Marsh"}, "Left for Fen"),
        ("ilse", "treatment", {"what": "drops"}, {"what": "salve"}, "Treatment: drops"),
        ("maren", "owner_changed", {"owner": "Fen"}, {"owner": "Marsh"}, "Owned by Fen"),
    ],
)
def test_other_lines_of_a_birds_page(
    by: str, kind: str, said: dict[str, Any], then: dict[str, Any], before: str,
    garden: Wendlebrook, says: Teller, signed_in: Browser,
) -> None:  # fmt: skip
    kelp = garden["Kelp"]
    wrong = says.done(by, kind, bird=kelp, **said)
    page = put_right(
        signed_in(by), f"/birds/{kelp}/", wrong.id, bird=kelp, **{**then, "why_corrected": "misheard"}
    )
    assert f"Before: {before}" in page
    assert "misheard" in page
    named(garden, "Kelp")


def test_an_arrival_is_put_right_in_its_own_line_and_every_link_of_the_page_opens(
    garden: Wendlebrook, says: Teller, signed_in: Browser
) -> None:
    bird = says.done("corin", "bird_added", species=garden.avocet, house_name="Rush").wrote["bird"]
    wrong = says.done("corin", "arrival", bird=bird, came_from="Fen", exhibit=garden.reed)
    client, page = signed_in("corin"), f"/birds/{bird}/"
    for link in re.findall(r'href="(/deeds/[^"]+)"', unescape(shown(client.get(page)))):
        assert client.get(link).status_code == 200, link
    told = put_right(
        client, page, wrong.id, bird=bird, came_from="Marsh", exhibit=garden.shingle, why_corrected="misheard"
    )
    assert "Before: Arrived from Fen" in told
    assert rows.Stay.objects.get(bird=bird, taken_back_at=None).exhibit_id == garden.shingle


def test_a_word_in_a_case_is_put_right_where_the_case_stands(
    garden: Wendlebrook, says: Teller, signed_in: Browser
) -> None:
    kelp = garden["Kelp"]
    case = says.done("tilda", "case_opened", birds=[kelp], about="lame").wrote["case"]
    wrong = says.done("tilda", "case_note", case=case, text="Left leg.")
    text = put_right(
        signed_in("tilda"), f"/birds/{kelp}/", wrong.id, case=case, text="Right leg.", why_corrected="my left"
    )
    assert "Right leg." in text
    assert "Before: Case: Left leg." in text
