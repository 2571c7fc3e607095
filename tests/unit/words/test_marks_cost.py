"""The desk compares under one rule: proposal, habit, bound and own choice by what a reading costs."""

from __future__ import annotations

import re

import pytest

from tarsus.core.words.marks_cost import changes_said, compared, judged


def numbers(said: str) -> list[float]:
    return [float(number) for number in re.findall(r"\d+\.\d+|\d+(?= wrong)", said)]


def test_proposal_habit_and_bound_are_told_by_one_measure() -> None:
    said = compared(0.0057, 0.0063, 0.0006)
    assert said == (
        "A reading costs 0.57 wrong names in 100. The next free combinations would cost 0.63. "
        "No choice of marks can cost less than 0.06."
    )


@pytest.mark.parametrize("least", [0.0370, 0.03701, 0.0368])
def test_a_bound_that_reads_as_the_proposal_is_not_told_as_another_number(least: float) -> None:
    said = compared(0.03702, 0.03703, least)
    assert "would cost as much" in said
    assert len(set(numbers(said))) <= 2
    if least > 0.0369:
        assert said.endswith("No choice of marks costs less.")


def test_what_is_not_proven_is_said() -> None:
    assert compared(0.02, None, 0.0) == (
        "A reading costs 2 wrong names in 100. How low it could go is not proven."
    )


def test_an_own_choice_is_told_beside_the_flock_as_it_is() -> None:
    assert judged(0.021, 0.005) == "A reading would cost 2.1 wrong names in 100; now it costs 0.50."
    assert judged(0.005, 0.005).endswith("as it does now.")


def test_the_fewest_changes_say_who_stays_and_whether_fewer_may_do() -> None:
    assert changes_said(1, 29, proven=True) == "Change 1 bird; the other 28 stay as they are."
    assert changes_said(2, 3, proven=False) == (
        "Change 2 birds; the other stays as they are. Fewer may do; that is not proven."
    )
    assert changes_said(0, 3, proven=True).startswith("Every two birds are told apart")
