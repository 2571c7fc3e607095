"""Quarantine ends with the vet's release; no move, no late phone and no setting walks around it.

That newcomers wait apart until the vet lets them out is common practice (docs/science/cautions.md).
"""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from tarsus.actions.bands.planning import keep_marks
from tarsus.actions.birds.coming_going import release_from_quarantine
from tarsus.actions.birds.moves import move_birds
from tarsus.actions.hearing.taking_back import withdraw
from tarsus.actions.refusals import HeldInQuarantine
from tarsus.actions.settings.exhibits import save_exhibit
from tarsus.actions.telling import Told
from tarsus.queries.days import park_zone
from tarsus.queries.quarantine import held_in_quarantine, kept_not_fitted
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
SINCE = date(2026, 6, 1)


def at(day: int, hour: int = 8, minute: int = 30) -> datetime:
    return datetime(2026, 6, day, hour, minute, tzinfo=UTC)


@pytest.fixture
def apart(park: Wendlebrook) -> dict[str, int]:
    """Kelp and Marram in quarantine since 1 June; a second quarantine room and a hospital stand empty."""
    made = {
        name: rows.Exhibit.objects.create(name=name, purpose=purpose).pk
        for name, purpose in (("East", "quarantine"), ("West", "quarantine"), ("Ward", "hospital"))
    }
    birds = [park["Kelp"], park["Marram"]]
    rows.Stay.objects.filter(bird_id__in=birds).update(exhibit_id=made["East"], from_on=SINCE)
    return made


def move(park: Wendlebrook, when: datetime, to: int, *names: str) -> Told:
    told = Told(by=park.actors.tilda, at=when)
    assert move_birds(told=told, to_exhibit_id=to, came=[park[name] for name in names])
    return told


def release(park: Wendlebrook, when: datetime, name: str = "Kelp") -> Told:
    told = Told(by=park.actors.ilse, at=when)
    assert release_from_quarantine(told=told, bird_id=park[name])
    return told


def test_before_the_release_it_joins_nobody_and_after_it_does(
    park: Wendlebrook, apart: dict[str, int]
) -> None:
    with pytest.raises(
        HeldInQuarantine, match=r"^came: Kelp is in quarantine and the vet had not released it"
    ):
        move(park, at(11), park.shingle, "Kelp")
    assert not rows.Move.objects.exists()
    release(park, at(10))
    move(park, at(11), park.shingle, "Kelp")


def test_a_whole_house_waits_for_the_ones_that_are_not_released(
    park: Wendlebrook, apart: dict[str, int]
) -> None:
    with pytest.raises(HeldInQuarantine, match=r"^came: Kelp and Marram are in quarantine"):
        move(park, at(11), park.reed, "Kelp", "Teasel", "Marram")
    release(park, at(10), "Kelp")
    with pytest.raises(HeldInQuarantine, match="came: Marram is in quarantine"):
        move(park, at(11), park.reed, "Kelp", "Teasel", "Marram")
    living = rows.Stay.objects.filter(to_on__isnull=True, exhibit_id=park.reed)
    assert not living.filter(bird_id=park["Teasel"]).exists(), "one act moves all or nobody"
    move(park, at(11), park.reed, "Kelp", "Teasel")


def test_the_hospital_is_no_way_around(park: Wendlebrook, apart: dict[str, int]) -> None:
    move(park, at(5), apart["West"], "Kelp")
    move(park, at(6), apart["Ward"], "Kelp")
    with pytest.raises(HeldInQuarantine, match=r"^came: Kelp is in quarantine"):
        move(park, at(7), park.shingle, "Kelp")
    zone = park_zone()
    assert held_in_quarantine([park["Kelp"]], at(7), zone) == {park["Kelp"]: SINCE}
    move(park, at(7), apart["East"], "Kelp")
    release(park, at(8))
    move(park, at(9), apart["Ward"], "Kelp")
    move(park, at(10), park.shingle, "Kelp")


def test_a_bird_of_the_flock_leaves_the_hospital_freely(park: Wendlebrook, apart: dict[str, int]) -> None:
    move(park, at(5), apart["Ward"], "Teasel")
    move(park, at(6), park.shingle, "Teasel")


def test_a_late_phone_is_judged_by_when_it_happened(park: Wendlebrook, apart: dict[str, int]) -> None:
    release(park, at(11, 9, 10))
    with pytest.raises(HeldInQuarantine, match="by then"):
        move(park, at(11, 9, 9), park.shingle, "Kelp")
    move(park, at(11, 9, 11), park.shingle, "Kelp")


def test_where_only_the_day_was_told_the_day_is_compared(park: Wendlebrook, apart: dict[str, int]) -> None:
    noon = datetime(2026, 6, 11, 12, tzinfo=park_zone())
    release(park, noon.replace(hour=15))
    with pytest.raises(HeldInQuarantine):
        move(park, noon.replace(day=10), park.shingle, "Kelp")
    move(park, noon, park.shingle, "Kelp")


def test_a_release_taken_back_counts_no_more(park: Wendlebrook, apart: dict[str, int]) -> None:
    told = release(park, at(10))
    withdraw(told=Told(by=park.actors.ilse, at=at(10, 9)), fact_id=told.id, because="the wrong cage")
    with pytest.raises(HeldInQuarantine):
        move(park, at(11), park.shingle, "Kelp")


def test_a_release_of_an_earlier_time_there_does_not_end_a_later_one(
    park: Wendlebrook, apart: dict[str, int]
) -> None:
    release(park, at(10))
    move(park, at(11), park.shingle, "Kelp")
    move(park, at(11, 9), apart["East"], "Kelp")
    with pytest.raises(HeldInQuarantine):
        move(park, at(12), park.shingle, "Kelp")
    release(park, at(12, 9))
    move(park, at(12, 10), park.shingle, "Kelp")


def test_an_exhibit_does_not_stop_being_quarantine_over_held_birds(
    park: Wendlebrook, apart: dict[str, int]
) -> None:
    told = {"by": park.actors.dunstan, "name": "East", "exhibit_id": apart["East"]}
    with pytest.raises(
        HeldInQuarantine, match=r"^purpose: Kelp and Marram came through here and wait for release"
    ):
        save_exhibit(**told, purpose="display")
    release(park, at(10), "Kelp")
    with pytest.raises(
        HeldInQuarantine, match=r"^purpose: Marram came through here and waits .* releases it first"
    ):
        save_exhibit(**told, purpose="display")
    release(park, at(10), "Marram")
    save_exhibit(**told, purpose="display")


def test_the_marks_kept_and_not_fitted_are_named(park: Wendlebrook) -> None:
    assert kept_not_fitted(park["Dock"]) == ""
    keep_marks(
        bird_id=park["Dock"],
        marks={"left leg": ["metal"], "right leg": ["yellow", "green"]},
        by=park.actors.maren,
        because="newcomer",
    )
    sentence = kept_not_fitted(park["Dock"])
    assert sentence.startswith("kept for Dock and not fitted yet: metal on the left, yellow over green on")
    rows.PlannedMarks.objects.update(dropped_at=at(11))
    assert kept_not_fitted(park["Dock"]) == ""
