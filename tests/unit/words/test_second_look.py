"""What a round comes to: the phone's words; tests/js/second-look.test.mjs reads the same cases."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tarsus.core.words import second_look
from tarsus.core.words.second_look import Unseen, comes_to, short_count_said, who_needs_one

CASES: dict[str, Any] = json.loads(
    (Path(__file__).resolve().parents[2] / "published" / "second_look_cases.json").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("case", CASES["comes_to"], ids=lambda case: case["say"])
def test_the_count_the_names_and_the_watch_are_one_sentence(case: dict[str, Any]) -> None:
    unseen = [Unseen(name, missing) for name, missing in case["unseen"]]
    told = comes_to(case["expected"], case["count"], unseen, case["miscount"])
    assert (told.amiss, told.say) == (case["amiss"], case["say"])


@pytest.mark.parametrize("case", CASES["who"], ids=lambda case: case["is"])
def test_who_needs_a_second_look(case: dict[str, Any]) -> None:
    assert list(who_needs_one([Unseen(**bird) for bird in case["unseen"]], case["short"])) == case["needs"]


def test_who_was_only_missed_is_a_number_and_not_a_list() -> None:
    cases = CASES["not_listed"]
    assert [[n, sit, second_look.not_listed(n, sit)] for n, sit, _ in cases] == cases


def test_which_groups_nobody_called_and_what_a_closing_leaves_out() -> None:
    called, without = CASES["not_called"], CASES["without"]
    assert [[groups, second_look.not_called_said(groups)] for groups, _ in called] == called
    assert [[groups, second_look.without_said(groups)] for groups, _ in without] == without


@pytest.mark.parametrize("case", CASES["differ"], ids=lambda case: case["says"])
def test_counts_that_differ_are_told_beside_each_other(case: dict[str, Any]) -> None:
    told = [(who, count, at) for who, count, at in case["told"]]
    assert second_look.counts_differ_said(told, case["lowest"]) == case["says"]


def test_without_the_names_of_the_round_a_short_count_says_the_same_of_a_miscount() -> None:
    assert short_count_said(29, 28, [("Sedge", 0.78), ("Sorrel", 0.004)], 0.92) == (
        "28 counted of 29: one is missing, most likely Sedge (78 %), Sorrel (< 1 %), "
        "unless the count is wrong (92 %): look all the same."
    )
    assert short_count_said(12, 10, [], 0.001) == (
        "10 counted of 12: two are missing, unless the count is wrong (< 1 %): look all the same."
    )
