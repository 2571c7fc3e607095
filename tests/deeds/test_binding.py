"""How what a deed says reaches what writes it: every field by its name, the day by the park's clock."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

import pytest

from tarsus.actions.hearing.bound import Bound, Wrote, fact, spell
from tarsus.actions.telling import Told

MAREN = 4
TOLD = Told(by=MAREN, at=datetime(2026, 3, 2, 9, 30, tzinfo=UTC), id=UUID(int=77))


class Action:
    """Stands for a function that writes: keeps what it was given, answers what it was told to."""

    def __init__(self, answer: Any) -> None:
        self.answer, self.given = answer, dict[str, Any]()

    def __call__(self, **given: Any) -> Any:
        self.given = given
        return self.answer


def test_a_row_goes_by_its_id_and_anything_else_by_its_own_name() -> None:
    action = Action(True)
    wrote = fact("nest_event", action).write(
        TOLD, {"nest": 3, "event": "eggs", "amount": 2, "note": "by torch"}
    )
    assert action.given == {"told": TOLD, "nest_id": 3, "event": "eggs", "amount": 2, "note": "by torch"}
    assert wrote == Wrote(now=True)


def test_several_birds_go_as_their_ids_and_a_round_as_its_own() -> None:
    action = Action(True)
    fact("case_opened", action).write(TOLD, {"birds": [5, 6], "about": "lame"})
    assert action.given == {"told": TOLD, "bird_ids": [5, 6], "about": "lame"}
    fact("round_closed", action).write(TOLD, {"round": UUID(int=1)})
    assert action.given == {"told": TOLD, "round_id": UUID(int=1)}


def test_a_renamed_field_goes_by_its_new_name_and_the_rest_as_ever() -> None:
    action = Action(True)
    bound = fact("nest_event", action, event="kind")
    bound.write(TOLD, {"nest": 3, "event": "eggs"})
    assert action.given == {"told": TOLD, "nest_id": 3, "kind": "eggs"}
    assert bound.arguments == ("told", "nest_id", "kind", "amount", "note")


def test_a_fact_that_was_known_writes_nothing_anew() -> None:
    assert fact("round_closed", Action(False)).write(TOLD, {"round": UUID(int=1)}) == Wrote(now=False)


@pytest.mark.django_db
def test_a_spell_hears_who_on_which_day_and_by_which_deed_and_names_its_row() -> None:
    action = Action(12)
    bound = spell("nest_begun", action, row="nest", on="from_on")
    wrote = bound.write(TOLD, {"exhibit": 2, "name": "spit"})
    assert action.given == {
        "exhibit_id": 2,
        "name": "spit",
        "by": MAREN,
        "from_on": date(2026, 3, 2),
        "deed": UUID(int=77),
    }
    assert (wrote.now, dict(wrote.rows)) == (True, {"nest": 12})
    assert bound.arguments[:4] == ("by", "from_on", "deed", "exhibit_id")


@pytest.mark.django_db
def test_a_spell_that_asks_for_no_more_hears_the_day_and_the_deed_under_their_usual_names() -> None:
    action = Action(None)
    bound = spell("pair_parted", action)
    bound.write(TOLD, {"pair": 8, "why": "quarrels"})
    assert action.given == {
        "pair_id": 8,
        "why": "quarrels",
        "by": MAREN,
        "on": date(2026, 3, 2),
        "deed": UUID(int=77),
    }
    assert bound.arguments == ("by", "on", "deed", "pair_id", "why")


def test_a_spell_can_do_without_the_day_and_the_deed() -> None:
    action = Action(None)
    bound = spell("place_saved", action, on="", deed=False, what="kind")
    bound.write(TOLD, {"place": 9, "what": "water"})
    assert action.given == {"place_id": 9, "kind": "water", "by": MAREN}
    assert bound.arguments[:2] == ("by", "exhibit_id")


@pytest.mark.parametrize(("answer", "now"), [(None, True), (True, True), (False, False)])
def test_an_action_that_names_no_row_wrote_unless_it_says_that_it_did_not(answer: Any, now: bool) -> None:
    wrote = spell("case_closed", Action(answer), on="", deed=False).write(TOLD, {"case": 1})
    assert wrote == Wrote(now=now)


@pytest.mark.parametrize("bind", [fact, spell])
def test_what_takes_a_deed_back_and_its_action_are_kept_beside_it(bind: Any) -> None:
    action, back = Action(True), object()
    bound: Bound = bind("pair_parted", action, take_back=back)
    assert (bound.take_back, bound.action) == (back, action)
