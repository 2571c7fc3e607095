"""How a field of a deed is declared: each maker says its kind, and hands on what is said beside it."""

from __future__ import annotations

from typing import Any

import pytest

from tarsus.core.deeds.fields import (
    FIRST_DAY,
    FIRST_PLAN,
    Field,
    Kind,
    choice,
    day_that_was,
    flag,
    line,
    moment_that_was,
    number,
    of,
    planned_day,
    text,
    whole,
)


@pytest.mark.parametrize(
    ("made", "declared"),
    [
        (line("name", "Name", 60), Field("name", Kind.LINE, "Name", longest=60)),
        (text("note", "Note"), Field("note", Kind.TEXT, "Note", longest=4000)),
        (text("note", "Note", 300), Field("note", Kind.TEXT, "Note", longest=300)),
        (number("mass", "Mass", 0, 9.5), Field("mass", Kind.NUMBER, "Mass", low=0, high=9.5)),
        (whole("age", "Age", 1, 7), Field("age", Kind.WHOLE, "Age", low=1, high=7)),
        (flag("fed", "Fed"), Field("fed", Kind.FLAG, "Fed")),
        (day_that_was("on", "Day"), Field("on", Kind.DAY, "Day", first=FIRST_DAY, ahead=1)),
        (planned_day("on", "Day"), Field("on", Kind.DAY, "Day", first=FIRST_PLAN, ahead=731)),
        (planned_day("on", "Day", first=FIRST_DAY), Field("on", Kind.DAY, "Day", first=FIRST_DAY, ahead=731)),
        (moment_that_was("at", "When"), Field("at", Kind.MOMENT, "When", first=FIRST_DAY, ahead=1)),
        (of(Kind.BIRD), Field("bird", Kind.BIRD, "Bird")),
        (of(Kind.BIRD, "Mother", "dam"), Field("dam", Kind.BIRD, "Mother")),
        (
            choice("side", "Side", "left", ("right", "the right one")),
            Field("side", Kind.CHOICE, "Side", choices=(("left", "left"), ("right", "the right one"))),
        ),
    ],
)
def test_a_maker_declares_its_own_kind(made: Field, declared: Field) -> None:
    assert made == declared


@pytest.mark.parametrize(
    "made",
    [
        line("x", "X", 5, required=True, unit="g"),
        text("x", "X", required=True, unit="g"),
        number("x", "X", 0, 1, required=True, unit="g"),
        whole("x", "X", 0, 1, required=True, unit="g"),
        choice("x", "X", "a", required=True, unit="g"),
        flag("x", "X", required=True, unit="g"),
        day_that_was("x", "X", required=True, unit="g"),
        of(Kind.BIRD, "X", "x", required=True, unit="g"),
    ],
    ids=lambda made: made.kind.value,
)
def test_what_is_said_beside_it_is_handed_on(made: Field) -> None:
    assert (made.name, made.label, made.required, made.unit) == ("x", "X", True, "g")


@pytest.mark.parametrize(
    ("field", "absent"),
    [
        (of(Kind.BIRDS), ()),
        (flag("fed", "Fed"), False),
        (flag("fed", "Fed", initial="unsaid"), None),
        (number("mass", "Mass", 0, 9, initial=4), 4),
        (whole("age", "Age", 0, 9), None),
        (line("name", "Name", 5), ""),
        (choice("side", "Side", "left"), ""),
        (of(Kind.BIRD), None),
        (day_that_was("on", "Day"), None),
    ],
)
def test_a_field_that_is_left_out_is_heard_as_nothing_of_its_kind(field: Field, absent: Any) -> None:
    assert field.absent == absent
    assert type(field.absent) is type(absent)


def test_the_words_of_a_list_are_without_how_a_form_says_them() -> None:
    assert choice("side", "Side", "left", ("right", "the right one")).words == ("left", "right")
    assert choice("side", "Side").words == ()
