"""The page of samples: sent, answered by hand or by a laboratory's file, and results of no sample."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from pages import shown
from tarsus.actions.facts import Answer, hear_facts
from tarsus.queries.bird_events import events_of
from tarsus.queries.duties import duties_of_bird, duties_of_park
from tarsus.records import models as rows
from wendlebrook import MORNING, Wendlebrook

pytestmark = pytest.mark.django_db
Browser = Callable[[str], Client]
NOW = datetime.now(tz=MORNING.tzinfo)


def tell(garden: Wendlebrook, by: str, kind: str, **said: Any) -> Answer:
    person = getattr(garden.actors, by)
    fact = {"id": str(uuid4()), "kind": kind, "at": MORNING.isoformat(), "by": person, **said}
    (answer,) = hear_facts(facts=[fact], clock=None, device="", speaker=person)
    assert answer.outcome == "written", answer.reason
    return answer


@pytest.fixture
def samples(garden: Wendlebrook) -> dict[str, str]:
    """Dock's tube S-17 and Burdock's S-18, taken and still here."""
    return {
        name: tell(garden, "tilda", "sex_sample", bird=garden[name], sample="feather", label=label).id
        for name, label in (("Dock", "S-17"), ("Burdock", "S-18"))
    }


def body(answer: Any) -> str:
    return shown(answer)


def kinds(bird: int) -> list[str]:
    return [duty.kind for duty in duties_of_bird(bird, NOW)]


def sent_file(client: Client, text: str) -> str:
    file = SimpleUploadedFile("june.csv", text.encode())
    answer = client.post("/samples/file/", {"file": file}, follow=True)
    return body(answer)


def test_a_sample_is_sent_from_the_page_and_its_duty_goes(
    garden: Wendlebrook, samples: dict[str, str], signed_in: Browser
) -> None:
    keeper, dock = signed_in("tilda"), garden["Dock"]
    assert kinds(dock) == ["sample to send"]
    assert "Still here" in body(keeper.get("/samples/"))
    keeper.post("/samples/send/", {"test": samples["Dock"], "laboratory": "Fenland Laboratory"})
    page = body(keeper.get("/samples/"))
    assert "Fenland Laboratory, since" in page
    assert "/samples/file/" not in page, "a keeper sends and does not sex"
    assert "sample to send" not in kinds(dock)
    assert "sample to send" in kinds(garden["Burdock"])


def test_the_form_of_its_sex_asks_for_the_sample_and_names_the_only_one(
    garden: Wendlebrook, samples: dict[str, str], signed_in: Browser
) -> None:
    page = body(signed_in("corin").get(f"/deeds/sex_finding/?bird={garden['Dock']}"))
    assert f'<option value="{samples["Dock"]}" selected>' in page
    assert samples["Burdock"] not in page, "another bird's sample is none of this one's"
    said = {"deed_id": str(uuid4()), "bird": garden["Dock"], "sex": "M", "known_by": "DNA"}
    refused = body(signed_in("corin").post(f"/deeds/sex_finding/?bird={garden['Dock']}", said))
    assert "sample S-17 waits for its result" in refused


def test_a_file_is_looked_at_before_it_is_told(
    garden: Wendlebrook, samples: dict[str, str], signed_in: Browser
) -> None:
    office = signed_in("corin")
    shown = sent_file(office, "Sample,Result\ns-17,male\nS-99,female\nS-18,failed\nS-20,\n")
    assert "Nothing is written yet" in shown
    assert not rows.SexFinding.objects.filter(bird_id=garden["Dock"]).exists()
    assert "Is no sample of ours: becomes a question" in shown
    told = body(office.post("/samples/results/", {"laboratory": "Fenland Laboratory"}, follow=True))
    assert "june.csv: 1 sexed, 1 without an answer, 1 not ours" in told
    finding = rows.SexFinding.objects.get(bird_id=garden["Dock"])
    assert (finding.sex, finding.known_by, str(finding.test_id)) == ("M", "DNA", samples["Dock"])
    assert "sample to send" not in kinds(garden["Burdock"])
    again = sent_file(office, "Sample,Result\nS-17,male\nS-99,female\nS-18,failed\n")
    assert again.count("Not written.") == 3, "the same file twice tells nothing twice"
    assert "Save" not in again.split("<form method")[-1]


def test_a_file_that_says_two_things_of_one_sample_tells_neither(
    garden: Wendlebrook, samples: dict[str, str], signed_in: Browser
) -> None:
    office = signed_in("corin")
    shown = sent_file(office, "Sample,Result\nS-17,male\nS-17,female\n")
    assert shown.count("Stands in this file twice with different results") == 2
    tell(garden, "maren", "sex_finding", bird=garden["Burdock"], sex="F", known_by="plumage")
    shown = sent_file(office, "Sample,Result\nS-18,male\n")
    assert "The record says female, plumage: look at both" in shown
    office.post("/samples/results/", {"leave": "yes"})
    assert not rows.SexFinding.objects.filter(known_by="DNA", bird_id=garden["Dock"]).exists()


def test_a_result_for_no_sample_is_a_question_until_somebody_answers(
    garden: Wendlebrook, samples: dict[str, str], signed_in: Browser
) -> None:
    office = signed_in("corin")
    sent_file(office, "Sample,Result\nS-71,male\n")
    office.post("/samples/results/", {})
    (asked,) = (duty for duty in duties_of_park(NOW) if duty.kind == "result for no sample")
    assert asked.what == "Say whose sample S-71 was."
    question = asked.subject.removeprefix("question ")
    address = f"/deeds/result_placed/?question={question}"
    assert address in body(office.get("/")).replace("&amp;", "&")
    assert address in body(office.get("/samples/")).replace("&amp;", "&")
    said = {"test": samples["Dock"], "because": "17 and 71 exchanged on the tube", "question": question}
    answer = office.post(address, said | {"deed_id": str(uuid4())})
    assert answer.status_code == 302, body(answer)
    assert not [duty for duty in duties_of_park(NOW) if duty.kind == "result for no sample"]
    (line,) = (event for event in events_of(garden["Dock"]) if event.kind == "sex")
    assert (line.text, line.deed, line.who) == ("Male, by DNA, sample S-17.", "result_placed", "Corin")
    back = body(office.get(f"/deeds/result_placed/?corrects={line.fact}"))
    assert "17 and 71 exchanged" in back
    tell(garden, "corin", "withdrawn", corrects=str(line.fact), because="it was S-11 after all")
    assert [duty for duty in duties_of_park(NOW) if duty.kind == "result for no sample"]


def test_a_wrong_finding_is_withdrawn_and_the_sample_waits_again(
    garden: Wendlebrook, samples: dict[str, str], signed_in: Browser
) -> None:
    tell(garden, "tilda", "sample_sent", test=samples["Dock"], laboratory="Fenland Laboratory")
    dock = garden["Dock"]
    found = tell(garden, "corin", "sex_finding", bird=dock, sex="F", known_by="DNA", test=samples["Dock"])
    assert "sex result awaited" not in kinds(dock)
    page = body(signed_in("corin").get(f"/birds/{dock}/")).replace("&amp;", "&")
    assert f"/deeds/sex_finding/?corrects={found.id}" in page
    tell(garden, "corin", "withdrawn", corrects=found.id, because="the laboratory exchanged two")
    assert rows.SexFinding.objects.filter(bird_id=dock).count() == 1, "it stays readable"
    assert "Fenland Laboratory, since" in body(signed_in("corin").get("/samples/"))
    tell(garden, "corin", "sex_finding", bird=dock, sex="M", known_by="DNA", test=samples["Dock"])


def test_a_sample_written_wrongly_is_put_right_under_its_own_number(
    garden: Wendlebrook, samples: dict[str, str]
) -> None:
    right = {"corrects": samples["Dock"], "why_corrected": "it was blood"}
    tell(garden, "tilda", "sex_sample", bird=garden["Dock"], sample="blood", label="S-17", **right)
    tubes = rows.SexTest.objects.filter(label="S-17").values_list("sample", flat=True)
    assert sorted(tubes) == ["blood", "feather"]


def test_each_deed_of_a_sample_opens_with_what_it_said(
    garden: Wendlebrook, samples: dict[str, str], signed_in: Browser
) -> None:
    sent = tell(garden, "tilda", "sample_sent", test=samples["Dock"], laboratory="Fenland Laboratory")
    none = tell(garden, "corin", "sample_unanswered", test=samples["Burdock"], why="too little")
    office = signed_in("corin")
    page = body(office.get("/samples/")).replace("&amp;", "&")
    for deed, told in (("sample_sent", sent), ("sample_unanswered", none)):
        assert f"/deeds/{deed}/?corrects={told.id}" in page
        assert office.get(f"/deeds/{deed}/?corrects={told.id}").status_code == 200


def test_a_placed_result_is_put_right_from_the_page_of_samples(
    garden: Wendlebrook, samples: dict[str, str], signed_in: Browser
) -> None:
    office = signed_in("corin")
    sent_file(office, "Sample,Result\nS-71,male\n")
    office.post("/samples/results/", {})
    (asked,) = (duty for duty in duties_of_park(NOW) if duty.kind == "result for no sample")
    question = asked.subject.removeprefix("question ")
    said = {"test": samples["Dock"], "because": "exchanged", "question": question, "deed_id": str(uuid4())}
    office.post(f"/deeds/result_placed/?question={question}", said)
    page = shown(office.get("/samples/")).replace("&amp;", "&")
    links = re.findall(r'href="(/deeds/\w+/\?corrects=[^"]+)"', page)
    assert any(link.startswith("/deeds/result_placed/") for link in links)
    assert {office.get(link).status_code for link in links} == {200}
