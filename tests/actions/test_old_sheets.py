"""Sheets of ticks of old roll calls: what was seen is told, and nobody is missed whom nobody looked for."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest

from list_files import brought, table
from tarsus.actions.facts import hear_facts
from tarsus.actions.imports import save_mapping
from tarsus.actions.lists import ListAsked, ListBrought, planned_list
from tarsus.actions.mending import mend_line
from tarsus.core.rounds.call import OnRoll, RollCall
from tarsus.queries.imports import batch_told
from tarsus.queries.rounds import roll_call
from tarsus.records import models as rows
from tarsus.tables.choices import Choices
from tarsus.tables.list_kinds import KINDS, list_columns
from tarsus.tables.list_plan import facts_of

pytestmark = pytest.mark.django_db

AVOCETS = ("Samphire", "Kelp", "Sedge", "Thrift", "Marram")
RUFFS = ("Teasel", "Burdock", "Dock")
SIGNS = {"x": "seen", "-": "not seen", "n.g.": "not looked for"}


def sheet(of: tuple[str, ...] = (*AVOCETS, *RUFFS), **signs: str) -> list[str]:
    """Days across, 2 to 4 May 2026: of every bird a sign a day, else `x`; _ is empty."""
    told = [f"{bird};{signs.get(bird, 'x x x').replace('_', '').replace(' ', ';')}" for bird in of]
    return ["Bird;2.5.2026;3.5.2026;4.5.2026", *told]


def told(
    park: Any, *lines: str, blank: str = "nothing said", time: str = "not known", **more: Any
) -> ListBrought:
    once = {"blank": blank, "time": time, **more.pop("once", {})}
    return brought(
        park, *lines, choices={"cells": {"tick": SIGNS, **more.pop("cells", {})}, "once": once}, **more
    )


def call_on(day: date) -> RollCall:
    begun = rows.RoundStarted.objects.get(happened_at__date=day)
    return roll_call(begun.round_id, datetime(2026, 6, 11, tzinfo=UTC))


def missed(park: Any, day: date) -> set[str]:
    """Whom the roll call of a day misses: asked for, and not seen."""
    call = call_on(day)
    roll = [OnRoll(park[one], "avocet") for one in AVOCETS] + [OnRoll(park[one], "ruff") for one in RUFFS]
    unseen = call.answer(roll).unseen
    return {name for name in (*AVOCETS, *RUFFS) if park[name] in unseen}


def test_what_each_sign_and_an_empty_cell_and_the_hour_mean_is_asked_and_never_guessed(park: Any) -> None:
    with pytest.raises(ListAsked) as asked:
        brought(park, *sheet(Kelp="x - q"))
    by_about = {one.about: one for one in asked.value.plan.pressing}
    assert list(by_about) == ["time", "blank", "x", "-", "q"]
    assert by_about["x"].proposals[0] == ("seen",)
    assert by_about["-"].proposals[0] == ("not seen",)
    assert by_about["-"].say == '--cell "tick:-=not seen"'
    assert {way[0] for way in by_about["q"].proposals} == {
        "seen",
        "not seen",
        "not looked for",
        "not there yet",
    }
    assert not rows.Sighting.objects.filter(happened_at__date=date(2026, 5, 2)).exists()


def test_a_day_on_which_everybody_has_a_sign_is_a_closed_round_and_misses_whom_it_says(park: Any) -> None:
    done = told(park, *sheet(Kelp="x - x"))
    assert (done.told, done.refused, done.plan.remarks) == (3, (), ())
    assert missed(park, date(2026, 5, 2)) == set()
    assert missed(park, date(2026, 5, 3)) == {"Kelp"}
    assert call_on(date(2026, 5, 3)).phase == "closed"
    closing = rows.RoundClosed.objects.get(happened_at__date=date(2026, 5, 3))
    assert closing.version["observed"] == sorted(park[one] for one in (*AVOCETS, *RUFFS) if one != "Kelp")
    sighting = rows.Sighting.objects.get(bird=park["Sedge"], happened_at__date=date(2026, 5, 3))
    assert (sighting.how, sighting.recorded_by_id, sighting.reading) == ("by sight", park.actors.maren, None)
    assert sighting.recorded_at - sighting.happened_at > timedelta(hours=1), "it is told late"


def test_an_empty_cell_says_nothing_and_then_its_group_misses_nobody_that_day(park: Any) -> None:
    done = told(park, *sheet(Kelp="x _ x", Sedge="x - x"))
    assert missed(park, date(2026, 5, 3)) == set(), "the avocets were not called, the ruffs were all seen"
    assert call_on(date(2026, 5, 3)).called == {"ruff"}
    alone = rows.Sighting.objects.get(bird=park["Thrift"], happened_at__date=date(2026, 5, 3))
    assert alone.round_id is None, "it clears, and misses nobody"
    (remark,) = done.plan.remarks
    assert remark.text == (
        "Shingle Aviary, avocet: on 1 day not every bird that lived there is said to be seen or not "
        "(Kelp on 2026-05-03); who was seen is told, nobody as not seen"
    )


def test_empty_cells_are_misses_where_the_park_says_that_everybody_was_looked_for(park: Any) -> None:
    done = told(park, *sheet(Kelp="x _ _", Teasel="_ _ x", Burdock="_ x x", Dock="_ x x"), blank="not seen")
    assert done.told == 3
    assert missed(park, date(2026, 5, 2)) == set(RUFFS), "none of the ruffs was seen"
    assert rows.Count.objects.get(happened_at__date=date(2026, 5, 2)).counted == 0
    assert missed(park, date(2026, 5, 3)) == {"Kelp", "Teasel"}
    assert missed(park, date(2026, 5, 4)) == {"Kelp"}


def test_a_day_without_any_sign_was_no_roll_call_whatever_an_empty_cell_says(park: Any) -> None:
    lines = [
        line.rsplit(";", 1)[0] + ("" if at else ";4.5.2026") + (";" if at else "")
        for at, line in enumerate(sheet())
    ]
    done = told(park, *lines, blank="not seen")
    assert done.told == 2
    assert [one.text for one in done.plan.remarks] == [
        "1 day (2026-05-04) without any sign: nothing is told of them"
    ]
    assert not rows.RoundStarted.objects.filter(happened_at__date=date(2026, 5, 4)).exists()


def test_a_bird_that_is_not_in_the_sheet_or_was_not_looked_for_makes_nobody_of_its_group_missed(
    park: Any,
) -> None:
    few = tuple(one for one in (*AVOCETS, *RUFFS) if one != "Thrift")
    told(park, *sheet(few, Kelp="- - -", Dock="x n.g. x", Burdock="- - x"), blank="not seen")
    assert missed(park, date(2026, 5, 2)) == {"Burdock"}
    assert not rows.RoundStarted.objects.filter(happened_at__date=date(2026, 5, 3)).exists()
    assert missed(park, date(2026, 5, 4)) == set()


def test_a_name_that_is_misspelt_misses_nobody_and_its_line_waits_to_be_mended(park: Any) -> None:
    lines = sheet(Kelp="x - x")
    lines[1] = lines[1].replace("Samphire", "Samfire")
    done = told(park, *lines)
    (refused,) = done.refused
    assert (refused.line, refused.field, refused.reason) == (
        2,
        "Bird",
        "'Samfire' is no bird of this register",
    )
    assert done.plan.questions[0].proposals[0] == ("Samphire",)
    assert missed(park, date(2026, 5, 3)) == set(), "who knows whether that was Samphire"
    waiting = batch_told(done.batch_id)
    assert waiting is not None
    assert [row.line for row in waiting.waiting] == [2]


def test_the_same_sheet_again_tells_nothing_twice_and_one_with_more_days_only_what_is_new(park: Any) -> None:
    told(park, *sheet(Kelp="x - x"))
    before = rows.ToldDeed.objects.count()
    again = told(park, *sheet(Kelp="x - x"), by="corin")
    assert (again.told, again.plan.in_before, again.refused) == (0, tuple(range(2, 10)), ())
    more = [f"{line};{'5.5.2026' if at == 0 else 'x'}" for at, line in enumerate(sheet(Kelp="x - x"))]
    assert told(park, *more).told == 1
    assert rows.ToldDeed.objects.count() == before + 10, "a beginning, eight birds, a closing"


def test_a_sheet_that_a_killed_server_left_half_told_is_told_to_its_end(park: Any) -> None:
    table_of = table(*sheet(Kelp="x - x"))
    columns = list_columns(table_of.headings, KINDS["ticks"], {})
    choices = Choices(cells={"tick": SIGNS}, once={"blank": "nothing said", "time": "not known"})
    first = planned_list(table_of, columns, KINDS["ticks"], choices).lines[:2]
    facts = [fact for line in first for fact in facts_of(line, park.actors.maren)]
    begun = [fact for fact in facts if fact["kind"] != "round_closed"]
    hear_facts(facts=begun, clock=None, device="page", speaker=park.actors.maren)
    assert call_on(date(2026, 5, 3)).phase == "left open"
    assert told(park, *sheet(Kelp="x - x")).told == 3
    assert {call_on(date(2026, 5, day)).phase for day in (2, 3, 4)} == {"closed"}
    assert missed(park, date(2026, 5, 3)) == {"Kelp"}


def test_a_sighting_that_a_list_of_sightings_told_is_not_told_again_by_a_sheet(park: Any) -> None:
    assert brought(park, "bird;date", "Kelp;2.5.2026").told == 1
    done = told(park, *sheet())
    assert rows.Sighting.objects.filter(bird=park["Kelp"], happened_at__date=date(2026, 5, 2)).count() == 1
    assert done.told == 3
    assert call_on(date(2026, 5, 2)).called == {"ruff"}, "a round of the avocets would miss Kelp"


def test_a_day_on_which_the_register_has_a_roll_call_of_its_own_adds_sightings_alone(park: Any) -> None:
    called = uuid4()
    facts = [
        {"kind": "round_started", "round": str(called), "exhibit": park.shingle},
        {"kind": "round_closed", "round": str(called)},
    ]
    at = "2026-05-03T07:10:00+01:00"
    for fact in facts:
        hear_facts(
            facts=[{**fact, "id": str(uuid4()), "by": park.actors.tilda, "at": at}],
            clock=None,
            device="phone",
            speaker=park.actors.tilda,
        )
    done = told(park, *sheet(Kelp="x - x"))
    assert rows.RoundStarted.objects.filter(happened_at__date=date(2026, 5, 3)).count() == 1
    assert "the register has a roll call of its own" in done.plan.remarks[0].text
    evening = told(park, *sheet(Kelp="x - x"), time="17:30")
    assert evening.told == 3
    assert rows.RoundStarted.objects.filter(happened_at__date=date(2026, 5, 3)).count() == 2, "hours apart"


@pytest.mark.parametrize("by", ["maren", "corin"])
def test_birds_across_and_a_line_a_day_say_the_same(park: Any, by: str) -> None:
    names = (*AVOCETS, *RUFFS)
    lines = [f"Datum;{';'.join(names)};Wetter"]
    for day, kelp in ((2, "x"), (3, "-"), (4, "x")):
        lines.append(f"{day}.5.2026;{';'.join(kelp if name == 'Kelp' else 'x' for name in names)};Regen")
    done = told(park, *lines, by=by, said={"Wetter": "-"})
    assert (done.told, done.refused) == (3, ())
    assert missed(park, date(2026, 5, 3)) == {"Kelp"}
    assert told(park, *sheet(Kelp="x - x")).told == 0, "the same sheet, the other way round"


def test_a_column_that_is_no_bird_is_asked_and_keeps_only_its_own_cells_back(park: Any) -> None:
    done = told(park, "Date;Kelp;Sedge;Kelpp;Thrift", "2.5.2026;x;x;x;x", "3.5.2026;x;;;x")
    assert [(one.line, one.field, one.reason) for one in done.refused] == [
        (2, "Kelpp", "'Kelpp' is no bird of this register")
    ]
    assert rows.Sighting.objects.filter(happened_at__date=date(2026, 5, 2)).count() == 3
    mapped = told(
        park, "Date;Kelp;Sedge;Kelpp;Thrift", "2.5.2026;x;x;x;x", cells={"bird": {"Kelpp": "Marram"}}
    )
    assert (mapped.told, mapped.refused) == (1, ())


def test_days_without_their_month_are_asked_once_and_days_to_come_say_nothing(park: Any) -> None:
    lines = ("Vogel;Sa 2;So 3;30;31", "Kelp;x;x;;", "Sedge;x;;;")
    with pytest.raises(ListAsked, match=r'--once "month=YYYY-MM"'):
        told(park, *lines)
    done = told(park, *lines, once={"month": "2026-05"})
    assert (done.told, done.refused) == (2, ())
    ahead = told(park, "Vogel;9.5.2026;10.5.2026;29.6.2126;30.6.2126", "Kelp;x;;;x", blank="not seen")
    assert [(one.field, one.reason) for one in ahead.refused] == [
        ("30.6.2126", "'30.6.2126' lies in the future")
    ]
    assert [one.said.words for one in ahead.plan.lines] == ["2026-05-09: 1 seen"]


def test_days_without_their_year_are_asked_and_those_that_may_be_two_as_well(park: Any) -> None:
    done = told(park, "Bird;2.5.;3.5.;4.5.", "Kelp;x;;x", once={"year": "2026"})
    assert [one.said.words for one in done.plan.lines] == ["2026-05-02: 1 seen", "2026-05-04: 1 seen"]
    asked = told(park, "Bird;2/5;3/5;4/5", "Kelp;x;;x", once={"year": "2026"})
    assert [one.kind for one in asked.plan.questions] == ["dates"]
    assert not asked.plan.lines


def test_the_same_bird_and_day_twice_is_refused_with_both_places(park: Any) -> None:
    done = told(park, "Bird;2.5.2026;02.05.2026;3.5.2026", "Kelp;x;-;x", "Kelp;;;x")
    assert [(one.line, one.field, one.reason) for one in done.refused] == [
        (2, "02.05.2026", "is of the same bird and day as '2.5.2026' in line 2"),
        (3, "3.5.2026", "is of the same bird and day as '3.5.2026' in line 2"),
    ]


def test_a_day_before_the_bird_lived_here_is_refused_at_its_cell_and_the_others_are_told(park: Any) -> None:
    done = told(park, "Bird;2.5.1985;2.5.2026;3.5.2026", "Kelp;x;x;-", "Sedge;-;x;x")
    (refused,) = done.refused
    assert (refused.line, refused.field) == (2, "2.5.1985")
    assert "lived in no exhibit" in refused.reason
    assert rows.Sighting.objects.filter(bird=park["Kelp"], happened_at__date=date(2026, 5, 2)).exists()
    old = told(park, "Bird;2.5.1985;2.6.1985;2.7.1985", "Kelp;x;x;x", once={"exhibit": "Shingle Aviary"})
    assert {one.field for one in old.refused} == {"2.5.1985", "2.6.1985", "2.7.1985"}
    assert all("before this register begins" in one.reason for one in old.refused)
    assert old.told == 0
    assert not rows.Waiting.objects.exists()


def test_a_refused_line_is_mended_in_its_place_and_a_sign_that_nobody_explained_is_not_taken(
    park: Any,
) -> None:
    lines = ("Bird;2.5.2026;3.5.2026;4.5.2026", "Kelpp;x;;x")
    choices = Choices(
        what="ticks", cells={"tick": SIGNS}, once={"blank": "nothing said", "time": "not known"}
    )
    columns = list_columns(lines[0].split(";"), KINDS["ticks"], {})
    kept = save_mapping(name="sheet", columns=columns, choices=choices, by=park.actors.maren)
    done = told(park, *lines, mapping_id=kept)
    again = mend_line(
        batch_id=done.batch_id, line=2, cells={"Bird": "Kelp", "3.5.2026": "q"}, by=park.actors.maren
    )
    assert [(one.field, one.reason) for one in again] == [
        ("3.5.2026", "What does 'q' say of a bird on a day?")
    ]
    assert mend_line(batch_id=done.batch_id, line=2, cells={"3.5.2026": ""}, by=park.actors.maren) == ()
    assert rows.Sighting.objects.filter(bird=park["Kelp"], happened_at__date=date(2026, 5, 4)).exists()
