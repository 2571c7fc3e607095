"""What pages say of a file, of a rule and of the park's colours."""

from __future__ import annotations

import pytest

from tarsus.core.words.colours_said import cameras_said, checks_said, photographs_said
from tarsus.core.words.import_said import birds_would, list_would
from tarsus.core.words.rule_said import rule_said


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        ((3, 0, 0, 0), "3 birds would go in, 0 lines are refused. Nothing is written yet."),
        (
            (1, 1, 1, 2),
            "1 bird would go in, 1 line is refused, 1 waits for an answer, 2 went in before. "
            "Nothing is written yet.",
        ),
        (
            (0, 2, 3, 0),
            "0 birds would go in, 2 lines are refused, 3 wait for an answer. Nothing is written yet.",
        ),
    ],
)
def test_a_list_of_birds_says_what_would_become_of_every_line(
    numbers: tuple[int, int, int, int], said: str
) -> None:
    assert birds_would(*numbers) == said


def test_a_list_of_lines_and_one_of_rounds_count_what_they_tell() -> None:
    assert list_would("weights", "line", 1, 1, 1) == (
        "Read as a list of weights: 1 line would be told, 1 is refused, 1 was told before. "
        "Nothing is written yet."
    )
    assert list_would("ticks", "round", 2, 1, 3) == (
        "Read as a list of ticks: 2 rounds would be told, 1 line is refused, 3 lines were told "
        "before. "
        "Nothing is written yet."
    )


def test_a_rule_is_said_by_sex() -> None:
    assert rule_said("F", "left tibia", {"right tibia": 2}) == (
        "females: metal on the left tibia, 2 colours on the right tibia"
    )
    assert rule_said("M", "right leg", {}) == "males: metal on the right leg"
    assert rule_said("U", None, {"left leg": 1}) == "unsexed: no metal, 1 colour on the left leg"


def test_what_is_learned_of_colours_says_what_it_rests_on() -> None:
    assert photographs_said(1, earned=False).startswith("1 photograph whose bird")
    assert photographs_said(40, earned=True).startswith("Of 100 bands, by 40 photographs")
    assert cameras_said(0, 0) == ""
    assert cameras_said(0, 3).startswith("Of no phone’s camera")
    assert cameras_said(1, 1).startswith("Of 1 of 1 phone the camera")
    assert checks_said(55, 0.1, 0.1, differ=False) == (
        "55 bands checked in the hand: no colour fades faster or slower than the rest."
    )
    assert "about 12 of every other colour, 9.0 as thought before. By 1 band as" in checks_said(
        1, 0.12, 0.0901, differ=True
    )
