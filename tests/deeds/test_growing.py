"""From the nest to the banded bird: its parents, its day, its band, and the checks that its age asks for."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any
from uuid import uuid4

import pytest

from deeds.test_door import Teller
from tarsus.actions.facts import Answer, hear_facts
from tarsus.queries.bird_events import events_of
from tarsus.queries.duties import duties_of_bird
from tarsus.queries.nests import lines_of_nests, nest_page
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 6, 30, 9, tzinfo=UTC)


@pytest.fixture
def says(park: Wendlebrook) -> Teller:
    return Teller(park)


def on(park: Wendlebrook, day: int, kind: str, **said: Any) -> Answer:
    """Tell a deed of a day in June, as Tilda."""
    at = datetime(2026, 6, day, 11, tzinfo=UTC).isoformat()
    fact = {"id": str(uuid4()), "kind": kind, "at": at, "by": park.actors.tilda, **said}
    (answer,) = hear_facts(facts=[fact], clock=None, device="", speaker=park.actors.tilda)
    return answer


@pytest.fixture
def nest(park: Wendlebrook) -> int:
    """Sedge (female) and Marram (male) with three eggs, two of which hatched on different days."""
    pair = on(park, 1, "pair_formed", one=park["Marram"], other=park["Sedge"]).wrote["pair"]
    told = {"exhibit": park.shingle, "species": park.avocet, "name": "reed edge", "pair": pair}
    nest = int(on(park, 2, "nest_begun", **told).wrote["nest"])
    on(park, 2, "nest_event", nest=nest, event="eggs", amount=3)
    on(park, 18, "nest_event", nest=nest, event="hatched", amount=1)
    return nest


BAND = {"site": "left leg", "what": "colour", "colour": "lime"}


def test_banded_it_is_a_bird_with_parents_day_and_band(park: Wendlebrook, nest: int) -> None:
    made = on(park, 25, "bird_from_nest", nest=nest, house_name="Chip", **BAND)
    chick = rows.Bird.objects.get(pk=made.wrote["bird"])
    assert (chick.dam_id, chick.sire_id) == (park["Sedge"], park["Marram"])
    assert (chick.hatched_on, chick.hatched_precision) == (date(2026, 6, 18), "day")
    assert (chick.origin, chick.nest_id) == ("hatched here", nest)
    band = rows.Band.objects.get(bird=chick)
    assert (band.site, band.colour.name if band.colour else "", band.temporary) == ("left leg", "lime", False)
    (shown,) = nest_page(park.shingle, NOW).nests
    assert (shown.standing.chicks, shown.standing.banded, shown.standing.eggs) == (0, 1, 2)


def test_its_leg_is_looked_at_though_nobody_called_the_band_temporary(park: Wendlebrook, nest: int) -> None:
    made = on(park, 25, "bird_from_nest", nest=nest, house_name="Chip", **BAND)
    told = {duty.kind: duty for duty in duties_of_bird(int(made.wrote["bird"]), NOW)}
    assert told["chick band check"].why.startswith("A chick of 12 days; the leg outgrows it")


def test_hatched_on_two_days_it_is_about_the_later_one(park: Wendlebrook, nest: int) -> None:
    on(park, 20, "nest_event", nest=nest, event="hatched", amount=1)
    made = on(park, 25, "bird_from_nest", nest=nest)
    chick = rows.Bird.objects.get(pk=made.wrote["bird"])
    assert (chick.hatched_on, chick.hatched_precision) == (date(2026, 6, 20), "about")


def test_half_a_band_is_no_band(park: Wendlebrook, nest: int) -> None:
    refused = on(park, 25, "bird_from_nest", nest=nest, what="colour", colour="lime")
    assert (refused.outcome, refused.place) == ("refused", "site")
    assert not rows.Bird.objects.filter(nest_id=nest).exists()


def test_a_wrong_banding_is_put_right_on_the_same_bird(park: Wendlebrook, nest: int) -> None:
    wrong = on(park, 25, "bird_from_nest", nest=nest, house_name="Chip", number="A7", **BAND)
    bird = int(wrong.wrote["bird"])
    right = {"nest": nest, "house_name": "Chip", "number": "A7", **BAND, "site": "right leg"}
    why = {"corrects": wrong.id, "why_corrected": "it is the other leg"}
    again = on(park, 25, "bird_from_nest", hatched_on="2026-06-17", **right, **why)
    assert int(again.wrote["bird"]) == bird, again.reason
    assert rows.Bird.objects.get(pk=bird).hatched_on == date(2026, 6, 17)
    worn = rows.Band.objects.filter(bird_id=bird, taken_back_at__isnull=True)
    assert [band.site for band in worn] == ["right leg"]
    assert rows.Band.objects.filter(bird_id=bird).count() == 2, "nothing is overwritten"
    assert rows.Stay.objects.filter(bird_id=bird, taken_back_at__isnull=True).count() == 1
    (line,) = [line for line in lines_of_nests([nest])[nest] if line.text.startswith("Banded")]
    assert (line.deed, str(line.fact)) == ("bird_from_nest", again.id)
    (shown,) = nest_page(park.shingle, NOW).nests
    assert shown.standing.banded == 1


def test_a_chick_that_never_was_gives_its_number_up(park: Wendlebrook, nest: int) -> None:
    wrong = on(park, 25, "bird_from_nest", nest=nest, number="A7", **BAND)
    on(park, 26, "withdrawn", corrects=wrong.id, because="it was a rail's")
    assert not rows.Stay.objects.filter(bird_id=wrong.wrote["bird"], taken_back_at__isnull=True).exists()
    assert not rows.Band.objects.filter(bird_id=wrong.wrote["bird"], taken_back_at__isnull=True).exists()
    assert on(park, 26, "bird_from_nest", nest=nest, number="A7").outcome == "written"


def test_where_a_nest_is_is_put_right_and_what_was_found_stays(park: Wendlebrook, nest: int) -> None:
    (shown,) = nest_page(park.shingle, NOW).nests
    said = {"exhibit": park.shingle, "species": park.avocet, "name": "north bank", "forbids_chase": True}
    for name in ("north bank", "north bank, upper"):
        (shown,) = nest_page(park.shingle, NOW).nests
        why = {"corrects": str(shown.deed), "why_corrected": "not where it is"}
        assert on(park, 3, "nest_begun", **said | {"name": name}, **why).outcome == "written"
    (shown,) = nest_page(park.shingle, NOW).nests
    assert (shown.nest_id, shown.name, shown.standing.eggs) == (nest, "north bank, upper", 2)
    changed = rows.Change.objects.filter(table="nest", key=str(nest), field="name")
    assert set(changed.values_list("before", "after")) == {
        ("reed edge", "north bank"),
        ("north bank", "north bank, upper"),
    }


def test_every_line_of_a_life_names_the_deed_that_puts_it_right(park: Wendlebrook, nest: int) -> None:
    bird = int(on(park, 25, "bird_from_nest", nest=nest, house_name="Chip").wrote["bird"])
    deeds = {event.text: event.deed for event in events_of(bird)}
    assert deeds["Came to live in Shingle Aviary: first written down."] == "bird_from_nest"


def test_a_later_word_of_a_bird_stands_when_its_banding_is_put_right(park: Wendlebrook, nest: int) -> None:
    wrong = on(park, 25, "bird_from_nest", nest=nest, house_name="Chip", number="A7", **BAND)
    bird = int(wrong.wrote["bird"])
    at = datetime(2026, 6, 26, 9, tzinfo=UTC).isoformat()
    said = {
        "house_name": "Chipper",
        "legal_mark": "WB 9",
        "certificate": "EC 12",
        "foster_dam": park["Sedge"],
    }
    fact = {
        "id": str(uuid4()),
        "kind": "bird_changed",
        "at": at,
        "by": park.actors.corin,
        "bird": bird,
        **said,
    }
    (changed,) = hear_facts(facts=[fact], clock=None, device="", speaker=park.actors.corin)
    assert changed.outcome == "written", changed.reason
    right = {"nest": nest, "house_name": "Chip", "number": "A7", "hatched_on": "2026-06-17", **BAND}
    on(park, 25, "bird_from_nest", **right, corrects=wrong.id, why_corrected="a day earlier")
    row = rows.Bird.objects.get(pk=bird)
    assert row.hatched_on == date(2026, 6, 17)
    assert (row.house_name, row.legal_mark, row.certificate, row.foster_dam_id, row.number) == (
        "Chipper",
        "WB 9",
        "EC 12",
        park["Sedge"],
        "A7",
    )


def test_a_chicks_band_that_never_was_goes_back_into_the_drawer(park: Wendlebrook, nest: int) -> None:
    lime = rows.Colour.objects.get(name="lime")
    drawer = rows.Stock.objects.create(kind="colour", colour=lime, size="4", amount=5)
    wrong = on(park, 25, "bird_from_nest", nest=nest, size="4", **BAND)
    drawer.refresh_from_db()
    assert drawer.amount == 4
    on(park, 26, "withdrawn", corrects=wrong.id, because="it was a rail's")
    drawer.refresh_from_db()
    assert drawer.amount == 5


def test_a_nest_does_not_begin_after_its_end_and_keeps_its_name_though_another_has_it_now(
    park: Wendlebrook, nest: int
) -> None:
    (shown,) = nest_page(park.shingle, NOW).nests
    said = {"exhibit": park.shingle, "species": park.avocet, "name": "reed edge"}
    why = {"corrects": str(shown.deed), "why_corrected": "another day"}
    on(park, 27, "nest_ended", nest=nest)
    after = on(park, 28, "nest_begun", **said, **why)
    assert (after.outcome, after.place) == ("refused", "at")
    other = on(park, 29, "nest_begun", **said)
    assert other.outcome == "written", "the name is free again"
    again = on(park, 1, "nest_begun", **said, **why)
    assert again.outcome == "written", "the ended one of the same name is put right all the same"
