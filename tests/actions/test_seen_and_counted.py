"""A roll call's facts as they are kept: with what weight a sighting counts, what a look confirms, what a
report keeps."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4, uuid5

import pytest

from phones import NINE, SEVEN, Phone
from tarsus.actions.roll_call.sightings import WhatTheModelSaid
from tarsus.queries.rounds import closed_version
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
YELLOW = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    phone = Phone(park, park.actors.tilda)
    assert phone.send(phone.started()) == ["written"]
    return phone


def test_a_sighting_counts_with_the_chance_its_name_had(tilda: Phone, park: Wendlebrook) -> None:
    said = [{"bird": park["Samphire"], "chance": 0.8}, {"bird": park["Kelp"], "chance": 0.15}]
    model = {"candidates": said, "none_of_these": 0.05}
    read = {"how": "by reading", "reading": YELLOW}
    facts = {
        "read": tilda.sighting("Samphire", **read, **model),
        "second": tilda.sighting("Kelp", **read, **model),
        "not among them": tilda.sighting("Sedge", **read, **model),
        "bare reading": tilda.sighting("Thrift", **read),
        "seen": tilda.sighting("Marram", **model),
        "between": tilda.inferred("Dock", 0.97),
        "part": tilda.sighting(None, None, reading=YELLOW, **model),
    }
    assert tilda.send(*facts.values()) == ["written"] * 7
    kept = {name: rows.Sighting.objects.get(pk=fact["id"]) for name, fact in facts.items()}
    assert {name: row.chance for name, row in kept.items()} == {
        "read": 0.8,
        "second": 0.15,
        "not among them": 1.0,
        "bare reading": 1.0,
        "seen": 1.0,
        "between": 0.97,
        "part": 1.0,
    }
    assert kept["read"].candidates == said
    assert kept["read"].none_of_these == 0.05
    assert {name: row.how for name, row in kept.items() if name in ("seen", "part", "between")} == {
        "seen": "by sight",
        "part": "part reading",
        "between": "inferred",
    }
    assert [kept[name].accepted_by_id for name in ("read", "part")] == [park.actors.tilda, None]
    assert {kept[name].lookalike for name in ("read", "seen")} == {"avocet"}
    assert kept["between"].lookalike == "ruff"
    assert kept["part"].lookalike == ""


def test_who_is_known_by_sight_counts_in_full_whatever_a_model_said() -> None:
    said = WhatTheModelSaid(((7, 0.4),), 0.6)
    assert said.chance_of(7, "by sight") == 1.0
    assert said.chance_of(7, "by reading") == 0.4
    assert said.chance_of(8, "by reading") == 1.0
    assert said.chance_of(None, "by reading") == 1.0


def test_a_later_look_at_the_same_bird_of_a_group_confirms_what_was_read_of_it(
    tilda: Phone, park: Wendlebrook
) -> None:
    place = {"group": str(uuid4()), "position": 2}
    read = tilda.sighting("Kelp", "by reading", reading=YELLOW, **place)
    beside = tilda.sighting("Kelp", "by reading", reading=YELLOW, **{**place, "position": 3})
    elsewhere = tilda.sighting("Kelp", "by reading", reading=YELLOW, **{**place, "group": str(uuid4())})
    lone = tilda.sighting("Kelp", "by reading", reading=YELLOW)
    look = tilda.sighting("Samphire", **place)
    later = tilda.sighting("Sedge", "by reading", reading=YELLOW, **place)
    assert tilda.send(read, beside, elsewhere, lone, look, later) == ["written"] * 6
    (kept,) = rows.ConfirmedReading.objects.all()
    assert kept.pk == uuid5(UUID(read["id"]), "confirmed")
    assert (kept.bird_id, kept.read, str(kept.sighting_id)) == (park["Samphire"], YELLOW, look["id"])
    assert kept.worn == {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
    assert (kept.reader_id, kept.recorded_by_id) == (park.actors.tilda, park.actors.tilda)
    assert kept.happened_at == SEVEN + timedelta(minutes=2), "when it was read"


def test_a_reading_is_confirmed_once_by_the_first_look_after_it(tilda: Phone, park: Wendlebrook) -> None:
    place = {"group": str(uuid4()), "position": 0}
    read = tilda.sighting("Kelp", "by reading", reading=YELLOW, **place)
    first, second = tilda.sighting("Samphire", **place), tilda.sighting("Sedge", **place)
    assert tilda.send(second, first) == ["written"] * 2
    assert not rows.ConfirmedReading.objects.exists()
    oswin = Phone(park, park.actors.oswin)
    assert oswin.send({**read, "by": park.actors.oswin}) == ["written"]
    (kept,) = rows.ConfirmedReading.objects.all()
    assert kept.bird_id == park["Samphire"]
    assert (kept.reader_id, kept.recorded_by_id) == (park.actors.oswin, park.actors.tilda)
    third = tilda.sighting("Thrift", **place)
    assert tilda.send(third) == ["written"]
    assert rows.ConfirmedReading.objects.count() == 1


def test_a_look_that_was_withdrawn_confirms_nothing(tilda: Phone, park: Wendlebrook) -> None:
    place = {"group": str(uuid4()), "position": 0}
    read = tilda.sighting("Kelp", "by reading", reading=YELLOW, **place)
    look = tilda.sighting("Samphire", **place)
    mistake = tilda.fact("withdrawn", corrects=look["id"], because="another bird")
    assert tilda.send(look, mistake, read) == ["written"] * 3
    assert not rows.ConfirmedReading.objects.exists()


def test_what_was_told_of_a_round_stands_in_its_columns(tilda: Phone, park: Wendlebrook) -> None:
    group = str(uuid4())
    light = tilda.fact("round_light", round=str(tilda.round), light=_a_light(), mud=True)
    view = tilda.fact("group", round=str(tilda.round), group=group, size=3, place=park.south_pool, flew=True)
    bare = tilda.fact("group", round=str(tilda.round), group=group, size=2)
    assert tilda.send(light, view, bare) == ["written"] * 3
    row = rows.RoundLight.objects.get()
    assert (row.round_id, row.light, row.mud) == (tilda.round, _a_light(), True)
    seen = rows.Group.objects.get(pk=view["id"])
    assert (str(seen.group), seen.size, seen.place_id, seen.flew) == (group, 3, park.south_pool, True)
    other = rows.Group.objects.get(pk=bare["id"])
    assert (other.size, other.place_id, other.flew) == (2, None, False)
    off = tilda.fact(
        "round_not_done", round=str(tilda.round), exhibit=park.shingle, lookalike="ruff", because=" storm "
    )
    assert tilda.send(off) == ["written"]
    kept = rows.RoundNotDone.objects.get()
    assert (kept.round_id, kept.lookalike, kept.because) == (tilda.round, "ruff", "storm")


def _a_light() -> str:
    return str(rows.RoundLight._meta.get_field("light").choices[-1][0])


def test_two_closings_both_stand_and_the_first_ones_version_is_the_rounds(
    tilda: Phone, park: Wendlebrook
) -> None:
    tilda.send(tilda.count("avocet", 4), tilda.count("ruff", 2), tilda.sighting("Kelp"), tilda.closed())
    before = closed_version(tilda.round, NINE)
    assert before is not None
    assert (before["counts"], before["called"]) == ({"avocet": 4, "ruff": 2}, ["avocet", "ruff"])
    tilda.send(tilda.sighting("Sedge"), tilda.closed())
    assert rows.RoundClosed.objects.count() == 2
    assert closed_version(tilda.round, NINE) == before


def test_a_report_keeps_who_told_it_where_and_what_the_model_made_of_it(
    tilda: Phone, park: Wendlebrook
) -> None:
    said = [{"bird": park["Teasel"], "chance": 0.6}, {"bird": park["Burdock"], "chance": 0.3}]
    told: dict[str, Any] = {
        "said": " orange on a wing ",
        "told_by": " a visitor ",
        "exhibit": park.shingle,
        "place": park.north_spit,
        "birds": [park["Teasel"], park["Burdock"], park["Teasel"]],
    }
    report = tilda.fact(
        "report", **told, candidates=said, none_of_these=0.1, reading={"left leg": ["orange"]}
    )
    bare = tilda.fact("report", said="something grey")
    assert tilda.send(report, bare) == ["written"] * 2
    row = rows.Report.objects.get(pk=report["id"])
    assert (row.said, row.told_by, row.exhibit_id, row.place_id) == (
        "orange on a wing",
        "a visitor",
        park.shingle,
        park.north_spit,
    )
    assert (row.reading, row.candidates, row.none_of_these) == ({"left leg": ["orange"]}, said, 0.1)
    assert set(rows.ReportBird.objects.values_list("report", "bird")) == {
        (row.pk, park["Teasel"]),
        (row.pk, park["Burdock"]),
    }
    other = rows.Report.objects.get(pk=bare["id"])
    assert (other.exhibit_id, other.place_id, other.reading, other.candidates, other.told_by) == (
        None,
        None,
        None,
        [],
        "",
    )
    answer = tilda.fact("report_answered", report=bare["id"], found=" a pigeon ")
    assert tilda.send(answer) == ["written"]
    kept = rows.ReportAnswered.objects.get()
    assert (str(kept.report_id), kept.found) == (bare["id"], "a pigeon")
    elsewhere = tilda.fact("report", said="x", exhibit=park.shingle, place=park.reed_perch)
    assert tilda.send(elsewhere)[0].startswith("place: no place of this exhibit")
