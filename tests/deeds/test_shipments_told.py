"""Birds that come together: all of them with what they are and wear, or none; and taken back whole."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from deeds.test_door import Teller, says
from phones import SEVEN
from tarsus.queries.marks import marks_on
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]


@pytest.fixture
def rush(park: Wendlebrook) -> dict[str, Any]:
    return {
        "species": park.avocet,
        "house_name": "Rush",
        "number": "A9",
        "sex": "F",
        "known_by": "DNA",
        "hatched_on": "2025-05-04",
        "origin": "another collection",
        "owner": "Marsh Park",
        "worn": [
            {"site": "left tibia", "kind": "metal", "engraving": "XY 7", "series": "XY"},
            {"site": "right tibia", "kind": "colour", "colour": "red", "size": "6 mm"},
            {"site": "right tibia", "kind": "colour", "colour": "lime"},
        ],
    }


@pytest.fixture
def reeve(park: Wendlebrook) -> dict[str, Any]:
    return {"species": park.ruff, "house_name": "Reeve", "worn": []}


def told(park: Wendlebrook, *newcomers: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"came_from": "Marsh Park", "exhibit": park.reed, "newcomers": list(newcomers), **more}


def origin_of_the_trade() -> str:
    return str(rows.Bird._meta.get_field("origin").choices[1][0])


def test_each_is_written_with_its_sex_its_bands_and_its_arrival(
    says: Teller, park: Wendlebrook, rush: dict[str, Any], reeve: dict[str, Any]
) -> None:
    rush["origin"] = origin_of_the_trade()
    came = says.done("corin", "birds_come", **told(park, rush, reeve, on_loan=True, papers="P 5"))
    first, second = (rows.Bird.objects.get(pk=key) for key in came.wrote["birds"])
    assert (first.house_name, first.number, first.species_id, first.owner) == (
        "Rush",
        "A9",
        park.avocet,
        "Marsh Park",
    )
    assert (first.hatched_on, first.hatched_precision) == (date(2025, 5, 4), "day")
    assert (first.origin, first.recorded_by_id) == (rush["origin"], park.actors.corin)
    assert (second.house_name, second.hatched_on, second.hatched_precision, second.origin) == (
        "Reeve",
        None,
        "unknown",
        "unknown",
    )
    finding = rows.SexFinding.objects.get(bird=first)
    assert (finding.sex, finding.known_by, finding.happened_at) == ("F", "DNA", SEVEN)
    assert not rows.SexFinding.objects.filter(bird=second).exists(), "nobody said what it is"
    for bird in (first, second):
        arrival = rows.Arrival.objects.get(bird=bird)
        assert (arrival.came_from, arrival.exhibit_id, arrival.on_loan, arrival.papers) == (
            "Marsh Park",
            park.reed,
            True,
            "P 5",
        )
        stay = rows.Stay.objects.get(bird=bird)
        assert (stay.exhibit_id, stay.from_on, stay.begun_through) == (park.reed, DAY, arrival.pk)
    worn = marks_on(first.pk, DAY)
    assert (worn.at("left tibia"), worn.at("right tibia")) == (("metal",), ("red", "lime"))
    assert set(rows.Band.objects.filter(bird=first).values_list("came_with_it", flat=True)) == {True}


def test_a_sex_without_its_how_was_told_on_arrival(
    says: Teller, park: Wendlebrook, reeve: dict[str, Any]
) -> None:
    says.done("corin", "birds_come", **told(park, {**reeve, "sex": "M"}))
    finding = rows.SexFinding.objects.get(bird__house_name="Reeve")
    assert (finding.sex, finding.known_by) == ("M", "told on arrival")


def test_bands_they_came_with_leave_our_drawer_alone(
    says: Teller, park: Wendlebrook, rush: dict[str, Any]
) -> None:
    says.done(
        "maren", "stock_changed", what="colour", colour="red", size="6 mm", by_amount=4, because="delivery"
    )
    says.done("corin", "birds_come", **told(park, {**rush, "origin": "unknown"}))
    assert rows.Stock.objects.get().amount == 4


def test_what_our_rules_would_not_have_given_them_is_said_of_each_by_name(
    says: Teller, park: Wendlebrook, rush: dict[str, Any], reeve: dict[str, Any]
) -> None:
    rush["origin"] = "unknown"
    rush["worn"].append({"site": "right tibia", "kind": "colour", "colour": "blue"})
    answer = says.done("corin", "birds_come", **told(park, rush, reeve))
    assert answer.said == ("Rush: 3 bands on the right leg, 2 at most here",)
    rows.Exhibit.objects.create(name="Newcomers", purpose="quarantine")
    past = says.done("corin", "birds_come", **told(park, reeve)).said
    assert len(past) == 1
    assert past[0].startswith("Reeve came straight to Reed House and past quarantine")


@pytest.mark.parametrize(
    ("wrong", "place", "reason"),
    [
        ({"number": "A9"}, "newcomers[1].number", "A9 is Rush's number; choose another"),
        (
            {"worn": [{"site": "left leg", "kind": "metal", "engraving": "WB 31001", "series": "WB"}]},
            "newcomers[1].engraving",
            "WB 31001 is Teasel's",
        ),
        (
            {"worn": [{"site": "left leg", "kind": "colour"}]},
            "newcomers[1].colour",
            "is missing; say which colour",
        ),
    ],
)
def test_where_one_of_them_cannot_be_nobody_came_and_its_line_is_named(
    says: Teller,
    park: Wendlebrook,
    rush: dict[str, Any],
    reeve: dict[str, Any],
    wrong: dict[str, Any],
    place: str,
    reason: str,
) -> None:
    birds = rows.Bird.objects.count()
    refused = says.tell(
        "corin", "birds_come", **told(park, {**rush, "origin": "unknown"}, {**reeve, **wrong})
    )
    assert (refused.outcome, refused.place) == ("refused", place)
    assert reason in refused.reason
    assert rows.Bird.objects.count() == birds
    assert not rows.Arrival.objects.exists()


def test_what_is_wrong_with_all_of_them_is_no_birds_fault(
    says: Teller, park: Wendlebrook, reeve: dict[str, Any]
) -> None:
    nowhere = says.tell("corin", "birds_come", **{**told(park, reeve), "exhibit": 9_999})
    assert nowhere.place == "exhibit"
    blank = says.tell("corin", "birds_come", **{**told(park, reeve), "came_from": "   "})
    assert blank.place == "came_from"


def test_a_shipment_that_never_came_leaves_numbers_bands_and_tubes_free(
    says: Teller, park: Wendlebrook, rush: dict[str, Any], reeve: dict[str, Any]
) -> None:
    rush["origin"] = "unknown"
    reeve |= {"number": "A10", "sex": "M"}
    came = says.done("corin", "birds_come", **told(park, rush, reeve))
    says.done("corin", "withdrawn", corrects=came.id, because="they come next week")
    for key in came.wrote["birds"]:
        bird = rows.Bird.objects.get(pk=key)
        assert bird.number == "", "the number is free again"
        stay = rows.Stay.objects.get(bird=bird)
        assert (stay.taken_back_by_id, stay.taken_back_because) == (park.actors.corin, "they come next week")
    back = rows.Band.objects.filter(bird__house_name="Rush")
    assert {(one.taken_back_by_id, one.taken_back_because) for one in back} == {
        (park.actors.corin, "they come next week")
    }
    assert all(one.taken_back_at is not None for one in back)
    withdrawn = set(rows.Withdrawal.objects.values_list("withdraws", flat=True))
    facts = {*rows.Arrival.objects.values_list("pk", flat=True)} | {
        *rows.SexFinding.objects.filter(bird__in=came.wrote["birds"]).values_list("pk", flat=True)
    }
    assert facts <= withdrawn
    again = says.done("corin", "birds_come", **told(park, rush, reeve))
    assert again.wrote["birds"] != came.wrote["birds"]
    assert rows.Bird.objects.get(number="A9").pk == again.wrote["birds"][0]


def test_a_shipment_one_of_which_was_moved_since_is_not_taken_back(
    says: Teller, park: Wendlebrook, rush: dict[str, Any], reeve: dict[str, Any]
) -> None:
    came = says.done("corin", "birds_come", **told(park, {**rush, "origin": "unknown"}, reeve))
    says.done("tilda", "moved", came=[came.wrote["birds"][1]], to_exhibit=park.shingle)
    refused = says.tell("corin", "withdrawn", corrects=came.id, because="never came")
    assert refused.reason == "corrects: Reeve was moved again since; take that back first"
    assert rows.Bird.objects.get(house_name="Rush").number == "A9", "nothing of it is half undone"


def test_a_shipment_is_put_right_whole_or_bird_by_bird(
    says: Teller, park: Wendlebrook, reeve: dict[str, Any]
) -> None:
    came = says.done("corin", "birds_come", **told(park, reeve))
    said = told(park, reeve) | {"corrects": came.id, "why_corrected": "it was two"}
    refused = says.tell("corin", "birds_come", **said)
    assert refused.reason == "corrects: is a shipment; withdraw it whole, or put its birds right one by one"
    assert rows.Stay.objects.filter(bird__house_name="Reeve", taken_back_at__isnull=True).exists()
