"""No way out of quarantine but the vet's release: by leaving, by being found, by taking something back.

That newcomers wait apart until the vet lets them out is common practice (docs/science/cautions.md).
"""

from __future__ import annotations

from typing import Any

import pytest

from deeds.test_door import Teller
from tarsus.records import models as rows
from wendlebrook import BEGUN, Wendlebrook

pytestmark = pytest.mark.django_db


@pytest.fixture
def says(park: Wendlebrook) -> Teller:
    return Teller(park)


@pytest.fixture
def house(park: Wendlebrook) -> int:
    return rows.Exhibit.objects.create(name="Newcomers", purpose="quarantine").pk


def lives(bird: int) -> int | None:
    stay = rows.Stay.objects.filter(bird_id=bird, to_on__isnull=True, taken_back_at__isnull=True).first()
    return None if stay is None else stay.exhibit_id


def moved_in(says: Teller, park: Wendlebrook, house: int) -> tuple[int, Any]:
    kelp = park["Kelp"]
    return kelp, says.done("tilda", "moved", came=[kelp], to_exhibit=house)


def test_it_does_not_leave_before_the_release(says: Teller, park: Wendlebrook, house: int) -> None:
    kelp, _ = moved_in(says, park, house)
    refused = says.tell("corin", "departure", bird=kelp, went_to="Marsh Park")
    assert refused.place == "bird"
    assert refused.reason.startswith("bird: Kelp is in quarantine and the vet had not released it")
    says.done("ilse", "quarantine_released", bird=kelp)
    says.done("corin", "departure", bird=kelp, went_to="Marsh Park")
    assert lives(kelp) is None


def test_lost_in_quarantine_it_is_not_found_into_a_flock(says: Teller, park: Wendlebrook, house: int) -> None:
    kelp, _ = moved_in(says, park, house)
    says.done("corin", "presumed_dead", bird=kelp, note="no trace")
    found = {"bird": kelp, "state": "found again"}
    refused = says.tell("tilda", "whereabouts", exhibit=park.reed, **found)
    assert refused.place == "exhibit"
    assert refused.reason.endswith("choose that, and write in the note where it was found")
    says.done("tilda", "whereabouts", exhibit=house, note="under the heater of Reed", **found)
    assert lives(kelp) == house


def test_lost_from_a_flock_it_may_be_found_anywhere(says: Teller, park: Wendlebrook, house: int) -> None:
    kelp = park["Kelp"]
    says.done("corin", "presumed_dead", bird=kelp, note="no trace")
    says.done("tilda", "whereabouts", bird=kelp, state="found again", exhibit=park.reed)
    assert lives(kelp) == park.reed


def test_ones_own_move_into_it_is_not_taken_back_and_the_vet_may(
    says: Teller, park: Wendlebrook, house: int
) -> None:
    kelp, move = moved_in(says, park, house)
    back = {"corrects": move.id, "because": "the wrong cage"}
    for who in ("tilda", "maren", "corin", "dunstan"):
        refused = says.tell(who, "withdrawn", **back)
        assert refused.place == "corrects"
        assert refused.reason.startswith("corrects: that would let Kelp out of quarantine; the vet releases")
    assert lives(kelp) == house, "nothing of a refused act is written"
    says.done("ilse", "withdrawn", **back)
    assert lives(kelp) == park.shingle


def test_a_move_into_it_is_not_put_right_to_another_flock(
    says: Teller, park: Wendlebrook, house: int
) -> None:
    kelp, move = moved_in(says, park, house)
    elsewhere = {"came": [kelp], "corrects": move.id, "why_corrected": "it went to Reed"}
    assert says.tell("tilda", "moved", to_exhibit=park.reed, **elsewhere).place == "corrects"
    other = rows.Exhibit.objects.create(name="Newcomers, upper", purpose="quarantine").pk
    says.done("tilda", "moved", to_exhibit=other, **elsewhere)
    assert lives(kelp) == other
    assert rows.Stay.objects.get(bird_id=kelp, exhibit_id=house).taken_back_at is not None


def test_an_arrival_into_it_is_not_written_anew_past_it(says: Teller, park: Wendlebrook, house: int) -> None:
    bird = rows.Bird.objects.create(
        species_id=park.avocet, house_name="Rush", recorded_by_id=park.actors.tilda
    ).pk
    come = {"bird": bird, "came_from": "Marsh Park"}
    arrived = says.done("corin", "arrival", exhibit=house, **come)
    instead = {"corrects": arrived.id, "why_corrected": "it went straight in"}
    assert says.tell("corin", "arrival", exhibit=park.reed, **come, **instead).outcome == "refused"
    says.done("corin", "withdrawn", corrects=arrived.id, because="it went straight in")
    refused = says.tell("corin", "arrival", exhibit=park.reed, **come)
    assert refused.reason.startswith("exhibit: Rush came to quarantine by the record")
    says.done("corin", "arrival", exhibit=house, **come)
    says.done("ilse", "quarantine_released", bird=bird)
    says.done("tilda", "moved", came=[bird], to_exhibit=park.reed)


def test_a_new_bird_straight_into_a_flock_is_said(says: Teller, park: Wendlebrook, house: int) -> None:
    new = {"species": park.avocet, "exhibit": park.reed}
    (warned,) = says.done("corin", "bird_added", house_name="Rush", **new).said
    assert warned.startswith("Rush came straight to Reed")
    assert warned.endswith("ask the vet whether that may be, or move it to Newcomers")
    assert says.done("corin", "bird_added", house_name="Burr", origin="hatched here", **new).said == ()
    assert says.done("corin", "bird_added", species=park.avocet, exhibit=house).said == ()


def test_a_release_is_not_taken_back_over_a_bird_that_joined(
    says: Teller, park: Wendlebrook, house: int
) -> None:
    kelp, _ = moved_in(says, park, house)
    released = says.done("ilse", "quarantine_released", bird=kelp)
    says.done("tilda", "moved", came=[kelp], to_exhibit=park.reed)
    undo = {"corrects": released.id, "because": "the swab was another bird's"}
    refused = says.tell("ilse", "withdrawn", **undo)
    assert refused.reason.endswith("let it be moved to quarantine first")
    says.done("tilda", "moved", came=[kelp], to_exhibit=house)
    says.done("ilse", "withdrawn", **undo)
    assert rows.Stay.objects.filter(bird_id=kelp, from_on__gte=BEGUN, to_on__isnull=True).count() == 1


@pytest.mark.parametrize("renamed", ["hospital", "quarantine"])
def test_no_exhibit_becomes_another_around_a_bird_in_hospital_that_was_not_released(
    renamed: str, says: Teller, park: Wendlebrook, house: int
) -> None:
    ward = rows.Exhibit.objects.create(name="Ward", purpose="hospital").pk
    kelp, _ = moved_in(says, park, house)
    says.done("tilda", "moved", came=[kelp], to_exhibit=ward)
    which, name = (ward, "Ward") if renamed == "hospital" else (house, "Newcomers")
    change = {"exhibit": which, "name": name, "purpose": "display"}
    refused = says.tell("maren", "exhibit_saved", **change)
    assert (refused.outcome, refused.place) == ("refused", "purpose")
    says.done("ilse", "quarantine_released", bird=kelp)
    says.done("maren", "exhibit_saved", **change)
