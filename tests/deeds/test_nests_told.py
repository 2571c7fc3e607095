"""Nests through the door: what is kept of them, and what a chick becomes."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from deeds.test_door import Teller, says
from phones import SEVEN
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]


def on(day: int) -> dict[str, str]:
    """A day of June, at the hour of the roll call."""
    return {"at": (SEVEN + timedelta(days=day - SEVEN.day)).isoformat()}


@pytest.fixture
def spit(park: Wendlebrook) -> dict[str, Any]:
    return {"exhibit": park.shingle, "species": park.avocet, "name": " spit ", "place": park.north_spit}


def test_a_nest_is_kept_with_its_place_and_its_pair(
    says: Teller, park: Wendlebrook, spit: dict[str, Any]
) -> None:
    pair = says.done("tilda", "pair_formed", one=park["Marram"], other=park["Sedge"]).wrote["pair"]
    made = says.done("tilda", "nest_begun", **spit, pair=pair, forbids_chase=False, **on(3))
    row = rows.Nest.objects.get(pk=made.wrote["nest"])
    assert (row.name, row.exhibit_id, row.species_id, row.place_id, row.pair_id) == (
        "spit",
        park.shingle,
        park.avocet,
        park.north_spit,
        pair,
    )
    assert (row.from_on, row.forbids_chase, row.recorded_by_id, str(row.deed)) == (
        date(2026, 6, 3),
        False,
        park.actors.tilda,
        made.id,
    )


def test_one_name_is_one_nests_in_an_exhibit_while_it_lasts(
    says: Teller, park: Wendlebrook, spit: dict[str, Any]
) -> None:
    first = says.done("tilda", "nest_begun", **spit, forbids_chase=True)
    assert rows.Nest.objects.get().forbids_chase
    refused = says.tell("tilda", "nest_begun", **{**spit, "name": "spit"})
    assert refused.reason == "name: a nest spit is there already; choose another name"
    says.done("tilda", "nest_begun", **{**spit, "exhibit": park.reed, "place": park.reed_perch})
    says.done("tilda", "nest_ended", nest=first.wrote["nest"])
    again = says.done("tilda", "nest_begun", **spit)
    assert again.wrote != first.wrote
    assert says.tell("tilda", "nest_ended", nest=first.wrote["nest"]).outcome == "known"


def test_a_nest_put_right_keeps_its_number_and_what_it_was_stays_readable(
    says: Teller, park: Wendlebrook, spit: dict[str, Any]
) -> None:
    wrong = says.done("tilda", "nest_begun", **spit, **on(5))
    key = wrong.wrote["nest"]
    egg = says.done("tilda", "nest_event", nest=key, event="eggs", amount=3, note="warm", **on(6))
    right = {"exhibit": park.reed, "species": park.ruff, "name": " perch ", "place": park.reed_perch}
    instead = {"corrects": wrong.id, "why_corrected": "the other house"}
    told = says.done("tilda", "nest_begun", **right, forbids_chase=False, **instead, **on(4))
    assert told.wrote["nest"] == key
    row = rows.Nest.objects.get()
    assert (row.name, row.exhibit_id, row.species_id, row.place_id, row.forbids_chase, row.from_on) == (
        "perch",
        park.reed,
        park.ruff,
        park.reed_perch,
        False,
        date(2026, 6, 4),
    )
    assert (row.taken_back_at, row.taken_back_by_id, row.taken_back_because) == (None, None, "")
    changes = dict(rows.Change.objects.filter(table="nest", key=str(key)).values_list("field", "before"))
    assert changes["name"] == "spit"
    assert changes["from_on"] == "2026-06-05"
    assert set(rows.Change.objects.values_list("by", flat=True)) == {park.actors.tilda}
    event = rows.NestEvent.objects.get(pk=egg.id)
    assert (event.nest_id, event.kind, event.amount, event.note) == (key, "eggs", 3, "warm")


@pytest.mark.parametrize(
    ("wrong", "reason"),
    [
        ({"name": "   "}, "name: is empty; "),
        ({"name": "rail"}, "name: a nest rail is there already; choose another name"),
        ({"exhibit": 9_999}, "exhibit: "),
        ({"species": 9_999}, "species: "),
        ({"pair": 9_999}, "pair: "),
        ({"exhibit": "reed"}, "place: no place of this exhibit"),
    ],
)
def test_a_nest_is_not_put_right_to_what_cannot_be(
    says: Teller, park: Wendlebrook, spit: dict[str, Any], wrong: dict[str, Any], reason: str
) -> None:
    says.done("tilda", "nest_begun", **{**spit, "name": "rail"})
    first = says.done("tilda", "nest_begun", **spit)
    said = {**spit, **wrong, "corrects": first.id, "why_corrected": "x"}
    if said["exhibit"] == "reed":
        said["exhibit"] = park.reed
    refused = says.tell("tilda", "nest_begun", **said)
    assert refused.reason.startswith(reason)
    row = rows.Nest.objects.get(pk=first.wrote["nest"])
    assert (row.name, row.taken_back_at) == ("spit", None), "what was refused took nothing back"


def test_a_nest_that_was_a_mistake_is_taken_back_however_often_it_was_put_right(
    says: Teller, park: Wendlebrook, spit: dict[str, Any]
) -> None:
    first = says.done("tilda", "nest_begun", **spit)
    second = says.done(
        "tilda", "nest_begun", **{**spit, "name": "rail"}, corrects=first.id, why_corrected="x"
    )
    says.done("tilda", "withdrawn", corrects=second.id, because="gulls")
    row = rows.Nest.objects.get()
    assert (row.name, row.taken_back_by_id, row.taken_back_because) == ("rail", park.actors.tilda, "gulls")
    says.done("tilda", "nest_begun", **{**spit, "name": "rail"})


def test_nothing_is_found_at_a_nest_before_it_was_begun(
    says: Teller, park: Wendlebrook, spit: dict[str, Any]
) -> None:
    key = says.done("tilda", "nest_begun", **spit, **on(5)).wrote["nest"]
    early = says.tell("tilda", "nest_event", nest=key, event="eggs", amount=2, **on(4))
    assert early.reason == ("at: 2026-06-04 is before this nest was begun (2026-06-05); choose a later day")
    says.done("tilda", "nest_event", nest=key, event="eggs", amount=2, **on(5))
    for event in ("eggs", "hatched", "unbanded chicks", "fledged", "vanished", "dead"):
        bare = says.tell("tilda", "nest_event", nest=key, event=event)
        assert bare.reason == "amount: is missing; say how many", event
    says.done("tilda", "nest_event", nest=key, event="failed")


def test_a_chick_of_a_nest_without_a_pair_has_no_parents_and_its_own_day(
    says: Teller, park: Wendlebrook, spit: dict[str, Any]
) -> None:
    key = says.done("tilda", "nest_begun", **spit, **on(2)).wrote["nest"]
    unknown = says.done("tilda", "bird_from_nest", nest=key, house_name="Chip", number="A1")
    chip = rows.Bird.objects.get(pk=unknown.wrote["bird"])
    assert (chip.house_name, chip.number, chip.species_id) == ("Chip", "A1", park.avocet)
    assert (chip.dam_id, chip.sire_id, chip.hatched_on, chip.hatched_precision) == (
        None,
        None,
        None,
        "unknown",
    )
    stay = rows.Stay.objects.get(bird=chip)
    assert (stay.exhibit_id, stay.from_on, str(stay.begun_through)) == (park.shingle, DAY, unknown.id)
    banded = rows.NestEvent.objects.get(pk=unknown.id)
    assert (banded.kind, banded.bird_id, banded.nest_id) == ("banded", chip.pk, key)
    said = says.done("tilda", "bird_from_nest", nest=key, hatched_on="2026-06-07")
    chick = rows.Bird.objects.get(pk=said.wrote["bird"])
    assert (chick.hatched_on, chick.hatched_precision) == (date(2026, 6, 7), "day")


def test_a_chick_hatched_by_what_was_told_up_to_its_banding_and_no_later(
    says: Teller, park: Wendlebrook, spit: dict[str, Any]
) -> None:
    key = says.done("tilda", "nest_begun", **spit, **on(2)).wrote["nest"]
    says.done("tilda", "nest_event", nest=key, event="hatched", amount=1, **on(8))
    mistaken = says.done("tilda", "nest_event", nest=key, event="hatched", amount=1, **on(9))
    says.done("tilda", "withdrawn", corrects=mistaken.id, because="another nest")
    first = says.done("tilda", "bird_from_nest", nest=key, **on(10))
    chick = rows.Bird.objects.get(pk=first.wrote["bird"])
    assert (chick.hatched_on, chick.hatched_precision) == (date(2026, 6, 8), "day")
    says.done("tilda", "nest_event", nest=key, event="hatched", amount=1, **on(11))
    early = says.done("tilda", "bird_from_nest", nest=key, **on(10))
    assert rows.Bird.objects.get(pk=early.wrote["bird"]).hatched_on == date(2026, 6, 8)


def test_parents_are_told_apart_by_their_sex_as_far_as_it_is_known(
    says: Teller, park: Wendlebrook, spit: dict[str, Any]
) -> None:
    ruffs = {**spit, "species": park.ruff}
    for name, two, parents in (
        ("a", ("Burdock", "Teasel"), ("Teasel", "Burdock")),
        ("b", ("Teasel", "Burdock"), ("Teasel", "Burdock")),
        ("c", ("Dock", "Burdock"), (None, "Burdock")),
    ):
        pair = says.done("tilda", "pair_formed", one=park[two[0]], other=park[two[1]]).wrote["pair"]
        key = says.done("tilda", "nest_begun", **{**ruffs, "name": name}, pair=pair).wrote["nest"]
        made = says.done("tilda", "bird_from_nest", nest=key)
        chick = rows.Bird.objects.get(pk=made.wrote["bird"])
        expected = tuple(park[one] if one else None for one in parents)
        assert (chick.dam_id, chick.sire_id) == expected, name


def test_the_band_of_a_chick_is_whole_or_none(says: Teller, park: Wendlebrook, spit: dict[str, Any]) -> None:
    key = says.done("tilda", "nest_begun", **spit).wrote["nest"]
    for half, place in (
        ({"what": "colour", "colour": "lime"}, "site"),
        ({"site": "left leg", "colour": "lime"}, "what"),
        ({"engraving": "WB 9"}, "site"),
        ({"size": "6 mm"}, "site"),
        ({"temporary": True}, "site"),
    ):
        refused = says.tell("tilda", "bird_from_nest", nest=key, **half)
        assert refused.place == place, half
        assert refused.reason.endswith("is missing; say where the band sits and of what kind it is")
    band = {"site": "left leg", "what": "metal", "engraving": "WB 9", "size": "4", "temporary": True}
    made = says.done("tilda", "bird_from_nest", nest=key, **band)
    row = rows.Band.objects.get(pk=made.wrote["band"])
    assert (row.bird_id, row.site, row.kind, row.engraving, row.size, row.temporary, row.from_on) == (
        made.wrote["bird"],
        "left leg",
        "metal",
        "WB 9",
        "4",
        True,
        DAY,
    )
    assert row.recorded_by_id == park.actors.tilda
