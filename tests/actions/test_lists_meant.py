"""What a cell of a park's own list means: its unit, its numbers, its days; nothing is guessed in silence."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from list_files import brought, table
from tarsus.actions.lists import planned_list
from tarsus.queries.exports import tables_held
from tarsus.queries.lists import list_known
from tarsus.records import models as rows
from tarsus.tables.choices import Choices
from tarsus.tables.list_kinds import KINDS, known_heading, likely_kind, list_columns
from tarsus.tables.list_plan import plan_list
from tarsus.tables.reading import read_table
from tarsus.tables.writing import csv_text
from wendlebrook import MORNING

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 6, 11, 11, tzinfo=UTC)
"""By the park's clocks, a summer hour ahead."""


def grams_of(park: Any, bird: str, on: date) -> list[float]:
    found = rows.Weighing.objects.filter(bird=park[bird], happened_at__date=on)
    return list(found.values_list("weight_g", flat=True))


@pytest.mark.parametrize(
    "heading", ["weight_kg", "mass_kg", "Weight.kg", "Gewicht_(kg)", "KG", "weight [kg]"]
)
def test_a_heading_in_kilograms_is_one_however_it_is_written(park: Any, heading: str) -> None:
    done = brought(park, f"bird;date;{heading};where", "Kelp;2026-04-03;0.31;in hand")
    assert (done.told, done.refused) == (1, ())
    assert grams_of(park, "Kelp", date(2026, 4, 3)) == [310.0]


@pytest.mark.parametrize("heading", ["weight_lb", "Weight (oz)", "pounds"])
def test_a_heading_in_pounds_is_refused_until_each_cell_says_its_unit(park: Any, heading: str) -> None:
    lines = (
        f"bird;date;{heading};weighing",
        "Kelp;2026-04-03;0.7;in hand",
        "Sedge;2026-04-03;300 g;in hand",
    )
    done = brought(park, *lines, said={heading: "weight", "weighing": "where"}, what="weights")
    (refused,) = done.refused
    assert refused.reason == "'0.7' stands under a heading in pounds or ounces"
    assert (refused.field, refused.remedy) == (heading, "write it in g or kg")
    assert grams_of(park, "Sedge", date(2026, 4, 3)) == [300.0]
    assert grams_of(park, "Kelp", date(2026, 4, 3)) == []


def test_a_parks_own_bird_id_is_the_parks_number_and_not_the_registers(park: Any) -> None:
    rows.Bird.objects.filter(pk=park["Kelp"]).update(number=str(park["Samphire"]))
    lines = ("bird_id,date,weight,where", f"{park['Samphire']},2026-04-03,310,in hand")
    assert brought(park, *lines).told == 1
    assert grams_of(park, "Kelp", date(2026, 4, 3)) == [310.0]
    assert grams_of(park, "Samphire", date(2026, 4, 3)) == []


def test_a_parks_own_exhibit_id_is_a_name_and_its_colour_id_no_colour_of_ours(park: Any) -> None:
    rows.Exhibit.objects.filter(pk=park.shingle).update(name=str(park.reed))
    lines = ("id,bird,date,exhibit_id", f"1,Kelp,2026-05-02,{park.reed}")
    assert brought(park, *lines, what="sightings", said={"exhibit_id": "exhibit"}).told == 1
    assert rows.Sighting.objects.get(bird=park["Kelp"], happened_at__date="2026-05-02").exhibit_id == (
        park.shingle
    )
    colour = rows.Colour.objects.order_by("pk").values_list("pk", flat=True)[0]
    lines = ("id,what,colour_id,size,amount,date", f"1,colour,{colour},9.9,40,2026-04-03")
    done = brought(park, *lines, what="stock", said={"colour_id": "colour"})
    assert [one.reason for one in done.refused] == [f"'{colour}' is no colour of the palette"]


