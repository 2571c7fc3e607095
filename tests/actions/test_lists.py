"""Lists of weights, sightings, results, series, stock and nests: told through the one door, once."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import uuid4

import pytest

from list_files import brought, table
from tarsus.actions.imports import NothingBroughtIn, save_mapping
from tarsus.actions.lists import ListAsked, MayNotTell, planned_list
from tarsus.actions.mending import mend_line
from tarsus.queries.imports import batch_told
from tarsus.records import models as rows
from tarsus.tables.choices import Choices
from tarsus.tables.list_kinds import KINDS, known_heading, likely_kind, list_columns
from tarsus.tables.reading import read_table

pytestmark = pytest.mark.django_db


def test_a_list_of_weights_is_told_as_of_its_days_and_once(park: Any) -> None:
    lines = (
        "Vogel;Datum;Gewicht (kg);wie gewogen",
        "Kelp;3.4.2026;0,31;in der Hand",
        "Sedge;4.4.2026;0,295;Waage",
    )
    heard: list[int] = []
    done = brought(park, *lines, progress=heard.append)
    assert (done.told, done.refused) == (2, ())
    assert sum(heard) == 4, "each line was looked at, and told"
    weighing = rows.Weighing.objects.get(bird=park["Kelp"], weight_g=310.0)
    assert (weighing.where, weighing.happened_at.date()) == ("in hand", date(2026, 4, 3))
    assert rows.ToldDeed.objects.get(pk=weighing.pk).kind == "weighed"
    again = brought(park, *lines)
    assert (again.told, again.plan.in_before) == (0, (2, 3))
    assert rows.Weighing.objects.filter(bird=park["Kelp"], weight_g=310.0).count() == 1


def test_the_same_list_by_somebody_else_is_told_once_too(park: Any) -> None:
    lines = ("bird,date,weight,where", "Kelp,2026-04-03,310,in hand")
    brought(park, *lines)
    assert brought(park, *lines, by="corin").plan.in_before == (2,)


def test_how_they_were_weighed_is_asked_once_a_file_and_never_guessed(park: Any) -> None:
    lines = ("bird,date,weight", "Kelp,2026-04-03,310", "Sedge,2026-04-03,295")
    with pytest.raises(ListAsked, match='--once "where=in hand"'):
        brought(park, *lines)
    done = brought(park, *lines, choices={"once": {"where": "perch scale"}})
    assert done.told == 2
    assert set(rows.Weighing.objects.filter(weight_g__in=(310, 295)).values_list("where", flat=True)) == {
        "perch scale"
    }


def test_a_bird_that_nobody_knows_is_refused_with_whom_it_may_be_and_answered_for_all_alike(
    park: Any,
) -> None:
    lines = ("bird,date,weight,where", "Kelpp,2026-04-03,310,in hand", "kelpp,2026-04-04,311,in hand")
    done = brought(park, *lines)
    assert {(one.field, one.reason) for one in done.refused} == {
        ("bird", "'Kelpp' is no bird of this register"),
        ("bird", "'kelpp' is no bird of this register"),
    }
    (asked,) = done.plan.questions
    assert (asked.lines, asked.proposals[0], asked.pressing) == ((2, 3), ("Kelp",), False)
    assert brought(park, *lines, choices={"cells": {"bird": {"Kelpp": "Kelp"}}}).told == 2


@pytest.mark.parametrize(
    ("cell", "reason"),
    [
        ("1.250", "may be 1250 g or 1.25 g"),
        ("heavy", "is no weight"),
        ("300000", "weight_g"),
        ("", "is empty"),
    ],
)
def test_a_weight_that_may_be_two_or_is_none_waits_with_its_reason(park: Any, cell: str, reason: str) -> None:
    done = brought(park, "bird;date;weight;where", f"Kelp;2026-04-03;{cell};in hand")
    (refused,) = done.refused
    assert refused.field == "weight"
    assert reason in refused.reason or reason == "weight_g"
    assert not rows.Weighing.objects.filter(happened_at__date=date(2026, 4, 3)).exists()
    waiting = batch_told(done.batch_id)
    assert waiting is not None
    assert [row.line for row in waiting.waiting] == [2]


def test_old_sightings_are_of_the_exhibit_in_which_the_bird_lived_that_day(park: Any) -> None:
    done = brought(park, "oiseau;date;heure", "Kelp;2026-05-02;14h30", "Samphire;2026-05-02;")
    assert (done.told, done.refused) == (2, ())
    seen = rows.Sighting.objects.get(bird=park["Kelp"], happened_at__date=date(2026, 5, 2))
    assert (seen.how, seen.exhibit_id) == ("by sight", park.shingle)
    assert seen.happened_at.minute == 30


def test_a_day_with_its_time_and_a_moment_in_one_cell_are_the_same(park: Any) -> None:
    assert brought(park, "bird,date,time", "Kelp,2026-05-02,14:30").told == 1
    done = brought(park, "bird,date", "Kelp,2026-05-02 14:30", "Kelp,2026-05-02 14:30:20")
    assert (done.plan.in_before, [one.said.words for one in done.plan.lines]) == (
        (2,),
        ["seen 2026-05-02 14:30:20"],
    )


def test_a_sighting_of_tomorrow_or_of_before_the_register_is_refused_and_nothing_waits_unseen(
    park: Any,
) -> None:
    done = brought(park, "bird,seen on,exhibit", "Kelp,1950-05-02,Shingle Aviary", "Sedge,2126-05-02,")
    assert [one.field for one in done.refused] == ["seen on", "seen on"]
    assert not rows.Waiting.objects.exists()


def test_a_laboratorys_sexes_by_bird_and_by_tube(park: Any) -> None:
    done = brought(park, "bird,result,date,method", "Kelp,ZW,2026-04-03,", by="corin")
    assert [one.reason for one in done.refused] == ["is empty"]
    done = brought(
        park, "bird,result,date", "Kelp,ZW,2026-04-03", by="corin", choices={"once": {"known by": "DNA"}}
    )
    assert done.told == 1
    found = rows.SexFinding.objects.get(bird=park["Kelp"], happened_at__date=date(2026, 4, 3))
    assert (found.sex, found.known_by) == ("F", "DNA")
    test = rows.SexTest.objects.create(
        id=uuid4(),
        bird_id=park["Sedge"],
        sample="blood",
        label="T 17",
        happened_at=found.happened_at,
        recorded_by_id=park.actors.corin,
    )
    lines = ("tube,result,date", "t17,zz,2026-04-20", "T18,zw,2026-04-20")
    done = brought(park, *lines, by="corin", choices={"once": {"known by": "DNA"}})
    assert [one.reason for one in done.refused] == ["'T18' is no sample of this register"]
    answered = rows.SexFinding.objects.get(test=test)
    assert (answered.sex, answered.bird_id) == ("M", park["Sedge"])


def test_a_refused_line_is_mended_on_the_page_and_comes_back_in_a_workbook(park: Any) -> None:
    lines = ("bird,date,weight,where", "Kelpp,2026-04-03,310,in hand", "Sedgge,2026-04-03,290,in hand")
    sheet = table(*lines)
    columns = list_columns(sheet.headings, KINDS["weights"], {})
    choices = Choices(what="weights")
    mapping = save_mapping(name="w", columns=columns, choices=choices, by=park.actors.maren)
    done = brought(park, *lines, mapping_id=mapping, choices={"what": "weights"})
    mend = {"batch_id": done.batch_id, "by": park.actors.maren}
    (still,) = mend_line(line=2, cells={"bird": "Kelqp"}, **mend)
    assert still.reason == "'Kelqp' is no bird of this register"
    assert mend_line(line=2, cells={"bird": "Kelp"}, **mend) == ()
    assert rows.Weighing.objects.filter(bird=park["Kelp"], weight_g=310).exists()
    back = ("bird,date,weight,where,refused line", f"Sedge,2026-04-03,290,in hand,{done.batch_id}/3")
    assert brought(park, *back).told == 1
    waiting = batch_told(done.batch_id)
    assert waiting is not None
    assert waiting.waiting == ()


def test_metal_series_and_stock_come_in_and_a_count_again_is_a_count(park: Any) -> None:
    brought(park, "Serie,von,bis,Größe", "WX,20400,20499,5.0")
    assert rows.MetalSeries.objects.filter(series="WX", first=20400, last=20499).count() == 1
    brought(park, "kind,colour,size,amount,date", "colour,rot,9.9,40,2026-04-03")
    drawer = rows.Stock.objects.get(kind="colour", size="9.9")
    assert (drawer.amount, drawer.colour.name if drawer.colour else "") == (40, "red")
    brought(park, "kind,colour,size,amount,date", "colour,red,9.9,35,2026-05-03")
    drawer.refresh_from_db()
    assert drawer.amount == 35
    assert brought(park, "kind,colour,size,amount,date", "colour,red,9.9,40,2026-04-03").plan.in_before == (
        2,
    )


def test_a_nest_comes_with_what_was_found_in_it_and_later_with_its_end(park: Any) -> None:
    species = rows.Bird.objects.get(pk=park["Kelp"]).species.name
    head = "nest,exhibit,species,begun,eggs,hatched,hatched on,ended"
    row = f"Box 4,Shingle Aviary,{species},2026-04-03,3,2,2026-04-25,"
    done = brought(park, head, row)
    assert (done.told, done.refused) == (1, ())
    nest = rows.Nest.objects.get(name="Box 4")
    assert (nest.from_on, nest.to_on, nest.forbids_chase) == (date(2026, 4, 3), None, True)
    assert set(nest.events.values_list("kind", "amount")) == {("eggs", 3), ("hatched", 2)}
    again = brought(park, head, row + "2026-05-20")
    nest.refresh_from_db()
    assert (again.told, nest.to_on, nest.events.count()) == (1, date(2026, 5, 20), 2)


def test_a_nest_of_which_one_part_is_refused_leaves_nothing(park: Any) -> None:
    species = rows.Bird.objects.get(pk=park["Kelp"]).species.name
    done = brought(
        park,
        "nest,exhibit,species,begun,eggs,hatched,hatched on",
        f"Box 4,Shingle Aviary,{species},2026-04-03,3,2,2026-03-01",
    )
    assert done.told == 0
    assert "is before this nest was begun" in done.refused[0].reason
    assert not rows.Nest.objects.filter(name="Box 4").exists()


def test_all_or_nothing_tells_nothing_where_a_line_is_refused(park: Any) -> None:
    lines = ("bird,date,weight,where", "Kelp,2026-04-03,310,in hand", "Kelpp,2026-04-03,310,in hand")
    with pytest.raises(NothingBroughtIn):
        brought(park, *lines, all_or_nothing=True)
    assert not rows.Weighing.objects.filter(weight_g=310).exists()


def test_whoever_does_not_tell_nests_brings_in_no_list_of_them(park: Any) -> None:
    rows.Person.objects.filter(pk=park.actors.pia).update(role="records")
    with pytest.raises(MayNotTell, match="a list of nests is brought in by keeper"):
        brought(park, "nest,begun,exhibit,species", "Box 4,2026-04-03,x,y", by="pia")


def test_a_look_writes_nothing(park: Any) -> None:
    before = rows.ToldDeed.objects.count(), rows.ImportBatch.objects.count()
    sheet = table("bird,date,weight,where", "Kelp,2026-04-03,310,in hand")
    plan = planned_list(
        sheet, list_columns(sheet.headings, KINDS["weights"], {}), KINDS["weights"], Choices()
    )
    assert len(plan.lines) == 1
    assert (rows.ToldDeed.objects.count(), rows.ImportBatch.objects.count()) == before


def test_a_table_of_an_export_comes_back_and_tells_nothing_twice(park: Any) -> None:
    from tarsus.queries.exports import tables_held
    from tarsus.tables.writing import csv_text

    brought(park, "bird,date,weight,where", "Kelp,2026-04-03,310,in hand", "Sedge,2026-04-04,295,in hand")
    held = next(one for one in tables_held(date(2026, 6, 11)) if one.name == "weighing")
    text = "".join(csv_text(held))
    sheet = read_table(text.encode(), "weighing.csv", known_heading)
    assert likely_kind(sheet.headings) == "weights"
    columns = list_columns(sheet.headings, KINDS["weights"], {})
    plan = planned_list(sheet, columns, KINDS["weights"], Choices())
    assert (plan.refused, len(plan.in_before)) == ((), rows.Weighing.objects.count())
    others = {"metal_series": "series", "stock": "stock", "sex_finding": "results"}
    for one in tables_held(date(2026, 6, 11)):
        if one.name in others:
            list(one.rows)
            assert likely_kind(one.headings) == others[one.name], one.name
