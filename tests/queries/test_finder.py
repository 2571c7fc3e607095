"""A bird is found by any part of what it is known by."""

from __future__ import annotations

from datetime import UTC, date, datetime

from django.db import connection
from django.test.utils import CaptureQueriesContext

from tarsus.queries.finder import find_birds
from tarsus.records import models as rows
from wendlebrook import BEGUN, Wendlebrook

NOW = datetime(2026, 6, 12, 7, 30, tzinfo=UTC)


def names(sought: str) -> list[str]:
    return [bird.name for bird in find_birds(sought, NOW).birds]


def chip(park: Wendlebrook, name: str, number: str) -> None:
    tilda = rows.Person.objects.get(login="tilda")
    rows.Transponder.objects.create(
        bird=rows.Bird.objects.get(house_name=name), number=number, from_on=BEGUN, recorded_by=tilda
    )


def test_any_part_of_a_name_finds_the_whole_ones_first(park: Wendlebrook) -> None:
    rows.Bird.objects.create(
        species_id=park.ruff, house_name="Docker", recorded_by=rows.Person.objects.get(login="tilda")
    )
    assert names("dock")[0] == "Dock"
    assert set(names("DOCK")) == {"Dock", "Docker", "Burdock"}
    assert names("zzz") == names("  ") == []


def test_an_engraving_is_found_however_it_is_spaced_and_after_it_came_off(park: Wendlebrook) -> None:
    band = rows.Band.objects.exclude(engraving_key="").select_related("bird").first()
    assert band is not None
    rows.Band.objects.filter(pk=band.pk).update(to_on=date(2026, 6, 1), why_off="replaced")
    part = band.engraving_key[-4:].lower()
    found = find_birds(f"{part[:2]} {part[2:]}", NOW).birds
    told = {bird.name: bird.known_by for bird in found}
    assert told[band.bird.house_name] == (f"engraving {band.engraving}",)


def test_a_transponder_is_found_by_its_last_digits(park: Wendlebrook) -> None:
    chip(park, "Samphire", "982000411234567")
    assert names("4567") == ["Samphire"]
    assert find_birds("4567", NOW).birds[0].known_by == ("transponder 982000411234567",)


def test_a_bird_that_lives_nowhere_now_is_found_after_those_that_do(park: Wendlebrook) -> None:
    tilda = rows.Person.objects.get(login="tilda")
    gone = rows.Bird.objects.create(species_id=park.ruff, house_name="Kelpie", recorded_by=tilda)
    found = find_birds("kelp", NOW).birds
    assert [(bird.name, bird.portrait is None) for bird in found] == [("Kelp", False), ("Kelpie", True)]
    assert found[1].exhibit == ""
    assert gone.pk == found[1].bird_id


def test_finding_costs_the_same_questions_however_many_are_found(park: Wendlebrook) -> None:
    with CaptureQueriesContext(connection) as few:
        find_birds("Samphire", NOW)
    with CaptureQueriesContext(connection) as many:
        find_birds("e", NOW)
    assert len(many) == len(few) <= 18
