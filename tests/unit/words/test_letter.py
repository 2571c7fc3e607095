"""The daily letter in words."""

from __future__ import annotations

from tarsus.core.words.letter import MOST, SUBJECT, letter


def test_a_letter_with_nothing_to_say_is_empty() -> None:
    assert letter("Wendlebrook", "Friday", (("Search", ()), ("Overdue", ()))) == ""


def test_parts_stand_in_their_order_and_those_without_lines_are_left_out() -> None:
    parts = (("Backups", ()), ("Search", ("Aspen, 7 days",)), ("Overdue", ("Weigh Tansy", "Check Chip")))
    text = letter("Wendlebrook", "Friday 27 November", parts, "https://tarsus.park.example")
    assert text.splitlines()[:7] == [
        *("Wendlebrook, Friday 27 November", "", "Search", "- Aspen, 7 days", "", "Overdue", "- Weigh Tansy")
    ]
    assert "Today: https://tarsus.park.example\n" in text
    assert "Backups" not in text


def test_a_long_list_is_cut_and_says_by_how_much() -> None:
    text = letter("Wendlebrook", "Friday", (("Search", [f"bird {n}" for n in range(MOST + 3)]),))
    assert f"- bird {MOST - 1}\n- and 3 more\n" in text
    assert f"bird {MOST}\n" not in text


def test_the_subject_says_nothing_of_the_park() -> None:
    assert SUBJECT == "Tarsus: please look at Today"