def test_the_ids_of_an_export_are_still_the_registers(park: Any) -> None:
    species = rows.Species.objects.get(pk=park.avocet).name
    brought(park, "nest,exhibit,species,begun", f"Box 4,Shingle Aviary,{species},2026-04-03")
    brought(park, "kind,colour,size,amount,date", "colour,red,9.9,40,2026-04-03")
    brought(park, "bird,date,weight,where", "Kelp,2026-04-03,310,in hand")
    tables = {one.name: one for one in tables_held(date(2026, 6, 11))}
    for name, once in (("nest", {}), ("stock", {"on": "2026-04-03"}), ("weighing", {})):
        sheet = read_table("".join(csv_text(tables[name])).encode(), f"{name}.csv", known_heading)
        kind = KINDS[likely_kind(sheet.headings)]
        columns = list_columns(sheet.headings, kind, {})
        plan = planned_list(sheet, columns, kind, Choices(once=once))
        assert (plan.refused, len(plan.in_before) + len(plan.lines)) == ((), len(sheet.rows)), name
        assert plan.in_before, name


def test_a_table_of_an_export_without_its_ids_is_not_read_as_the_parks_own_numbers(park: Any) -> None:
    rows.Bird.objects.filter(pk=park["Kelp"]).update(number=str(park["Samphire"]))
    head = "bird_id,happened_at,recorded_at,recorded_by_id,weight_g,where"
    line = f"{park['Samphire']},2026-04-03 09:00,2026-04-03 09:01,1,310,in hand"
    said = {"weight_g": "weight", "happened_at": "on"}
    (refused,) = brought(park, head, line, what="weights", said=said).refused
    assert refused.field == "bird_id"
    assert refused.reason.endswith("is a number of the register's own, and its line has no id")
    assert grams_of(park, "Kelp", date(2026, 4, 3)) == []


def test_a_day_alone_that_is_today_is_now_in_the_morning_and_noon_later(park: Any) -> None:
    sheet = table("bird,date,weight,where", "Kelp,2026-06-11,310,in hand", "Sedge,2026-06-10,295,in hand")
    kind = KINDS["weights"]
    columns = list_columns(sheet.headings, kind, {})
    ids = set()
    for now, hour in ((MORNING, MORNING), (MORNING + timedelta(hours=9), NOON)):
        plan = plan_list(sheet, columns, kind, Choices(), list_known(now), lambda _: ())
        assert [one.said.facts[0]["at"] for one in plan.lines] == [hour, NOON - timedelta(days=1)]
        ids.add(tuple(one.ids for one in plan.lines))
    assert len(ids) == 1, "later that day it is the same fact"


@pytest.mark.parametrize("text", ["3 OCT 2021", "3 OCTOBER 2021", "2021-10-03T00", "3 Oct 2021"])
def test_a_month_in_capitals_is_one(park: Any, text: str) -> None:
    sheet = table("bird,date,weight,where", f"Kelp,{text},310,in hand")
    plan = planned_list(
        sheet, list_columns(sheet.headings, KINDS["weights"], {}), KINDS["weights"], Choices()
    )
    assert [one.said.words for one in plan.lines] == ["2021-10-03: 310 g, in hand"]


def test_none_hatched_is_no_event_and_needs_no_day(park: Any) -> None:
    species = rows.Species.objects.get(pk=park.avocet).name
    head = "nest,exhibit,species,begun,eggs,hatched,hatched on,fledged"
    done = brought(park, head, f"Box 4,Shingle Aviary,{species},2026-04-03,0,0,,0")
    assert (done.told, done.refused) == (1, ())
    events = rows.Nest.objects.get(name="Box 4").events
    assert set(events.values_list("kind", "amount")) == {("eggs", 0)}


def test_a_day_of_before_the_register_is_refused_with_what_mends_it(park: Any) -> None:
    done = brought(park, "bird,date,exhibit", "Kelp,2001-05-02,Shingle Aviary")
    (refused,) = done.refused
    assert refused.reason.endswith("lies before this register begins")
    assert refused.remedy.endswith("or say first since when the birds live here")
    assert not rows.Sighting.objects.filter(happened_at__year=2001).exists()
