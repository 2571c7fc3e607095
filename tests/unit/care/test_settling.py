"""What a line on *Today* opens: the deed that settles it, with all of it that the duty knows already."""

from __future__ import annotations

from typing import Any

import pytest

from tarsus.core.care.duty import Duty, Urgency
from tarsus.core.care.settling import OWN_DUTIES, SETTLED_BY, Settling, settling
from tarsus.core.deeds.register import DEEDS


def duty(kind: str, **said: Any) -> Duty:
    usual: dict[str, Any] = {
        "bird": 7,
        "exhibit": None,
        "subject": "",
        "what": "Do it.",
        "why": "It is due.",
        "by": None,
        "urgency": Urgency.TODAY,
        "caution": "",
        "in_hand": False,
        "settled_by": "",
    }
    return Duty(kind=kind, **{**usual, **said})


def begins(one: Duty) -> dict[str, dict[str, Any]]:
    """What the form of each deed begins with."""
    return {offered.deed: dict(offered.named) for offered in settling(one)}


def test_the_usual_deed_comes_first_and_each_names_the_bird() -> None:
    assert settling(duty("wing band off")) == (
        Settling("handling", {"bird": 7, "birds": 7}),
        Settling("band_off", {"bird": 7, "birds": 7}),
    )


def test_a_bird_that_is_searched_for_was_seen_by_eye() -> None:
    assert begins(duty("search", exhibit=3)) == {
        "sighting": {"bird": 7, "birds": 7, "exhibit": 3, "how": "by sight"},
        "whereabouts": {"bird": 7, "birds": 7, "exhibit": 3},
        "death": {"bird": 7, "birds": 7, "exhibit": 3},
    }


def test_not_looked_for_is_said_of_the_bird_and_not_of_its_exhibit_too() -> None:
    assert begins(duty("say again", exhibit=3))["not_looked_for"] == {"bird": 7, "birds": 7}
    assert begins(duty("look again", exhibit=3))["sighting"]["exhibit"] == 3


@pytest.mark.parametrize(
    ("kind", "subject", "named"),
    [
        ("band faded", "band 41", {"band": "41"}),
        ("open case", "case 12", {"case": "12"}),
        ("natural mark to review", "mark 5", {"mark": "5"}),
        ("which bird died", "death 3f", {"death": "3f"}),
        ("band found alone", "found 9a", {"found": "9a"}),
        ("sample to send", "test 77", {"test": "77"}),
        ("treatment recheck", "treatment b2", {"treatment": "b2"}),
        ("order bands", "stock 6", {"stock": "6"}),
        ("next-day check", "a9-5", {"handling": "a9-5"}),
        ("band faded", "band", {}),
        ("order bands", "stock", {}),
        ("too alike", "pair 3 9", {}),
    ],
)
def test_what_a_duty_is_about_is_filled_in_under_its_own_name(
    kind: str, subject: str, named: dict[str, str]
) -> None:
    (first, *_) = settling(duty(kind, bird=None, subject=subject))
    assert dict(first.named) == named


def test_a_result_of_a_sample_is_by_dna_and_one_that_conflicts_need_not_be() -> None:
    assert begins(duty("sex result awaited", subject="test 77"))["sex_finding"]["known_by"] == "DNA"
    assert "known_by" not in begins(duty("sex result awaited", subject="test 77"))["sample_unanswered"]
    assert "known_by" not in begins(duty("sex evidence conflicts"))["sex_finding"]


def test_a_strange_result_is_placed_or_taken_back_by_its_own_question() -> None:
    told = begins(duty("result for no sample", bird=None, subject="question 4c"))
    assert told == {
        "result_placed": {"question": "4c"},
        "withdrawn": {"question": "4c", "corrects": "4c"},
    }
    assert "corrects" not in begins(duty("sex evidence conflicts", subject="evidence 4c"))["withdrawn"]


def test_evidence_that_does_not_agree_offers_each_finding_by_its_words() -> None:
    conflict = duty("sex evidence conflicts", takes_back=(("f1", "female, DNA"), ("f2", "male, plumage")))
    assert settling(conflict) == (
        Settling("withdrawn", {"corrects": "f1"}, "Withdraw: female, DNA"),
        Settling("withdrawn", {"corrects": "f2"}, "Withdraw: male, plumage"),
        Settling("sex_finding", {"bird": 7, "birds": 7}),
    )


def test_a_case_begins_with_why_it_is_opened_as_far_as_its_line_goes() -> None:
    told = begins(duty("tell the vet of its weight", why="Lost 14 % in nine days..."))
    assert told["case_opened"] == {"bird": 7, "birds": 7, "about": "Lost 14 % in nine days"}
    long = begins(duty("band tight", why="x" * 300))["case_opened"]["about"]
    assert len(long) == 200, "the line of a case"
    assert "about" not in begins(duty("band tight"))["handling"]


def test_every_deed_that_is_offered_is_one_and_every_own_duty_is_a_kind() -> None:
    assert {deed for deeds in SETTLED_BY.values() for deed in deeds} <= set(DEEDS)
    assert {kind for kinds in OWN_DUTIES.values() for kind in kinds} <= set(SETTLED_BY)
