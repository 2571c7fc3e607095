"""What every declared deed keeps to, and how its values are read."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest

from tarsus.core.care.cautions import CAUTIONS
from tarsus.core.deeds.deed import Deed
from tarsus.core.deeds.described import schema_of
from tarsus.core.deeds.fields import LISTS, TEXTS, Field, Kind
from tarsus.core.deeds.parsing import parse_deed
from tarsus.core.deeds.register import DEEDS, FAMILIES
from tarsus.core.deeds.telling import sentence, slots
from tarsus.core.errors import TarsusError, UnknownKey, WrongValue
from tarsus.core.marks.palette import BUILT_IN

ENVELOPE = ("id", "kind", "at", "by")
EVERY = pytest.mark.parametrize("deed", DEEDS.values(), ids=DEEDS)


def test_no_deed_is_declared_twice() -> None:
    assert sum(len(family) for family in FAMILIES.values()) == len(DEEDS)


@EVERY
def test_a_declaration_is_whole(deed: Deed) -> None:
    names = [field.name for field in deed.fields]
    assert len(set(names)) == len(names)
    assert not {*ENVELOPE, "why_corrected"} & set(names), "these are every fact's own keys"
    assert slots(deed.told) <= set(names), "a history tells only what was said"
    assert not deed.caution or deed.caution in CAUTIONS
    assert deed.who_may
    for field in _all(deed.fields):
        assert field.longest > 0 or field.kind not in TEXTS, field.name
        dated = field.kind in (Kind.DAY, Kind.MOMENT)
        assert (field.first is not None, field.ahead is not None) == (dated, dated), field.name
        assert (field.low is None) == (field.kind not in (Kind.NUMBER, Kind.WHOLE)), field.name


@EVERY
def test_a_form_asks_for_everything_that_is_needed(deed: Deed) -> None:
    missing = [field.name for field in deed.fields if field.required and not field.on_form]
    unasked = [f.name for f in deed.fields if f.required and f.kind in (Kind.ID, Kind.ROUND)]
    assert deed.page or not [*missing, *unasked], "a page of its own does it, or a form can"


def _all(fields: tuple[Field, ...]) -> list[Field]:
    return [one for field in fields for one in (field, *_all(field.parts))]


def heard(name: str, **said: Any) -> dict[str, Any]:
    """The values of a fact of this kind."""
    return parse_deed(DEEDS[name], {**dict.fromkeys(ENVELOPE, 1), **said}, ENVELOPE, BUILT_IN)


def test_what_is_left_out_and_what_is_null_is_not_said() -> None:
    told = heard("weighed", bird=17, weight_g=312.5, where="in hand", fed=None)
    assert (told["bird"], told["weight_g"], told["fed"], told["scale"], told["moulting"]) == (
        17,
        312.5,
        None,
        "",
        False,
    )


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("x" * 201, "has 201 characters; write at most 200"),
        ("a\x00b", "a character that cannot be kept"),
        ("\ud800", "a character that cannot be kept"),
        ("two\nlines", "a character that cannot be kept"),
        ("   ", "is empty"),
        (17, "is no text"),
    ],
)
def test_a_text_that_no_register_can_keep_is_refused_at_its_field(text: object, why: str) -> None:
    with pytest.raises(WrongValue, match=why) as refusal:
        heard("case_opened", birds=[3], about=text)
    assert refusal.value.place == "about"
    str(refusal.value).encode()


@pytest.mark.parametrize("told", [{"\ud800": None}, {"legs": [{"n": "a\x00b"}]}, {"a": {"b": ["\udfff"]}}])
def test_a_document_is_refused_for_any_word_in_it_that_no_register_can_keep(told: dict[str, Any]) -> None:
    with pytest.raises(WrongValue, match="a character that cannot be kept") as refusal:
        heard("rule_set", species=1, from_on="2026-06-11", metal={}, colours=told)
    assert refusal.value.place == "colours"


def test_a_text_of_several_lines_may_have_them() -> None:
    assert heard("note", bird=3, text="two\nlines\tand a tab")["text"] == "two\nlines\tand a tab"


@pytest.mark.parametrize("number", [10**400, float("inf"), True, "12", -1, 200_001, [1], {"a": 1}])
def test_a_number_out_of_its_range_is_refused(number: object) -> None:
    with pytest.raises(WrongValue) as refusal:
        heard("weighed", bird=3, weight_g=number, where="in hand")
    assert refusal.value.place == "weight_g"


@pytest.mark.parametrize("key", [0, -3, 2**70, 10**500, "3", 1.5, None])
def test_a_row_that_no_register_can_have_is_refused(key: object) -> None:
    with pytest.raises(TarsusError):
        heard("health_check", bird=key)


@pytest.mark.parametrize("day", ["0001-1-1", "2026-02-30", "yesterday", 20260611])
def test_what_is_no_day_is_refused(day: object) -> None:
    with pytest.raises(WrongValue):
        heard("case_note", case=3, text="x", see_again_on=day)
    assert heard("case_note", case=3, text="x", see_again_on="2026-07-01")["see_again_on"] == date(2026, 7, 1)


def test_a_key_that_the_deed_has_not_is_refused_by_name() -> None:
    with pytest.raises(UnknownKey, match="did you mean 'weight_g'"):
        heard("weighed", bird=3, weight=300, where="in hand")


def test_a_part_within_a_list_is_refused_with_its_whole_place() -> None:
    checked = [{"band": 4, "conditions": ["good"]}, {"band": "x", "conditions": ["good"]}]
    with pytest.raises(WrongValue) as refusal:
        heard("handling", bird=3, why="banding", bands=checked)
    assert refusal.value.place == "bands[1].band"


def test_a_list_without_end_is_refused() -> None:
    with pytest.raises(WrongValue, match="at most 1000"):
        heard("concern", birds=list(range(1, 1002)))


def test_a_history_leaves_out_what_was_not_said() -> None:
    pattern = DEEDS["weighed"].told
    assert sentence(pattern, {"weight_g": "312.5 g", "where": "in hand"}) == "Weighed 312.5 g, in hand."
    assert sentence(pattern, {"weight_g": "9 g", "where": "in hand", "fed": "it had been fed"}) == (
        "Weighed 9 g, in hand, it had been fed."
    )


@EVERY
def test_programs_are_told_the_same_fields_and_limits(deed: Deed) -> None:
    told = schema_of(deed)
    json.dumps(told)
    assert set(told["properties"]) >= {field.name for field in deed.fields} | set(ENVELOPE)
    assert set(told["required"]) == {*ENVELOPE, *(f.name for f in deed.fields if f.required)}
    for field in deed.fields:
        if field.kind in LISTS and field.required:
            assert told["properties"][field.name]["minItems"] == 1
