"""The inventory of the register: every deed lands in its column, and a signed month keeps its figures."""

from __future__ import annotations

from datetime import UTC, date, datetime
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tarsus.actions.birds.coming_going import arrive, change_owner, depart, name_carcase, record_death
from tarsus.actions.birds.identity import record_sex_finding
from tarsus.actions.birds.missing import record_whereabouts
from tarsus.actions.birds.moves import move_birds
from tarsus.actions.birds.register import NewBird, add_bird
from tarsus.actions.hearing.taking_back import withdraw
from tarsus.actions.nests import begin_nest, bird_from_nest, record_nest_event
from tarsus.actions.reports import keep_printed_inventory
from tarsus.actions.telling import Told
from tarsus.core.care.inventory.balance import InventoryLine, by_sex
from tarsus.core.errors import WrongValue
from tarsus.queries.flock import flock_of, roll_of
from tarsus.queries.inventory import (
    birds_of_number,
    inventory_between,
    inventory_by_exhibit,
    inventory_of_month,
)
from tarsus.queries.signed_months import signed_months
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
JUNE = date(2026, 6, 1)


def told(park: Wendlebrook, day: int, hour: int = 8) -> Told:
    return Told(by=park.actors.maren, at=datetime(2026, 6, day, hour, tzinfo=UTC))


def june(park: Wendlebrook, *, owned: bool = False, **scope: object) -> dict[tuple[str, str], InventoryLine]:
    known = inventory_between(JUNE, date(2026, 6, 30), **scope)  # type: ignore[arg-type]  # exhibits only
    assert all(line.balances for line in (*known.held, *known.owned))
    return {(line.species, line.sex): line for line in (known.owned if owned else known.held)}


def test_every_deed_lands_in_its_column(park: Wendlebrook) -> None:
    depart(told=told(park, 2), bird_id=park["Samphire"], went_to="a park in the south", stays_ours=True)
    record_death(told=told(park, 3), exhibit_id=park.shingle, found_by="Oswin", bird_id=park["Sedge"])
    record_whereabouts(told=told(park, 4), bird_id=park["Thrift"], state="escaped")
    record_whereabouts(told=told(park, 4, 15), bird_id=park["Thrift"], state="found again")
    record_whereabouts(told=told(park, 5), bird_id=park["Marram"], state="missing")
    record_sex_finding(told=told(park, 6), bird_id=park["Dock"], sex="M", known_by="DNA")
    guest = add_bird(
        bird=NewBird(species_id=park.ruff, house_name="Sorrel", owner="a park in the north"),
        by=park.actors.corin,
    )
    on_loan = {"came_from": "the north", "exhibit_id": park.shingle, "on_loan": True}
    arrive(told=told(park, 7), bird_id=guest, **on_loan)
    move_birds(told=told(park, 8), to_exhibit_id=park.reed, came=[park["Teasel"]])
    held = june(park)
    avocet, ruff = "Pied avocet", "Ruff"
    assert held[avocet, "F"] == InventoryLine(
        avocet, "F", opening=3, found_again=1, died=1, departed=1, missing=1, closing=1
    )
    assert held[avocet, "M"] == InventoryLine(avocet, "M", opening=2, missing=1, closing=1)
    assert held[ruff, "F"] == InventoryLine(ruff, "F", opening=1, closing=1)
    assert held[ruff, "M"] == InventoryLine(ruff, "M", opening=1, resexed_in=1, closing=2)
    assert held[ruff, "U"] == InventoryLine(ruff, "U", opening=1, arrived=1, resexed_out=1, closing=1)
    shingle = june(park, exhibits=[park.shingle])
    assert shingle[ruff, "F"] == InventoryLine(ruff, "F", opening=1, moved_out=1, closing=0)
    assert june(park, exhibits=[park.reed])[ruff, "F"] == InventoryLine(ruff, "F", moved_in=1, closing=1)
    owned = june(park, owned=True)
    assert owned[avocet, "F"].departed == 0
    assert (ruff, "U") in owned
    assert owned[ruff, "U"] == InventoryLine(ruff, "U", opening=1, resexed_out=1, closing=0)


