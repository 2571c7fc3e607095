"""Whose a found band or a carcase may be."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from phones import Phone
from tarsus.actions.bands.checks import check_band, name_owner_of_band, record_band_found
from tarsus.actions.bands.fitting import take_off_band
from tarsus.actions.birds.coming_going import name_carcase, record_death
from tarsus.actions.telling import Told
from tarsus.queries.duties import duties_of_park
from tarsus.queries.marks import bands_of
from tarsus.queries.today import today_at
from tarsus.queries.whose import open_carcases, open_finds, possible_owners
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db


def told(park: Wendlebrook, day: int = 11) -> Told:
    return Told(by=park.actors.tilda, at=datetime(2026, 6, day, 15, tzinfo=UTC))


def band(park: Wendlebrook, bird: str, word: str) -> int:
    return next(b.band_id for b in bands_of([park[bird]], DAY)[park[bird]] if b.word == word)


def test_a_green_band_may_be_any_wearers_and_those_that_lack_theirs_come_first(park: Wendlebrook) -> None:
    check_band(told=told(park, 9), band_id=band(park, "Sedge", "green"), conditions=["missing"])
    take_off_band(band_id=band(park, "Kelp", "green"), on=date(2026, 5, 2), why="lost", by=park.actors.maren)
    phone = Phone(park, park.actors.tilda)
    phone.send(phone.started(), phone.sighting("Samphire"))
    find = told(park)
    record_band_found(
        told=find, exhibit_id=park.shingle, kind="colour", colour="green", place_id=park.north_spit
    )
    owners = possible_owners(find.id)
    assert [(one.name, one.rank) for one in owners] == [("Sedge", 1), ("Kelp", 2), ("Samphire", 3)]
    assert owners[1].because == "such a band was written off as lost on 2026-05-02"
    assert owners[2].last_seen is not None
    (open_one,) = open_finds()
    assert (open_one.colour, open_one.place, open_one.finder) == ("green", "north spit", "Tilda")
    name_owner_of_band(
        told=told(park), found_id=find.id, band_id=band(park, "Sedge", "green"), because="it lacks it"
    )
    assert open_finds() == ()


def test_a_number_that_is_read_names_one_bird_wherever_it_lives(park: Wendlebrook) -> None:
    find = told(park)
    record_band_found(told=find, exhibit_id=park.reed, kind="metal", engraving="wb 20419")
    (owner,) = possible_owners(find.id)
    assert (owner.name, owner.rank, owner.because) == ("Sedge", 0, "its number is WB 20419")


def test_a_band_found_elsewhere_is_nobodys_here(park: Wendlebrook) -> None:
    find = told(park)
    record_band_found(told=find, exhibit_id=park.reed, kind="colour", colour="green")
    assert possible_owners(find.id) == ()


def test_a_carcase_may_be_any_bird_not_seen_since(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.tilda)
    early = {"at": "2026-06-08T07:00:00+01:00"}
    phone.send(
        phone.started(),
        {**phone.sighting("Sedge", round=None), **early},
        phone.sighting("Samphire"),
        phone.sighting("Kelp"),
        phone.inferred("Thrift", 0.99),
    )
    act = told(park, 9)
    record_death(
        told=act, exhibit_id=park.shingle, found_by="Oswin", species_id=park.avocet, carcase_label="C-4"
    )
    (carcase,) = open_carcases(park.shingle)
    assert (carcase.label, carcase.species) == ("C-4", "Pied avocet")
    assert [one.name for one in carcase.missed] == ["Thrift", "Marram", "Sedge"]
    name_carcase(told=told(park), death_id=act.id, bird_id=park["Sedge"], because="not seen since")
    assert open_carcases() == ()


def test_a_number_read_in_part_leaves_those_whose_number_it_can_be(park: Wendlebrook) -> None:
    find = told(park)
    record_band_found(told=find, exhibit_id=park.shingle, kind="metal", engraving="2041?")
    names = [(one.name, one.rank) for one in possible_owners(find.id)]
    assert names == [("Samphire", 0), ("Kelp", 0), ("Sedge", 0)], "20417, 20418, 20419; not 20420"


def test_a_bird_that_came_later_and_a_band_fitted_later_are_no_candidates(park: Wendlebrook) -> None:
    find = told(park)
    record_band_found(told=find, exhibit_id=park.shingle, kind="colour", colour="green")
    rows.Stay.objects.filter(bird_id=park["Kelp"]).update(from_on=date(2026, 6, 12))
    rows.Band.objects.filter(pk=band(park, "Sedge", "green")).update(from_on=date(2026, 6, 12))
    assert [one.name for one in possible_owners(find.id)] == ["Samphire"]
    now = datetime(2026, 6, 13, 8, tzinfo=UTC)
    (open_one,) = today_at(now).found
    assert [one.name for one in open_one.wearers] == ["Samphire"]
    (duty,) = [duty for duty in duties_of_park(now) if duty.kind == "band found alone"]
    assert duty.why.endswith("1 wear one. Nobody is taken for dead.")
    numbered = told(park)
    record_band_found(told=numbered, exhibit_id=park.shingle, kind="metal", engraving="WB 20421")
    rows.Band.objects.filter(pk=band(park, "Marram", "metal")).update(from_on=date(2026, 6, 12))
    assert "Marram" not in [one.name for one in possible_owners(numbered.id)]


def test_naming_the_owner_takes_the_band_off_its_record_and_taking_that_back_puts_it_on(
    park: Wendlebrook,
) -> None:
    phone = Phone(park, park.actors.tilda)
    find = phone.fact("band_found", exhibit=park.shingle, what="colour", colour="green")
    owner = phone.fact(
        "band_owner_named", found=find["id"], band=band(park, "Sedge", "green"), because="it lacks it"
    )
    assert phone.send(find, owner) == ["written", "written"]
    worn = rows.Band.objects.get(pk=owner["band"])
    assert (worn.to_on, worn.why_off) == (DAY, "lost")
    assert phone.send(phone.fact("withdrawn", corrects=owner["id"], because="it was Kelp's")) == ["written"]
    worn.refresh_from_db()
    assert (worn.to_on, worn.why_off) == (None, "")
    (open_one,) = open_finds()
    assert str(open_one.found_id) == find["id"]
    now = datetime(2026, 6, 13, 8, tzinfo=UTC)
    assert [duty.kind for duty in duties_of_park(now) if duty.kind == "band found alone"]
    later = rows.Band.objects.get(pk=band(park, "Kelp", "green"))
    later.from_on = date(2026, 6, 12)
    later.save(update_fields=["from_on"])
    (said,) = phone.send(phone.fact("band_owner_named", found=find["id"], band=later.pk, because="lacks it"))
    assert said == "band: it was fitted on 2026-06-12, after it was found; choose another"
