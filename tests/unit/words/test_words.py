"""What people read: the same words as on the phone (tests/js/words.test.mjs reads the same cases)."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tarsus.core.presence.advice import worry
from tarsus.core.words import certainty, numbers
from tarsus.core.words.looking_for import advice_said, how_long_unseen, still_here_said

CASES: dict[str, Any] = json.loads(
    (Path(__file__).resolve().parents[2] / "published" / "words_cases.json").read_text(encoding="utf-8")
)


def test_each_word_of_certainty_begins_where_it_does_on_the_phone() -> None:
    mine = {
        "almost_certain": certainty.ALMOST_CERTAIN,
        "probable": certainty.PROBABLE,
        "doubtful_below": certainty.DOUBTFUL_BELOW,
        "together": certainty.TOGETHER,
        "nobody_from": certainty.NOBODY_FROM,
    }
    assert mine == CASES["numbers"]


def test_numbers_up_to_fourteen_are_words() -> None:
    assert [[n, numbers.in_words(n)] for n, _ in CASES["in_words"]] == CASES["in_words"]
    assert numbers.in_words(-1) == "-1"


def test_several_of_a_kind() -> None:
    assert [[one, numbers.plural(one)] for one, _ in CASES["plural"]] == CASES["plural"]
    assert [[w, n, numbers.counted(w, n)] for w, n, _ in CASES["counted"]] == CASES["counted"]


def test_a_capital_changes_the_first_letter_alone() -> None:
    assert [numbers.capital(text) for text in ("two are missing", "", "pale Blue")] == [
        "Two are missing",
        "",
        "Pale Blue",
    ]


@pytest.mark.parametrize("case", CASES["per_cent"], ids=lambda case: str(case["chance"]))
def test_a_chance_is_never_nothing_and_never_certain(case: dict[str, Any]) -> None:
    assert numbers.per_cent(case["chance"]) == case["says"]
    assert numbers.per_cent(case["chance"], fine=True) == case["fine"]


def test_how_often_in_a_hundred_has_the_more_decimals_the_rarer_it_is() -> None:
    assert [[share, numbers.in_hundred(share)] for share, _ in CASES["in_hundred"]] == CASES["in_hundred"]


@pytest.mark.parametrize("case", CASES["look"], ids=lambda case: case["says"])
def test_where_to_look_names_a_part_only_where_both_are_used(case: dict[str, Any]) -> None:
    assert certainty.where_to_look(case["site"], two_parts=case["two_parts"]) == case["says"]


@pytest.mark.parametrize("case", CASES["who"], ids=lambda case: case["say"])
def test_who_it_is_is_never_a_bare_winner(case: dict[str, Any]) -> None:
    told = certainty.who_it_is(
        [(name, chance) for name, chance in case["candidates"]],
        case["none_of_these"],
        case["look_next"],
        kind=case["kind"],
        two_parts=case["two_parts"],
    )
    assert (told.kind, told.say, told.look, told.several) == (
        case["is"],
        case["say"],
        case["look"],
        case["several"],
    )


def test_those_named_together_carry_nearly_all() -> None:
    assert [certainty.together(case["chances"]) for case in CASES["together"]] == [
        case["several"] for case in CASES["together"]
    ]


@pytest.mark.parametrize("case", CASES["advice"], ids=lambda case: case["word"])
def test_nothing_takes_search_away_and_nobody_unseen_is_present(case: dict[str, Any]) -> None:
    told = advice_said(
        case["advice"], unseen=case["unseen"], by_count=case["by_count"], excused=case["excused"]
    )
    assert (told.word, told.search, told.look) == (case["word"], case["search"], case["look"])


@pytest.mark.parametrize("case", CASES["unseen"], ids=lambda case: case["says"])
def test_how_long_a_bird_was_not_seen(case: dict[str, Any]) -> None:
    assert how_long_unseen(case["days"], ever_seen=case["ever_seen"]) == case["says"]


def test_the_most_worrying_bird_stands_first() -> None:
    birds = [
        (one["search"], one["by_count"], one["advice"], one["still_here"], one["name"])
        for one in CASES["worry"]["birds"]
    ]
    ranked = sorted(birds, key=lambda one: worry(*one))
    assert [name for *_, name in ranked] == CASES["worry"]["order"]


def test_the_short_count_and_the_rounds_say_in_one_sentence_how_likely_a_bird_is_still_here() -> None:
    assert still_here_said(0.97) == "Still here: 97 %."
    assert still_here_said(0.97, 0.71) == (
        "Still here: 29 %, since the count is short; 97 % by its rounds alone."
    )


def test_seldom_errors_are_told_as_one_reading_in_so_many() -> None:
    assert numbers.one_reading_in(0.013) == "about 1 reading in 77"
    assert numbers.one_reading_in(0.5) == "about 1 reading in 2"
    assert numbers.one_reading_in(1.0) == "about 1 reading in 1"
    assert numbers.one_reading_in(0.00004) == "fewer than 1 reading in 10,000"
