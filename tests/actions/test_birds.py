"""Birds come, move, are lost and found, and die; the register says where each was on any day."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest

from tarsus.actions.birds.coming_going import (
    answer_post_mortem,
    arrive,
    depart,
    name_carcase,
    record_death,
)
from tarsus.actions.birds.identity import (
    give_transponder,
    note_natural_mark,
    pair_birds,
    part_pair,
    record_sex_finding,
    review_natural_mark,
    take_sex_sample,
)
from tarsus.actions.birds.missing import record_whereabouts
from tarsus.actions.birds.moves import move_birds
from tarsus.actions.birds.register import NewBird, add_bird, change_bird
from tarsus.actions.hearing.taking_back import withdraw
from tarsus.actions.refusals import AlreadySo, NotThere, OutOfOrder
from tarsus.actions.roll_call.sightings import record_sighting
from tarsus.actions.telling import Told
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.queries.flock import flock_of
from tarsus.records import models as rows
from wendlebrook import BEGUN, DAY, Wendlebrook

pytestmark = pytest.mark.django_db
NINE = datetime(2026, 6, 11, 8, 0, tzinfo=UTC)


def told(park: Wendlebrook, day: int = 11, hour: int = 8) -> Told:
    return Told(by=park.actors.maren, at=datetime(2026, 6, day, hour, tzinfo=UTC))


def names(exhibit: int, day: date = DAY) -> set[str]:
    return {bird.name for bird in flock_of(exhibit, day)}


def test_a_group_moves_in_one_act_and_says_who_would_not_come(park: Wendlebrook) -> None:
    act = told(park)
    moved = {
        "to_exhibit_id": park.reed,
        "from_exhibit_id": park.shingle,
        "came": [park["Teasel"], park["Dock"]],
        "would_not": {park["Burdock"]: "stayed under the jetty"},
        "because": "the reeds are cut",
    }
    assert move_birds(told=act, **moved)
    assert not move_birds(told=act, **moved)
    assert names(park.reed) == {"Teasel", "Dock"}
    assert names(park.reed, DAY - timedelta(days=1)) == set()
    assert "Burdock" in names(park.shingle)
    assert "Teasel" in names(park.shingle, DAY - timedelta(days=1))
    stayed = rows.MovedBird.objects.get(came=False)
    assert (stayed.bird_id, stayed.because) == (park["Burdock"], "stayed under the jetty")


def test_a_move_that_cannot_be_moves_nobody(park: Wendlebrook) -> None:
    birds = [park["Teasel"], park["Dock"]]
    with pytest.raises(NotThere, match=r"^came: Teasel lives in Shingle Aviary, not where it is moved from"):
        move_birds(told=told(park), to_exhibit_id=park.shingle, from_exhibit_id=park.reed, came=birds)
    with pytest.raises(AlreadySo, match=r"^came: Teasel lives in Shingle Aviary already"):
        move_birds(told=told(park), to_exhibit_id=park.shingle, came=birds)
    with pytest.raises(WrongValue, match=r"^would_not: Teasel cannot both come and stay"):
        move_birds(told=told(park), to_exhibit_id=park.reed, came=birds, would_not={park["Teasel"]: ""})
    early = Told(by=park.actors.maren, at=datetime(2026, 2, 1, tzinfo=UTC))
    with pytest.raises(OutOfOrder, match="lives in Shingle Aviary only since 2026-03-01"):
        move_birds(told=early, to_exhibit_id=park.reed, came=birds)
    assert not rows.Move.objects.exists()
    assert len(names(park.shingle)) == 8


def test_there_and_back_on_one_day_ends_where_it_ended(park: Wendlebrook) -> None:
    move_birds(told=told(park), to_exhibit_id=park.reed, came=[park["Dock"]])
    move_birds(told=told(park, hour=15), to_exhibit_id=park.shingle, came=[park["Dock"]])
    assert "Dock" in names(park.shingle)
    assert names(park.reed) == set()


def test_a_withdrawn_move_puts_the_bird_back(park: Wendlebrook) -> None:
    act = told(park)
    move_birds(told=act, to_exhibit_id=park.reed, came=[park["Dock"]])
    withdraw(told=told(park, hour=9), fact_id=act.id, because="it was Burdock")
    assert "Dock" in names(park.shingle)
    assert names(park.reed) == set()
    move_birds(told=told(park, hour=10), to_exhibit_id=park.reed, came=[park["Dock"]])
    assert names(park.reed) == {"Dock"}


def test_a_move_on_which_a_later_one_leans_is_not_withdrawn_alone(park: Wendlebrook) -> None:
    act = told(park, 3)
    move_birds(told=act, to_exhibit_id=park.reed, came=[park["Dock"]])
    move_birds(told=told(park, 5), to_exhibit_id=park.shingle, came=[park["Dock"]])
    with pytest.raises(OutOfOrder, match=r"^corrects: Dock was moved again since; take that back first"):
        withdraw(told=told(park), fact_id=act.id, because="it was Burdock")
    assert not rows.Withdrawal.objects.exists()


def test_a_bird_arrives_departs_and_comes_back(park: Wendlebrook) -> None:
    bird = add_bird(bird=NewBird(species_id=park.ruff, house_name="Sorrel"), by=park.actors.corin)
    assert "Sorrel" not in names(park.shingle)
    arrive(told=told(park, 2), bird_id=bird, came_from="a park in the north", exhibit_id=park.shingle)
    depart(told=told(park, 8), bird_id=bird, went_to="a park in the south")
    assert [("Sorrel" in names(park.shingle, date(2026, 6, d))) for d in (1, 2, 7, 8, 11)] == [
        False,
        True,
        True,
        False,
        False,
    ]
    with pytest.raises(NotThere, match=r"^bird: Sorrel lives in no exhibit now"):
        depart(told=told(park, 9), bird_id=bird, went_to="a park in the south")
    with pytest.raises(OutOfOrder, match="until 2026-06-08; choose that day or later"):
        arrive(told=told(park, 5), bird_id=bird, came_from="the south", exhibit_id=park.shingle)
    arrive(told=told(park, 10), bird_id=bird, came_from="the south", exhibit_id=park.reed)
    assert names(park.reed) == {"Sorrel"}


def test_one_bird_is_written_once_and_its_number_is_its_own(park: Wendlebrook) -> None:
    deed = uuid4()
    new = NewBird(species_id=park.ruff, house_name="Sorrel", number="R-9")
    by = park.actors.corin
    first = add_bird(bird=new, by=by, exhibit_id=park.shingle, on=DAY, deed=deed)
    assert add_bird(bird=new, by=by, exhibit_id=park.shingle, on=DAY, deed=deed) == first
    with pytest.raises(AlreadySo, match=r"^number: R-9 is Sorrel's number; choose another"):
        add_bird(bird=new, by=by)


def test_what_a_bird_was_called_before_stays_readable(park: Wendlebrook) -> None:
    assert change_bird(bird_id=park["Dock"], by=park.actors.maren, changes={"house_name": "Sorrel"})
    assert not change_bird(bird_id=park["Dock"], by=park.actors.maren, changes={"house_name": "Sorrel"})
    line = rows.Change.objects.get()
    assert (line.before, line.after, line.by_id) == ("Dock", "Sorrel", park.actors.maren)
    with pytest.raises(UnknownWord, match=r"^sex: 'sex' is no field that is changed here"):
        change_bird(bird_id=park["Dock"], by=park.actors.maren, changes={"sex": "M"})


def test_a_missing_bird_keeps_its_home_and_is_not_counted_on(park: Wendlebrook) -> None:
    record_whereabouts(told=told(park, 9), bird_id=park["Thrift"], state="missing")
    flock = {bird.name: bird for bird in flock_of(park.shingle, DAY)}
    assert (flock["Thrift"].whereabouts, flock["Thrift"].counted) == ("missing", False)
    with pytest.raises(AlreadySo, match=r"^state: Thrift is missing by the record already"):
        record_whereabouts(told=told(park, 10), bird_id=park["Thrift"], state="missing")
    record_whereabouts(told=told(park, 11), bird_id=park["Thrift"], state="found again")
    assert {b.name: b.counted for b in flock_of(park.shingle, DAY)}["Thrift"]
    with pytest.raises(AlreadySo, match=r"^state: Thrift is not missing by the record already"):
        record_whereabouts(told=told(park, 11, 12), bird_id=park["Thrift"], state="found again")


def test_an_inferred_sighting_never_finds_a_missing_bird(park: Wendlebrook) -> None:
    from tarsus.actions.roll_call.sightings import WhatTheModelSaid

    record_whereabouts(told=told(park, 9), bird_id=park["Thrift"], state="missing")
    record_sighting(
        told=told(park),
        exhibit_id=park.shingle,
        how="inferred",
        bird_id=park["Thrift"],
        said=WhatTheModelSaid(((park["Thrift"], 0.9999),), 0.0001),
    )
    assert {b.name: b.whereabouts for b in flock_of(park.shingle, DAY)}["Thrift"] == "missing"


def test_a_bird_presumed_dead_may_be_found_again_elsewhere(park: Wendlebrook) -> None:
    record_whereabouts(told=told(park, 2), bird_id=park["Thrift"], state="escaped")
    record_whereabouts(told=told(park, 5), bird_id=park["Thrift"], state="presumed dead")
    assert "Thrift" not in names(park.shingle)
    with pytest.raises(NotThere, match="say where Thrift lives now"):
        record_whereabouts(told=told(park, 9), bird_id=park["Thrift"], state="found again")
    record_whereabouts(told=told(park, 9), bird_id=park["Thrift"], state="found again", exhibit_id=park.reed)
    assert names(park.reed) == {"Thrift"}


def test_a_death_says_who_found_it_and_ends_the_stay(park: Wendlebrook) -> None:
    act = told(park, 10)
    found = {"exhibit_id": park.shingle, "found_by": "Oswin", "bird_id": park["Kelp"]}
    assert record_death(told=act, **found, carcase_label="C-1", post_mortem_asked=True)
    assert not record_death(told=act, **found, carcase_label="C-1", post_mortem_asked=True)
    assert "Kelp" not in names(park.shingle)
    assert "Kelp" in names(park.shingle, date(2026, 6, 9))
    with pytest.raises(AlreadySo, match=r"^bird: Kelp is dead by the record already"):
        record_death(told=told(park), **found)
    with pytest.raises(AlreadySo, match=r"^carcase_label: C-1 is on another carcase"):
        record_death(
            told=told(park),
            exhibit_id=park.shingle,
            found_by="Tilda",
            bird_id=park["Dock"],
            carcase_label="C-1",
        )
    assert answer_post_mortem(told=told(park), death_id=act.id, answer="a heavy worm burden")


def test_a_death_written_for_the_wrong_bird_is_withdrawn_and_it_lives_on(park: Wendlebrook) -> None:
    act = told(park, 10)
    record_death(told=act, exhibit_id=park.shingle, found_by="Oswin", bird_id=park["Kelp"])
    withdraw(told=told(park), fact_id=act.id, because="the number was misread")
    assert "Kelp" in names(park.shingle)
    record_death(told=told(park), exhibit_id=park.shingle, found_by="Oswin", bird_id=park["Kelp"])


def test_a_carcase_without_bands_is_nobodys_until_it_is_known_whose(park: Wendlebrook) -> None:
    act = told(park, 9)
    with pytest.raises(WrongValue, match="name the bird, or at least its species"):
        record_death(told=act, exhibit_id=park.shingle, found_by="Oswin")
    record_death(told=act, exhibit_id=park.shingle, found_by="Oswin", species_id=park.avocet)
    assert len(names(park.shingle)) == 8
    name = {"death_id": act.id, "because": "the only one not seen since"}
    with pytest.raises(WrongValue, match=r"^bird: Dock is no Pied avocet"):
        name_carcase(told=told(park), bird_id=park["Dock"], **name)
    assert name_carcase(told=told(park), bird_id=park["Sedge"], **name)
    assert "Sedge" not in names(park.shingle, date(2026, 6, 9))
    assert "Sedge" in names(park.shingle, date(2026, 6, 8))
    with pytest.raises(AlreadySo, match=r"^death: this carcase is Sedge's"):
        name_carcase(told=told(park), bird_id=park["Kelp"], **name)


def test_a_sex_result_is_tied_to_the_band_and_the_latest_stands(park: Wendlebrook) -> None:
    sample = told(park, 1)
    tube = {"sample": "feather", "label": "S-17"}
    with pytest.raises(WrongValue, match=r"^band: this band is not Dock's"):
        take_sex_sample(told=sample, bird_id=park["Dock"], band_id=park.metals["Teasel"], **tube)
    take_sex_sample(told=sample, bird_id=park["Dock"], **tube)
    with pytest.raises(AlreadySo, match=r"^label: S-17 is on Dock's sample"):
        take_sex_sample(told=told(park), bird_id=park["Burdock"], **tube)
    with pytest.raises(WrongValue, match=r"^test: this sample was not Burdock's"):
        record_sex_finding(
            told=told(park), bird_id=park["Burdock"], sex="F", known_by="DNA", test_id=sample.id
        )
    result = {"bird_id": park["Dock"], "sex": "M", "known_by": "DNA"}
    with pytest.raises(WrongValue, match="sample S-17 waits for its result: choose the one"):
        record_sex_finding(told=told(park, 8), **result)
    record_sex_finding(told=told(park, 4), bird_id=park["Dock"], sex="F", known_by="size")
    record_sex_finding(told=told(park, 8), test_id=sample.id, **result)
    with pytest.raises(AlreadySo, match=r"^test: S-17 is answered: male"):
        record_sex_finding(told=told(park, 9), test_id=sample.id, **result)
    by_day = {d: {b.name: b.sex for b in flock_of(park.shingle, date(2026, 6, d))}["Dock"] for d in (3, 4, 8)}
    assert by_day == {3: "U", 4: "F", 8: "M"}


def test_a_transponder_is_one_birds_for_all_time(park: Wendlebrook) -> None:
    give_transponder(bird_id=park["Dock"], number="956 0000 1234", on=DAY, by=park.actors.ilse)
    with pytest.raises(AlreadySo, match=r"^number: 95600001234 is Dock's"):
        give_transponder(bird_id=park["Kelp"], number="95600001234", on=DAY, by=park.actors.ilse)
    assert {b.name: b.transponder for b in flock_of(park.shingle, DAY)}["Dock"] == "95600001234"


def test_a_natural_mark_is_reviewed_and_goes(park: Wendlebrook) -> None:
    told_of = {"bird_id": park["Dock"], "text": "nick in the bill", "by": park.actors.tilda, "x": 70, "y": 60}
    mark = note_natural_mark(**told_of, on=BEGUN, review_on=DAY)
    review_natural_mark(
        mark_id=mark, on=DAY, by=park.actors.tilda, still_there=True, next_on=date(2027, 6, 1)
    )
    (pin,) = next(b.natural_marks for b in flock_of(park.shingle, DAY) if b.name == "Dock")
    assert (pin.text, pin.x, pin.y, pin.review_on) == ("nick in the bill", 70, 60, date(2027, 6, 1))
    review_natural_mark(mark_id=mark, on=DAY, by=park.actors.tilda, still_there=False, next_on=None)
    assert next(b.natural_marks for b in flock_of(park.shingle, DAY) if b.name == "Dock") == ()
    with pytest.raises(WrongValue, match=r"^x: 120 is off the drawing"):
        note_natural_mark(**{**told_of, "x": 120}, on=DAY)


def test_a_pair_is_written_one_way_only(park: Wendlebrook) -> None:
    by = park.actors.tilda
    pair = pair_birds(one=park["Kelp"], other=park["Samphire"], on=BEGUN, by=by)
    assert pair_birds(one=park["Samphire"], other=park["Kelp"], on=DAY, by=by) == pair
    assert part_pair(pair_id=pair, on=DAY, why="they fight", by=by)
    assert not part_pair(pair_id=pair, on=DAY, why="they fight", by=by)
    assert pair_birds(one=park["Samphire"], other=park["Kelp"], on=DAY, by=by) != pair


def test_a_dead_or_missing_bird_neither_arrives_nor_leaves(park: Wendlebrook) -> None:
    record_death(told=told(park, 3), exhibit_id=park.shingle, found_by="Oswin", bird_id=park["Kelp"])
    with pytest.raises(AlreadySo, match=r"^bird: Kelp is dead by the record already"):
        arrive(told=told(park, 5), bird_id=park["Kelp"], came_from="the south", exhibit_id=park.reed)
    record_whereabouts(told=told(park, 3), bird_id=park["Sedge"], state="missing")
    with pytest.raises(
        NotThere, match=r"^bird: Sedge is missing by the record; write down that it was found"
    ):
        depart(told=told(park, 5), bird_id=park["Sedge"], went_to="the south")
    assert not rows.Arrival.objects.exists()
    assert not rows.Departure.objects.exists()


def test_a_bird_that_lived_after_a_carcase_was_found_is_not_the_one(park: Wendlebrook) -> None:
    act = told(park, 3)
    record_death(told=act, exhibit_id=park.shingle, found_by="Oswin", species_id=park.avocet)
    move_birds(told=told(park, 8), to_exhibit_id=park.reed, came=[park["Sedge"]])
    depart(told=told(park, 8), bird_id=park["Kelp"], went_to="the south")
    with pytest.raises(OutOfOrder, match=r"^bird: Sedge came to Reed House on 2026-06-08, so it lived after"):
        name_carcase(told=told(park, 9), death_id=act.id, bird_id=park["Sedge"], because="a guess")
    with pytest.raises(OutOfOrder, match=r"^bird: Kelp left Shingle Aviary on 2026-06-08, so it lived after"):
        name_carcase(told=told(park, 9), death_id=act.id, bird_id=park["Kelp"], because="a guess")
    assert not rows.CarcaseNamed.objects.exists()


def test_a_bird_presumed_dead_died_on_the_day_its_carcase_was_found(park: Wendlebrook) -> None:
    act, naming = told(park, 3), told(park, 9)
    record_death(told=act, exhibit_id=park.shingle, found_by="Oswin", species_id=park.avocet)
    record_whereabouts(told=told(park, 6), bird_id=park["Sedge"], state="presumed dead")
    name_carcase(told=naming, death_id=act.id, bird_id=park["Sedge"], because="the only one left")
    assert [("Sedge" in names(park.shingle, date(2026, 6, d))) for d in (2, 3, 5, 6)] == [True, *[False] * 3]
    withdraw(told=told(park, 10), fact_id=naming.id, because="the chip was another's")
    assert [("Sedge" in names(park.shingle, date(2026, 6, d))) for d in (2, 3, 5, 6)] == [*[True] * 3, False]
