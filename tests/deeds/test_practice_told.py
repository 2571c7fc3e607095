"""Practice is its owner's own: shared by a switch, off until then, gone when it is taken back."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import pytest

from deeds.test_door import Teller, says
from phones import SEVEN
from tarsus.queries.days import park_today
from tarsus.queries.exports import tables_held
from tarsus.queries.practice import readiness_for
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]

ANSWER: dict[str, Any] = {
    "read": {"left tibia": ["red"], "right tibia": ["metal"]},
    "worn": {"left tibia": ["orange"], "right tibia": ["metal"]},
}


def share(says: Teller, by: str, park: Wendlebrook, *, ready: bool, answers: int = 1, **more: Any) -> Any:
    return says.tell(
        by,
        "practice_shared",
        exhibit=park.shingle,
        lookalike="avocet",
        ready=ready,
        answers=[ANSWER] * answers,
        **more,
    )


def told_to_the_lead(park: Wendlebrook, name: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    (one,) = [one for one in readiness_for(park.shingle) if one.name == name]
    return one.ready, one.not_yet


def test_practice_is_shared_by_its_owner_alone_and_taken_back_whole(says: Teller, park: Wendlebrook) -> None:
    assert share(says, "tilda", park, ready=True).said == ("not kept: you do not share your practice",)
    assert told_to_the_lead(park, "Tilda") == ((), ())
    says.done("tilda", "practice_sharing", on=True)
    share(says, "tilda", park, ready=True)
    share(says, "tilda", park, ready=False)
    assert told_to_the_lead(park, "Tilda") == ((), ("avocet",))
    assert told_to_the_lead(park, "Oswin") == ((), ())
    assert rows.SharedPractice.objects.get().answers == [ANSWER]
    kept = json.dumps(list(rows.ToldDeed.objects.values_list("contents", flat=True)))
    assert "avocet" in kept
    assert "orange" not in kept, "the ledger forgets nothing: it is told none of it"
    (practice,) = [one for one in tables_held(park_today()) if one.name == "shared_practice"]
    assert "answers" not in practice.headings
    says.done("tilda", "practice_sharing", on=False)
    assert told_to_the_lead(park, "Tilda") == ((), ())
    assert not rows.SharedPractice.objects.exists()
    share(says, "tilda", park, ready=True)
    assert not rows.SharedPractice.objects.exists(), "a phone that has not heard of it yet shares nothing"


def test_what_was_chosen_last_stands_in_whatever_order_phones_tell_it(
    says: Teller, park: Wendlebrook
) -> None:
    eight, nine, ten = ((SEVEN + timedelta(hours=hours)).isoformat() for hours in (1, 2, 3))
    says.done("tilda", "practice_sharing", on=False, at=nine)
    late = says.done("tilda", "practice_sharing", on=True, at=eight)
    assert late.said == ("you chose otherwise later, and that stands",)
    assert not rows.Person.objects.get(login="tilda").shares_practice
    says.done("tilda", "practice_sharing", on=True, at=ten)
    assert share(says, "tilda", park, ready=True).said == ("not kept: you do not share your practice",)
    assert not rows.SharedPractice.objects.exists(), "it was taken back at nine, with all from before"
    share(says, "tilda", park, ready=True, at=ten)
    assert rows.SharedPractice.objects.exists()
    says.done("tilda", "practice_sharing", on=False, at=eight)
    assert rows.SharedPractice.objects.exists()


def test_no_more_practice_is_shared_than_it_may_weigh(says: Teller, park: Wendlebrook) -> None:
    says.done("tilda", "practice_sharing", on=True)
    refused = share(says, "tilda", park, ready=True, answers=21)
    assert refused.reason == "answers: has 21 entries; share the latest 20"
    assert share(says, "tilda", park, ready=True, answers=20).outcome == "written"
