"""What a visitor tells is kept as what it is: it prompts a look and clears nobody."""

from __future__ import annotations

from datetime import timedelta

import pytest

from phones import SEVEN, Phone
from tarsus.queries.bird_events import events_of
from tarsus.queries.flock import birds_everywhere
from tarsus.queries.last_seen import last_seen
from tarsus.queries.reports import OpenReport, open_reports
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


def told(phone: Phone, *names: str, **keys: object) -> dict[str, object]:
    birds = [phone.park[name] for name in names]
    return phone.fact("report", said="orange on a wing, service road, 14:00", birds=birds, **keys)


def still_open() -> tuple[OpenReport, ...]:
    return open_reports(birds_everywhere(DAY))


def test_a_report_names_candidates_and_clears_nobody(tilda: Phone, park: Wendlebrook) -> None:
    read = {"right tibia": ["orange"], "left tibia": None}
    said = [{"bird": park["Teasel"], "chance": 0.6}, {"bird": park["Burdock"], "chance": 0.3}]
    fact = told(tilda, "Teasel", "Burdock", reading=read, candidates=said, none_of_these=0.1)
    assert tilda.send(fact, fact) == ["written", "known"]
    assert not rows.Sighting.objects.exists()
    assert last_seen([park["Teasel"], park["Burdock"]], SEVEN + timedelta(days=1)) == {}
    (report,) = still_open()
    assert {bird.name for bird in report.birds} == {"Teasel", "Burdock"}
    assert report.exhibits == {park.shingle}
    assert (report.told_by, report.heard_by, report.said) == (
        "a visitor",
        "Tilda",
        "orange on a wing, service road, 14:00",
    )
    kept = rows.Report.objects.get()
    assert kept.reading == {"right tibia": ["orange"]}
    assert kept.candidates == said


def test_a_report_is_closed_when_each_bird_was_seen_since_and_named_for_sure(
    tilda: Phone, park: Wendlebrook
) -> None:
    tilda.send(tilda.started(), tilda.sighting("Teasel"), told(tilda, "Teasel", "Burdock"))
    assert {one.name for one in still_open()[0].birds} == {"Teasel", "Burdock"}, "seen before it was told"
    read = {"right tibia": ["orange"]}
    unsure = [{"bird": park["Burdock"], "chance": 0.89}]
    tilda.send(
        tilda.sighting("Teasel"),
        tilda.sighting("Burdock", "by reading", reading=read, candidates=unsure, none_of_these=0.1),
        tilda.inferred("Burdock", 0.99),
    )
    assert [one.name for one in still_open()[0].birds] == ["Burdock"], "a doubtful name clears nobody"
    tilda.send(tilda.sighting("Burdock"))
    assert still_open() == ()


def test_a_report_of_a_bird_that_is_none_of_ours_waits_for_the_look(tilda: Phone, park: Wendlebrook) -> None:
    fact = told(tilda)
    answer = tilda.fact("report_answered", report=fact["id"], found="a racing pigeon, gone")
    assert tilda.send(answer) == ["written"], "it waits for its report"
    assert not rows.ReportAnswered.objects.exists()
    assert tilda.send(fact) == ["written"]
    assert rows.ReportAnswered.objects.get().found == "a racing pigeon, gone"
    assert still_open() == ()


def test_a_withdrawn_report_prompts_nothing(tilda: Phone) -> None:
    fact = told(tilda, "Kelp")
    tilda.send(fact, tilda.fact("withdrawn", corrects=fact["id"], because="the wrong park"))
    assert still_open() == ()


def test_a_report_says_what_is_amiss_with_it(tilda: Phone, park: Wendlebrook) -> None:
    blank = {**told(tilda), "said": "  "}
    nowhere = told(tilda, place=park.north_spit)
    stranger = {**told(tilda), "birds": [999_999]}
    refused = tilda.send(blank, nowhere, stranger)
    assert refused[0].startswith("said: ")
    assert refused[1].startswith("exhibit: is missing")
    assert "999999" in refused[2]
    assert still_open() == ()


def test_a_report_stands_in_the_record_of_each_bird_it_may_be_about(tilda: Phone, park: Wendlebrook) -> None:
    tilda.send(told(tilda, "Teasel", "Burdock"))
    said = [event.text for event in events_of(park["Teasel"])]
    assert "Reported by a visitor (it, or another): orange on a wing, service road, 14:00" in said


def test_a_report_that_was_withdrawn_by_mistake_is_open_again(tilda: Phone) -> None:
    fact = told(tilda, "Teasel")
    mistake = tilda.fact("withdrawn", corrects=fact["id"], because="told twice")
    assert tilda.send(fact, mistake) == ["written"] * 2
    assert still_open() == ()
    assert tilda.send(tilda.fact("withdrawn", corrects=mistake["id"], because="once")) == ["written"]
    assert [one.said for one in still_open()] == [fact["said"]]
