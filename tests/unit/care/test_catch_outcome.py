"""What became of each bird of a catch-up, in whatever order it was told."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import permutations

from tarsus.core.care.catch_outcome import HANDLED, OPEN, Missed, outcomes

DAWN = datetime(2026, 6, 12, 4, 15, tzinfo=UTC)
PLANNED = {1: ("Replace its band.", "Weigh it."), 2: ("Take a sample.",), 3: ("Weigh it.",)}
HID = Missed("not caught", "it stayed in the reeds", "Tilda", DAWN + timedelta(minutes=20))
PANTED = Missed("let go unhandled", "it panted", "Maren", DAWN + timedelta(minutes=30))


def test_a_handling_counts_before_a_word_that_there_was_none_and_the_latest_word_before_an_earlier() -> None:
    handled = {1: (DAWN + timedelta(minutes=40), "Oswin")}
    told = [(1, HID), (2, HID), (2, PANTED)]
    for order in permutations(told):
        found = outcomes(PLANNED, handled, order, {})
        assert [one.how for one in found] == [HANDLED, "let go unhandled", OPEN]
        assert found[1].words == "let go unhandled: it panted"
        assert [one.by for one in found] == ["Oswin", "Maren", ""]


def test_what_is_due_still_waits_and_what_was_settled_does_not() -> None:
    due = {1: ["Weigh it."], 2: ["Take a sample.", "Something new."]}
    found = outcomes(PLANNED, {1: (DAWN, "Oswin")}, [(2, HID)], due)
    assert [one.waits for one in found] == [("Weigh it.",), ("Take a sample.",), ()]


def test_a_word_about_a_bird_that_is_not_in_the_plan_changes_nothing() -> None:
    assert outcomes(PLANNED, {}, [(9, HID)], {}) == outcomes(PLANNED, {}, [], {})
