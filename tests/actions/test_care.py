"""Weights, checks, cases, signed reasons, nests: what the vet and the lead live by."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from tarsus.actions.birds.missing import begin_not_looked_for, end_not_looked_for
from tarsus.actions.care.cases import close_case, note_in_case, open_case, sign_reason, write_note
from tarsus.actions.care.handling import InHand, record_handling
from tarsus.actions.care.weighing import check_next_day, record_health_check, record_weighing
from tarsus.actions.nests import begin_nest, bird_from_nest, end_nest, record_nest_event
from tarsus.actions.refusals import AlreadySo, OutOfOrder, Retold, Unknown
from tarsus.actions.telling import Told
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db
NINE = datetime(2026, 6, 11, 8, 0, tzinfo=UTC)


def told(park: Wendlebrook) -> Told:
    return Told(by=park.actors.tilda, at=NINE)


def test_a_weight_told_twice_is_one_weight_and_another_figure_is_refused(park: Wendlebrook) -> None:
    act = told(park)
    weighed = {"bird_id": park["Kelp"], "where": "perch scale", "scale": "spit perch", "fed": True}
    assert record_weighing(told=act, weight_g=312, **weighed)
    assert not record_weighing(told=act, weight_g=312, **weighed)
    with pytest.raises(Retold, match="already names a weighing with other contents"):
        record_weighing(told=act, weight_g=321, **weighed)
    row = rows.Weighing.objects.get()
    assert (row.weight_g, row.fed, row.happened_at) == (312.0, True, NINE)


@pytest.mark.parametrize("weight", [0, -3, 200_001])
def test_what_no_bird_weighs_is_refused(park: Wendlebrook, weight: float) -> None:
    with pytest.raises(WrongValue, match=f"{weight:g} g is no bird's weight"):
        record_weighing(told=told(park), bird_id=park["Kelp"], weight_g=weight, where="in hand")


def test_not_well_without_saying_how_is_refused(park: Wendlebrook) -> None:
    act = told(park)
    record_handling(told=act, bird_id=park["Kelp"], in_hand=InHand(why="catch-up"))
    with pytest.raises(WrongValue, match="say what was found"):
        record_health_check(told=told(park), bird_id=park["Kelp"], well=False)
    with pytest.raises(WrongValue, match="say how it was"):
        check_next_day(told=told(park), handling_id=act.id, well=False)
    assert record_health_check(told=told(park), bird_id=park["Kelp"], well=True)
    assert check_next_day(told=told(park), handling_id=act.id, well=False, note="lame on the left")
    with pytest.raises(Unknown, match=r"^handling: no handling"):
        check_next_day(told=told(park), handling_id=told(park).id, well=True)


def test_a_case_is_open_until_it_is_closed_with_a_reason(park: Wendlebrook) -> None:
    birds = [park["Kelp"], park["Sedge"]]
    case = open_case(about="one of two limps", bird_ids=birds, by=park.actors.ilse, at=NINE)
    assert note_in_case(told=told(park), case_id=case, text="seen again, less", see_again_on=DAY)
    with pytest.raises(WrongValue, match="say how it ended"):
        close_case(case_id=case, because=" ", by=park.actors.ilse)
    assert rows.Case.objects.get().closed_at is None
    assert close_case(case_id=case, because="walks well", by=park.actors.ilse)
    assert not close_case(case_id=case, because="walks well", by=park.actors.ilse)
    with pytest.raises(AlreadySo, match="open a new one"):
        note_in_case(told=told(park), case_id=case, text="limps again")


def test_a_limit_is_lifted_only_by_vet_and_lead_together(park: Wendlebrook) -> None:
    asked = {
        "ruled": "nest or brood",
        "exhibit_id": park.shingle,
        "for_day": DAY,
        "reason": "a ruff caught in wire",
    }
    with pytest.raises(WrongValue, match=r"^by: Tilda is neither vet nor lead"):
        sign_reason(**asked, by=park.actors.tilda)
    assert not sign_reason(**asked, by=park.actors.ilse)
    assert not sign_reason(**asked, by=park.actors.ilse)
    assert not sign_reason(**{**asked, "reason": "another"}, by=park.actors.maren)
    assert not sign_reason(**{**asked, "for_day": DAY + timedelta(days=1)}, by=park.actors.maren)
    assert not sign_reason(**{**asked, "exhibit_id": park.reed}, by=park.actors.maren)
    assert sign_reason(**asked, by=park.actors.maren)
    with pytest.raises(UnknownWord, match=r"^ruled: 'boredom' is no limit"):
        sign_reason(**{**asked, "ruled": "boredom"}, by=park.actors.maren)


def test_a_note_is_about_something(park: Wendlebrook) -> None:
    assert write_note(told=told(park), text=" the gate sticks ", exhibit_id=park.shingle)
    assert rows.Note.objects.get().text == "the gate sticks"
    with pytest.raises(WrongValue, match="say what the note is about"):
        write_note(told=told(park), text="hm")


def test_an_unseen_sitter_is_no_miss_until_she_is_looked_for_again(park: Wendlebrook) -> None:
    by = park.actors.tilda
    spell = begin_not_looked_for(why="nest-sitting", from_on=DAY, by=by, bird_id=park["Samphire"])
    with pytest.raises(WrongValue, match="either one bird or one exhibit"):
        begin_not_looked_for(
            why="moult", from_on=DAY, by=by, bird_id=park["Samphire"], exhibit_id=park.shingle
        )
    with pytest.raises(OutOfOrder, match="before it began"):
        end_not_looked_for(spell_id=spell, on=DAY - timedelta(days=1), by=by)
    end_not_looked_for(spell_id=spell, on=DAY + timedelta(days=9), by=by)
    assert rows.NotLookedFor.objects.get().to_on == date(2026, 6, 20)


def test_a_nest_has_one_name_while_it_lasts(park: Wendlebrook) -> None:
    nest = {
        "exhibit_id": park.shingle,
        "species_id": park.avocet,
        "name": "spit 1",
        "from_on": DAY,
        "by": park.actors.tilda,
    }
    first = begin_nest(**nest)
    with pytest.raises(AlreadySo, match=r"^name: a nest spit 1 is there already"):
        begin_nest(**nest)
    with pytest.raises(Unknown, match=r"^place: no place of this exhibit"):
        begin_nest(**{**nest, "name": "perch 1"}, place_id=park.reed_perch)
    assert end_nest(nest_id=first, on=DAY, by=park.actors.tilda)
    assert not end_nest(nest_id=first, on=DAY, by=park.actors.tilda)
    assert begin_nest(**nest) != first


def test_what_is_found_at_a_nest_says_how_many(park: Wendlebrook) -> None:
    nest = begin_nest(
        exhibit_id=park.shingle, species_id=park.avocet, name="spit 1", from_on=DAY, by=park.actors.tilda
    )
    with pytest.raises(WrongValue, match="amount: is missing; say how many"):
        record_nest_event(told=told(park), nest_id=nest, kind="eggs")
    with pytest.raises(UnknownWord, match=r"^kind: 'omelette' is no event at a nest"):
        record_nest_event(told=told(park), nest_id=nest, kind="omelette", amount=2)
    early = Told(by=park.actors.tilda, at=NINE - timedelta(days=3))
    with pytest.raises(OutOfOrder, match="before this nest was begun"):
        record_nest_event(told=early, nest_id=nest, kind="eggs", amount=2)
    assert record_nest_event(told=told(park), nest_id=nest, kind="failed")


def test_a_banded_chick_has_the_parents_of_its_nest(park: Wendlebrook) -> None:
    first, second = sorted((park["Kelp"], park["Samphire"]))
    pair = rows.Pair.objects.create(
        first_id=first, second_id=second, from_on=DAY, recorded_by_id=park.actors.tilda
    )
    nest = begin_nest(
        exhibit_id=park.shingle,
        species_id=park.avocet,
        name="spit 1",
        from_on=DAY,
        by=park.actors.tilda,
        pair_id=pair.pk,
    )
    chick = rows.Bird.objects.get(pk=bird_from_nest(told=told(park), nest_id=nest, house_name="Chip"))
    assert (chick.dam_id, chick.sire_id) == (park["Samphire"], park["Kelp"])
    assert (chick.origin, chick.nest_id) == ("hatched here", nest)