def test_each_exhibit_has_its_own_inventory_with_the_birds_behind_each_number(park: Wendlebrook) -> None:
    move_birds(told=told(park, 8), to_exhibit_id=park.reed, came=[park["Teasel"]])
    record_death(told=told(park, 9), exhibit_id=park.shingle, found_by="Oswin", bird_id=park["Sedge"])
    by_exhibit = {one.exhibit_id: one.inventory for one in inventory_by_exhibit(JUNE, date(2026, 6, 30))}
    shingle, reed = by_exhibit[park.shingle], by_exhibit[park.reed]
    assert sorted(by_exhibit) == sorted([park.shingle, park.reed])
    assert (by_sex(shingle.held, "Ruff", "opening"), by_sex(shingle.held, "Ruff")) == ("1.1.1", "1.0.1")
    assert (by_sex(reed.held, "Ruff", "opening"), by_sex(reed.held, "Ruff")) == ("0.0.0", "0.1.0")
    assert by_sex(shingle.held, "Pied avocet") == "2.2.0"
    (moved,) = [line for line in reed.held if line.moved_in]
    assert birds_of_number(reed, moved, "moved_in") == ((park["Teasel"], "Teasel", date(2026, 6, 8)),)
    for number in (shingle, reed, inventory_between(JUNE, date(2026, 6, 30))):
        for owned, lines in ((False, number.held), (True, number.owned)):
            for line in lines:
                for column in ("opening", "died", "moved_in", "moved_out", "closing"):
                    behind = birds_of_number(number, line, column, owned=owned)
                    assert len(behind) == getattr(line, column), (line, column)


def test_the_closing_is_what_lives_here_by_the_flock(park: Wendlebrook) -> None:
    record_whereabouts(told=told(park, 5), bird_id=park["Marram"], state="missing")
    depart(told=told(park, 2), bird_id=park["Samphire"], went_to="the south")
    record_whereabouts(told=told(park, 6), bird_id=park["Marram"], state="presumed dead")
    record_whereabouts(told=told(park, 9), bird_id=park["Marram"], state="found again", exhibit_id=park.reed)
    for day in range(1, 12):
        on = date(2026, 6, day)
        lines = inventory_between(on, on).held
        here = [
            bird for home in (park.shingle, park.reed) for bird in flock_of(home, on) if not bird.whereabouts
        ]
        assert sum(line.closing for line in lines) == len(here), on
    marram = next(line for line in inventory_between(JUNE, date(2026, 6, 11)).held if line.sex == "M")
    assert (marram.missing, marram.found_again, marram.arrived) == (1, 1, 0)


def test_a_bought_bird_becomes_owned_without_coming(park: Wendlebrook) -> None:
    bird = add_bird(bird=NewBird(species_id=park.ruff, owner="the north"), by=park.actors.corin)
    arrive(told=told(park, 2), bird_id=bird, came_from="the north", exhibit_id=park.reed, on_loan=True)
    change_owner(told=told(park, 20), bird_id=bird, owner="", holder="")
    assert june(park)["Ruff", "U"] == InventoryLine("Ruff", "U", opening=1, arrived=1, closing=2)
    owned = {line.sex: line for line in inventory_between(date(2026, 6, 3), date(2026, 6, 30)).owned}
    assert owned["U"] == InventoryLine("Ruff", "U", opening=1, arrived=1, closing=2)


def test_chicks_out_of_a_nest_are_counted_once(park: Wendlebrook) -> None:
    nest = begin_nest(
        exhibit_id=park.shingle,
        species_id=park.ruff,
        name="under the jetty",
        from_on=date(2026, 5, 20),
        by=park.actors.tilda,
    )
    for day, kind, amount in ((2, "eggs", 4), (9, "hatched", 3), (14, "unbanded chicks", 2)):
        record_nest_event(told=told(park, day), nest_id=nest, kind=kind, amount=amount)
    act = told(park, 20)
    chick = bird_from_nest(told=act, nest_id=nest, hatched_on=date(2026, 6, 9), house_name="Chip")
    assert bird_from_nest(told=act, nest_id=nest, hatched_on=date(2026, 6, 9), house_name="Chip") == chick
    record_sex_finding(told=told(park, 20, 12), bird_id=chick, sex="F", known_by="DNA")
    known = inventory_of_month(JUNE).whole
    lines = {(line.species, line.sex): line for line in known.held}
    assert lines["Ruff", "U"] == InventoryLine(
        "Ruff", "U", opening=1, hatched=3, died=1, resexed_out=1, closing=2
    )
    assert lines["Ruff", "F"] == InventoryLine("Ruff", "F", opening=1, resexed_in=1, closing=2)
    assert known.eggs == (("Ruff", 1),)


