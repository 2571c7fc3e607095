"""A bird under care: what the vet wants stands at the exhibit, treatments are looked at again, cases join."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from deeds.test_door import Teller, told_of
from phones import SEVEN
from tarsus.core.care.duties.standing import next_recheck
from tarsus.queries.duties import duties_of_bird
from tarsus.queries.open_matters import open_cases
from tarsus.queries.pack import pack_of
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db


@pytest.fixture
def says(park: Wendlebrook) -> Teller:
    return Teller(park)


def case_about(says: Teller, *names: str) -> int:
    birds = [says.park[name] for name in names]
    says.done("tilda", "concern", birds=birds, seen=["lame"], side="right", tell_vet=True)
    return rows.Case.objects.latest("pk").pk


def asked_of(park: Wendlebrook, name: str) -> list[object]:
    """What the vet asks for on the tile of a bird, as the pack of its exhibit holds it."""
    found = pack_of(park.shingle, park.actors.tilda, timezone.now()).document
    birds = {bird["id"]: bird for flock in found["flocks"] for bird in flock["birds"]}
    return [case["do"] for case in birds[park[name]]["cases"]]


def test_a_second_lame_joins_the_open_case_and_leaves_it_when_it_was_a_mistake(
    says: Teller, park: Wendlebrook
) -> None:
    case = case_about(says, "Kelp", "Thrift")
    again = says.done(
        "tilda", "concern", birds=[park["Kelp"]], seen=["lame"], side="left", note="Worse.", tell_vet=True
    )
    assert rows.Case.objects.count() == 1
    (told,) = open_cases({})
    assert [(note.text, note.by) for note in told.notes] == [("Told again: lame, left. Worse.", "Tilda")]
    # Another thing, and a bird that the case is not about, are cases of their own.
    says.done("tilda", "concern", birds=[park["Kelp"]], seen=["discharge"], tell_vet=True)
    says.done("tilda", "concern", birds=[park["Sedge"], park["Kelp"]], seen=["lame"], tell_vet=True)
    assert rows.Case.objects.count() == 3
    first = rows.Case.objects.get(pk=case).concern_id
    # The first word was a mistake, and the second stands: the case goes on.
    says.done("tilda", "withdrawn", corrects=str(first), because="it was Sedge")
    assert rows.Case.objects.get(pk=case).closed_at is None
    says.done("tilda", "withdrawn", corrects=again.id, because="it only limped over a stone")
    assert next(one for one in open_cases({}) if one.case_id == case).notes == ()


def test_a_case_closed_takes_no_more_words_and_the_next_lame_opens_another(
    says: Teller, park: Wendlebrook
) -> None:
    case = case_about(says, "Kelp")
    says.done("ilse", "case_closed", case=case, because="walks well")
    refused = says.tell("ilse", "instruction", case=case, text="Do not catch.")
    assert "it is closed since" in refused.reason
    assert case_about(says, "Kelp") != case


def test_what_the_vet_wants_stands_on_the_tile_until_another_word_or_the_end(
    says: Teller, park: Wendlebrook
) -> None:
    case = case_about(says, "Kelp", "Thrift", "Sedge")
    assert says.tell("tilda", "instruction", case=case, text="Catch it.").outcome == "refused"
    says.done("ilse", "instruction", case=case, text="Read its right leg.", at=SEVEN.isoformat())
    later = (SEVEN + timedelta(minutes=5)).isoformat()
    second = says.done("ilse", "instruction", case=case, text="Do not catch.", at=later)
    for name in ("Kelp", "Thrift", "Sedge"):
        assert asked_of(park, name) == ["Do not catch."]
    says.done("tilda", "case_note", case=case, text="Thrift walks well.")
    assert asked_of(park, "Thrift") == ["Do not catch."]
    says.done("ilse", "withdrawn", corrects=second.id, because="meant for another")
    assert asked_of(park, "Thrift") == ["Read its right leg."]
    says.done("ilse", "case_closed", case=case, because="over")
    assert asked_of(park, "Thrift") == []
    assert "Keepers: Read its right leg. (Ilse)" in told_of(park, "Thrift")
    assert "Case: Thrift walks well. (Tilda)" in told_of(park, "Thrift")


def test_body_condition_is_on_the_parks_scale_and_keeps_the_scale_it_was_told_on(
    says: Teller, park: Wendlebrook
) -> None:
    kelp = park["Kelp"]
    refused = says.tell("tilda", "body_condition", bird=kelp, score=6)
    assert refused.reason == "score: 6 is not on the park's scale; write 1, very thin, to 5"
    first = says.done("tilda", "body_condition", bird=kelp, score=2, in_hand=True, note="keel sharp")
    says.done("maren", "park_set", condition_scale=9)
    says.done("tilda", "body_condition", bird=kelp, score=6)
    told = told_of(park, "Kelp")
    assert "Body condition 2 of 5, felt in the hand. keel sharp. (Tilda)" in told
    assert "Body condition 6 of 9. (Tilda)" in told
    fact = {"corrects": first.id, "why_corrected": "misheard", "score": 3, "bird": kelp}
    says.done("tilda", "body_condition", **fact)
    assert "Body condition 2 of 5, felt in the hand. keel sharp. (Tilda)" not in told_of(park, "Kelp")


def test_a_bird_under_treatment_is_looked_at_again_on_the_vets_days(says: Teller, park: Wendlebrook) -> None:
    kelp = park["Kelp"]
    assert says.tell("tilda", "treatment", bird=kelp, what="drops").outcome == "refused", "the vet orders"
    half = says.tell("ilse", "treatment", bird=kelp, what="drops", rechecks=2)
    assert half.reason == "recheck_days: is missing; say every how many days and how many times, or neither"
    begun = (timezone.now() - timedelta(days=3)).isoformat()
    order = says.done(
        "ilse", "treatment", bird=kelp, what="drops", dose="1 a day", recheck_days=3, rechecks=2, at=begun
    )
    assert "Treatment: drops, 1 a day. Looked at again 2 times, every 3 days. (Ilse)" in told_of(park, "Kelp")

    def due() -> list[str]:
        told = duties_of_bird(kelp, timezone.now())
        return [duty.what for duty in told if duty.kind == "treatment recheck"]

    assert due() == ["Look at Kelp under treatment: drops."]
    look = says.done("tilda", "treatment_rechecked", treatment=order.id, better=True, note="eye is dry")
    assert due() == [], "the next look is three days on"
    says.done("tilda", "withdrawn", corrects=look.id, because="that was Thrift")
    assert due() == ["Look at Kelp under treatment: drops."]
    says.done("ilse", "treatment_ended", treatment=order.id, because="eye healed")
    assert due() == []
    assert says.tell("ilse", "treatment_ended", treatment=order.id, because="again").outcome == "refused"


def test_rechecks_are_counted_from_the_order() -> None:
    # Worked by hand: ordered on 1 June, every 3 days, twice: 4 and 7 June, and then no more.
    begun = date(2026, 6, 1)
    assert [next_recheck(begun, 3, 2, looked) for looked in range(3)] == [
        date(2026, 6, 4),
        date(2026, 6, 7),
        None,
    ]
    assert next_recheck(begun, None, None, 0) is None


def test_a_slip_put_right_does_not_close_a_case_in_which_the_vet_has_spoken(
    says: Teller, park: Wendlebrook
) -> None:
    case = case_about(says, "Kelp")
    says.done("ilse", "instruction", case=case, text="Do not catch.")
    first = str(rows.Case.objects.get(pk=case).concern_id)
    told = {"birds": [park["Kelp"]], "seen": ["lame"], "tell_vet": True}
    says.done("tilda", "concern", **told, side="left", corrects=first, why_corrected="the left one")
    assert rows.Case.objects.get().closed_at is None
    assert "Do not catch." in asked_of(park, "Kelp")
