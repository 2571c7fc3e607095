"""The park's reports out of the register: what each tells, and what was known on a past day."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

import wendlebrook
from tarsus.core.reports.report import Part, Report
from tarsus.queries.park_reports.asked import Asked
from tarsus.queries.park_reports.register import REPORTS, report_of
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 6, 20, 12, tzinfo=UTC)
JUNE = Asked(date(2026, 6, 1), date(2026, 6, 20), NOW)
TOLD_LATE = datetime(2026, 6, 18, 9, tzinfo=UTC)


@pytest.fixture
def garden(db: None) -> Wendlebrook:
    """The small park, everything in it written on the day on which it begins."""
    built = wendlebrook.build()
    begun = datetime(2026, 3, 1, 9, tzinfo=UTC)
    for table in (rows.Bird, rows.Stay, rows.Band):
        table.objects.update(recorded_at=begun)
    # Facts are never changed: the sexes are told anew on the day that they became known.
    return built


def at(day: int, hour: int = 8) -> datetime:
    return datetime(2026, 6, day, hour, tzinfo=UTC)


def fact(garden: Wendlebrook, day: int, recorded: datetime | None = None, **told: Any) -> dict[str, Any]:
    return {
        "id": uuid4(),
        "recorded_by_id": garden.actors.tilda,
        "happened_at": at(day),
        "recorded_at": recorded or at(day, 9),
        **told,
    }


def call(garden: Wendlebrook, day: int, *seen: str, recorded: datetime | None = None) -> None:
    """A roll call of the avocets: counted, closed, these birds seen by sight."""
    told = rows.Round.objects.create(id=uuid4(), exhibit_id=garden.shingle)
    rows.RoundStarted.objects.create(**fact(garden, day), round=told)
    rows.Count.objects.create(**fact(garden, day), round=told, lookalike="avocet", counted=len(seen))
    for name in seen:
        rows.Sighting.objects.create(
            **fact(garden, day, recorded),
            round=told,
            exhibit_id=garden.shingle,
            bird_id=garden[name],
            lookalike="avocet",
            how="by sight",
            accepted_by_id=garden.actors.tilda,
        )
    rows.RoundClosed.objects.create(**fact(garden, day, at(day, 10)), round=told, version={})


def cells(report: Report, title: str = "") -> list[dict[str, Any]]:
    part: Part = next(one for one in report.parts if title in ("", one.title))
    names = [column.name for column in part.columns]
    return [
        {**dict(zip(names, row.cells, strict=True)), "since": row.since, "of": row.bird} for row in part.rows
    ]


ALL = ("Samphire", "Kelp", "Sedge", "Thrift", "Marram")


def test_a_run_of_missed_days_is_told_with_how_it_ended(garden: Wendlebrook) -> None:
    call(garden, 5, *ALL)
    for day in (6, 7, 9):
        call(garden, day, *(name for name in ALL if name != "Kelp"))
    call(garden, 10, *ALL)
    (run,) = cells(report_of(REPORTS["unseen"], JUNE))
    assert (run["bird"], run["unseen from"], run["until"]) == ("Kelp", date(2026, 6, 6), date(2026, 6, 9))
    # Nobody called on the 8th: it ends no run and adds to none.
    assert (run["days looked for"], run["days on the calendar"]) == (3, 4)
    assert run["how it ended"] == "seen 10 June 2026, by sight"
    kelp = next(one for one in cells(report_of(REPORTS["presence"], JUNE)) if one["bird"] == "Kelp")
    assert (kelp["days looked for"], kelp["seen"], kelp["missed"]) == (5, 2, 3)
    assert kelp["seen of looked for"] == pytest.approx(0.4)
    assert kelp["last seen"] == date(2026, 6, 10)


def test_a_ruff_that_nobody_called_was_not_looked_for(garden: Wendlebrook) -> None:
    call(garden, 5, *ALL)
    told = cells(report_of(REPORTS["presence"], JUNE))
    assert {one["days looked for"] for one in told if one["species"] == "Ruff"} == {0}


def test_a_sighting_that_came_late_was_not_known_before_it_came(garden: Wendlebrook) -> None:
    call(garden, 6, *(name for name in ALL if name != "Kelp"))
    call(garden, 6, "Kelp", recorded=TOLD_LATE)
    told = report_of(REPORTS["presence"], JUNE, date(2026, 6, 10))
    kelp = next(one for one in cells(told) if one["bird"] == "Kelp")
    assert (kelp["seen"], kelp["missed"]) == (0, 1)
    assert kelp["since"] == ("now seen: 1; missed: 0; seen of looked for: 100 %; last seen: 6 June 2026")
    assert cells(report_of(REPORTS["unseen"], JUNE)) == []


def died(garden: Wendlebrook, name: str, recorded: datetime) -> rows.Death:
    stay = rows.Stay.objects.get(bird_id=garden[name])
    stay.to_on, stay.ended_at, stay.ended_by_id = date(2026, 6, 9), recorded, garden.actors.tilda
    death = rows.Death.objects.create(
        **fact(garden, 9, recorded),
        bird_id=garden[name],
        species_id=garden.avocet,
        exhibit_id=garden.shingle,
        found_by="Oswin",
        post_mortem_asked=True,
    )
    stay.ended_through = death.pk
    stay.save()
    return death


def kelps_line(report: Report) -> dict[str, Any]:
    return next(
        one
        for one in cells(report, "Living here")
        if (one["species"], one["sex"]) == ("Pied avocet", "males")
    )


def test_a_death_told_late_stands_beside_the_inventory_that_was_known_before_it(garden: Wendlebrook) -> None:
    died(garden, "Kelp", TOLD_LATE)
    now = kelps_line(report_of(REPORTS["inventory"], JUNE))
    assert (now["opening"], now["died"], now["closing"]) == (2, 1, 1)
    then = report_of(REPORTS["inventory"], JUNE, date(2026, 6, 12))
    line = kelps_line(then)
    # The sexes of the small park are written when a test makes it: on the 12th they were not known.
    assert line["since"] == "told since"
    unsexed = next(one for one in cells(then, "Living here") if one["species"] == "Pied avocet")
    assert (unsexed["sex"], unsexed["opening"], unsexed["closing"]) == ("unsexed", 5, 5)
    assert "Every line balances." in then.notes[0]


def test_every_line_of_the_inventory_balances_by_the_equation_that_it_prints(garden: Wendlebrook) -> None:
    # Opening + what came - what went = closing: docs/science/inventory.md, eq. 1, summed here by the columns.
    died(garden, "Kelp", TOLD_LATE)
    told = report_of(REPORTS["inventory"], JUNE)
    came = ("hatched", "arrived", "moved in", "found again", "resexed to")
    went = ("died", "departed", "moved out", "missing", "resexed from")
    checked = 0
    for part in told.parts:
        for line in cells(told, part.title):
            left = line["opening"] + sum(line[one] for one in came) - sum(line[one] for one in went)
            assert left == line["closing"], line
            checked += line["died"]
    assert checked == 3, "of the park, of what is owned, and of the exhibit"


def test_a_death_taken_back_later_stood_on_the_day_before(garden: Wendlebrook) -> None:
    death = died(garden, "Kelp", at(10, 9))
    rows.PostMortem.objects.create(**fact(garden, 12), death=death, answer="aspergillosis", by_whom="Ilse")
    rows.Withdrawal.objects.create(
        **fact(garden, 18, TOLD_LATE), withdraws=death.pk, kind="death", because="it was Marram"
    )
    assert cells(report_of(REPORTS["deaths"], JUNE)) == []
    (then,) = cells(report_of(REPORTS["deaths"], JUNE, date(2026, 6, 11)), "Deaths")
    assert (then["bird"], then["post-mortem"], then["since"]) == (
        "Kelp",
        "asked for, not answered",
        "no longer so",
    )
    (later,) = cells(report_of(REPORTS["deaths"], JUNE, date(2026, 6, 13)), "Deaths")
    assert later["post-mortem"] == "aspergillosis (Ilse)"


def test_a_weight_stands_beside_the_birds_own_usual_one(garden: Wendlebrook) -> None:
    for weeks in range(4, 16):
        moment = NOW - timedelta(weeks=weeks)
        rows.Weighing.objects.create(
            **{**fact(garden, 1), "happened_at": moment, "recorded_at": moment},
            bird_id=garden["Kelp"],
            weight_g=320 + weeks % 3,
            where="in hand",
        )
    rows.Weighing.objects.create(
        **fact(garden, 19), bird_id=garden["Kelp"], weight_g=289, where="in hand", fed=True
    )
    (told,) = cells(report_of(REPORTS["weights"], JUNE))
    # The median of 320, 321, 322 told four times each.
    assert (told["weight"], told["its usual"], told["fed"]) == (289, 321, "fed")
    assert told["of its usual"] == pytest.approx(289 / 321)


def test_a_band_is_lost_by_its_kind_and_colour(garden: Wendlebrook) -> None:
    band = rows.Band.objects.get(bird_id=garden["Kelp"], colour__name="green")
    band.to_on, band.why_off, band.ended_at = date(2026, 6, 9), "lost", TOLD_LATE
    band.save()
    told = report_of(REPORTS["bands-lost"], JUNE)
    first = cells(told, "By kind and colour")[0]
    assert (first["kind"], first["colour"], first["worn"], first["lost"]) == ("colour", "green", 3, 1)
    assert first["lost of 100 worn for a year"] is None, "three bands of three weeks tell no rate"
    (each,) = cells(told, "Each of them")
    assert (each["bird"], each["band"], each["lost by"]) == ("Kelp", "green colour", date(2026, 6, 9))
    then = report_of(REPORTS["bands-lost"], JUNE, date(2026, 6, 12))
    assert [one["since"] for one in cells(then, "Each of them")] == ["told since"]
    assert next(one for one in cells(then) if one["colour"] == "green")["lost"] == 0


def test_years_worn_end_on_the_parks_day_not_on_greenwichs(garden: Wendlebrook) -> None:
    rows.Park.objects.update(time_zone="Pacific/Auckland")
    worn = {}
    for hour in (11, 13):  # the evening of the 30th there, and the morning of the first of July
        asked = replace(JUNE, last=date(2026, 7, 31), now=datetime(2026, 6, 30, hour, tzinfo=UTC))
        told = cells(report_of(REPORTS["bands-lost"], asked))
        worn[hour] = sum(one["years worn"] for one in told)
    assert worn[13] > worn[11]


def test_what_became_of_each_bird_of_a_catch_up(garden: Wendlebrook) -> None:
    plan = rows.CatchUp.objects.create(
        exhibit_id=garden.shingle,
        planned_for=date(2026, 6, 11),
        planned_by_id=garden.actors.maren,
        planned_at=at(8),
        done_at=TOLD_LATE,
    )
    for name in ("Kelp", "Sedge", "Thrift"):
        rows.CatchUpBird.objects.create(catch_up=plan, bird_id=garden[name], why=["Weigh it."])
    rows.Handling.objects.create(**fact(garden, 11), bird_id=garden["Kelp"], why="catch-up")
    rows.NotHandled.objects.create(
        **fact(garden, 11), catch_up=plan, bird_id=garden["Sedge"], outcome="not caught", because="it flew"
    )
    told = report_of(REPORTS["catch-ups"], JUNE)
    (whole,) = cells(told)
    numbers = [whole[name] for name in ("birds", "handled", "not caught", "let go unhandled", "not told")]
    assert numbers == [3, 1, 1, 0, 1]
    assert whole["state"] == "signed off"
    outcomes = {one["bird"]: one["outcome"] for one in cells(told, "Birds")}
    assert outcomes == {"Kelp": "handled", "Sedge": "not caught: it flew", "Thrift": "not told yet"}
    (then,) = cells(report_of(REPORTS["catch-ups"], JUNE, date(2026, 6, 12)))
    assert (then["state"], then["since"]) == ("open", "now state: signed off")
    assert cells(report_of(REPORTS["catch-ups"], JUNE, date(2026, 6, 7)))[0]["since"] == "told since"


def test_duties_done_are_the_deeds_that_settle_them(garden: Wendlebrook) -> None:
    handled = rows.Handling.objects.create(**fact(garden, 11), bird_id=garden["Kelp"], why="weights")
    inside = {"bird_id": garden["Kelp"], "where": "in hand", "weight_g": 300}
    rows.Weighing.objects.create(**fact(garden, 11), **inside, handling=handled)
    rows.Weighing.objects.create(**fact(garden, 12), **inside)
    rows.NextDayCheck.objects.create(**fact(garden, 12), handling=handled, well=True)
    told = report_of(REPORTS["duties-done"], JUNE)
    assert [(one["deed"], one["times"]) for one in cells(told)] == [
        ("In hand", 1),
        ("Look on the day after", 1),
        ("Weigh", 1),
    ]
    each = cells(told, "Each of them")
    assert {(one["bird"], one["exhibit"], one["by"]) for one in each} == {("Kelp", "Shingle Aviary", "Tilda")}


@pytest.mark.parametrize("name", REPORTS)
def test_an_empty_span_is_told_and_not_left_out(name: str, garden: Wendlebrook) -> None:
    told = report_of(REPORTS[name], Asked(date(2025, 1, 1), date(2025, 1, 31), NOW))
    assert told.parts
    assert all(part.nothing for part in told.parts)
    assert not any(part.rows for part in told.parts)


@pytest.mark.parametrize("name", REPORTS)
def test_what_is_known_by_now_is_what_is_known_now(name: str, garden: Wendlebrook) -> None:
    call(garden, 5, *ALL)
    died(garden, "Kelp", at(10))
    now = datetime.now(tz=UTC)
    asked = Asked(date(2026, 6, 1), date(2026, 6, 20), now)
    whole, known = report_of(REPORTS[name], asked), report_of(REPORTS[name], asked, now.date())
    assert [part.rows for part in known.parts] == [part.rows for part in whole.parts]


@pytest.mark.parametrize("name", REPORTS)
def test_one_exhibit_has_its_own_birds_alone(name: str, garden: Wendlebrook) -> None:
    call(garden, 5, *ALL[1:])
    died(garden, "Kelp", at(10))
    told = report_of(REPORTS[name], Asked(JUNE.first, JUNE.last, NOW, garden.reed))
    assert not any(
        part.rows for part in told.parts if part.title not in ("Living here", "Owned, here or elsewhere")
    )


def something_of_all(garden: Wendlebrook, *names: str) -> None:
    """A handling, a weight, a look on the day after, a band check and a loss of each of these birds."""
    for name in names:
        handled = rows.Handling.objects.create(**fact(garden, 11), bird_id=garden[name], why="weights")
        rows.Weighing.objects.create(**fact(garden, 12), bird_id=garden[name], weight_g=300, where="in hand")
        rows.NextDayCheck.objects.create(**fact(garden, 12), handling=handled, well=True)
        band = rows.Band.objects.filter(bird_id=garden[name], colour__isnull=False).order_by("pk")[0]
        rows.BandCheck.objects.create(**fact(garden, 13), band=band, condition="worn")
        rows.Band.objects.filter(pk=band.pk).update(to_on=date(2026, 6, 14), why_off="lost")


@pytest.mark.parametrize("name", REPORTS)
def test_a_report_asks_the_register_no_more_often_for_more_birds(name: str, garden: Wendlebrook) -> None:
    call(garden, 5, *ALL)
    asked = []
    for names in (("Kelp",), ("Sedge", "Thrift", "Marram", "Samphire")):
        something_of_all(garden, *names)
        call(garden, 6 + len(names), *names)
        with CaptureQueriesContext(connection) as captured:
            report_of(REPORTS[name], JUNE)
        asked.append(len(captured))
    assert asked[0] == asked[1]