def test_a_carcase_without_bands_lowers_the_count_until_it_has_a_name(park: Wendlebrook) -> None:
    act = told(park, 9)
    record_death(told=act, exhibit_id=park.shingle, found_by="Oswin", species_id=park.avocet)
    on = date(2026, 6, 9)
    assert roll_of(park.shingle, on) == {"avocet": 4, "ruff": 3}
    assert roll_of(park.shingle, date(2026, 6, 8)) == {"avocet": 5, "ruff": 3}
    assert june(park)["Pied avocet", "?"] == InventoryLine("Pied avocet", "?", died=1, closing=-1)
    name_carcase(told=told(park, 11), death_id=act.id, bird_id=park["Sedge"], because="not seen since")
    assert roll_of(park.shingle, on) == {"avocet": 4, "ruff": 3}
    held = june(park)
    assert ("Pied avocet", "?") not in held
    assert held["Pied avocet", "F"] == InventoryLine("Pied avocet", "F", opening=3, died=1, closing=2)


def test_a_withdrawn_death_leaves_no_trace_in_the_numbers(park: Wendlebrook) -> None:
    act = told(park, 9)
    record_death(told=act, exhibit_id=park.shingle, found_by="Oswin", bird_id=park["Kelp"])
    withdraw(told=told(park, 10), fact_id=act.id, because="the number was misread")
    assert june(park)["Pied avocet", "M"] == InventoryLine("Pied avocet", "M", opening=2, closing=2)


def test_a_signed_month_keeps_its_figures_and_adjustments_stand_beside_it(park: Wendlebrook) -> None:
    with pytest.raises(WrongValue, match=r"month: .* is not over; keep it from"):
        keep_printed_inventory(month=date(2099, 6, 15), by=park.actors.corin)
    march = date(2026, 3, 9)
    keep_printed_inventory(month=march, by=park.actors.corin)
    (before,) = signed_months(inventory_of_month(march))
    assert before.adjustments == ()
    late = Told(by=park.actors.maren, at=datetime(2026, 3, 30, 8, tzinfo=UTC), id=uuid4())
    record_death(told=late, exhibit_id=park.shingle, found_by="Oswin", bird_id=park["Kelp"])
    move_birds(
        told=Told(by=park.actors.maren, at=datetime(2026, 3, 20, 8, tzinfo=UTC)),
        to_exhibit_id=park.reed,
        came=[park["Teasel"]],
    )
    (after,) = signed_months(inventory_of_month(march))
    assert (after.held, after.owned, after.exhibits) == (before.held, before.owned, before.exhibits)
    told = [(one.basis, one.exhibit, one.sex, one.column, one.signed, one.now) for one in after.adjustments]
    shingle, reed = (rows.Exhibit.objects.get(pk=pk).name for pk in (park.shingle, park.reed))
    died = [("M", "died", 0, 1), ("M", "closing", 2, 1)]
    assert [one[2:] for one in told if one[:2] == ("held", "")] == died
    assert [one[2:] for one in told if one[:2] == ("owned", "")] == died
    left = [("F", "moved_out", 0, 1), ("F", "closing", 1, 0)]
    assert [one[2:] for one in told if one[1] == shingle] == [*died, *left]
    assert [one[2:] for one in told if one[1] == reed] == [("F", "moved_in", 0, 1), ("F", "closing", 0, 1)]


def test_an_inventory_costs_the_same_questions_however_many_birds_there_are(park: Wendlebrook) -> None:
    with CaptureQueriesContext(connection) as few:
        inventory_of_month(JUNE)
    for number in range(30):
        bird = add_bird(
            bird=NewBird(species_id=park.ruff, house_name=f"Ruff {number}"),
            by=park.actors.corin,
            exhibit_id=park.reed,
            on=JUNE,
        )
        record_sex_finding(told=told(park, 3), bird_id=bird, sex="F", known_by="size")
    with CaptureQueriesContext(connection) as many:
        inventory_of_month(JUNE)
    assert len(many) == len(few)
    assert rows.Bird.objects.count() == 38
