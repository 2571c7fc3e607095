"""Care through the door: signed reasons, catch-ups, cases, and where a bird's stays end."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any
from uuid import uuid4

import pytest

from deeds.test_door import Teller, says
from tarsus.actions.birds.register import NewBird, add_bird, change_bird
from tarsus.actions.birds.stays import begin_stay, end_by_death, end_stay, open_stay, stay_now
from tarsus.actions.care.cases import sign_reason
from tarsus.core.errors import MalformedInput
from tarsus.records import models as rows
from wendlebrook import BEGUN, DAY, Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]


def test_a_limit_is_lifted_once_vet_and_lead_have_signed_the_same_reason(
    says: Teller, park: Wendlebrook
) -> None:
    said = {
        "ruled": "too hot",
        "exhibit": park.shingle,
        "for_day": "2026-06-12",
        "reason": " a fox is about ",
    }
    ruled = rows.SignedReason._meta.get_field("ruled").choices
    said["ruled"] = ruled[0][0]
    first = says.done("ilse", "reason_signed", **said)
    assert first.said == ("It holds once the other of vet and lead has signed too.",)
    again = says.done("maren", "reason_signed", **{**said, "reason": "a fox is about"})
    assert again.said == ("Signed by both: it holds.",)
    row = rows.SignedReason.objects.get()
    assert (row.vet_id, row.lead_id, row.reason) == (park.actors.ilse, park.actors.maren, "a fox is about")
    assert (row.ruled, row.exhibit_id, row.bird_id, row.for_day) == (
        said["ruled"],
        park.shingle,
        None,
        date(2026, 6, 12),
    )
    assert row.vet_at is not None
    assert row.lead_at is not None
    one_bird = says.done("maren", "reason_signed", **said, bird=park["Kelp"])
    assert one_bird.said == ("It holds once the other of vet and lead has signed too.",)
    assert rows.SignedReason.objects.filter(bird=park["Kelp"], vet=None, lead=park.actors.maren).count() == 1
    other_day = says.done("ilse", "reason_signed", **{**said, "for_day": "2026-06-13"})
    assert other_day.said == first.said


def test_a_reason_is_signed_by_vet_or_lead_about_what_there_is(park: Wendlebrook) -> None:
    ruled = rows.SignedReason._meta.get_field("ruled").choices[0][0]
    said: dict[str, Any] = {"ruled": ruled, "exhibit_id": park.shingle, "for_day": DAY, "reason": "fox"}
    for change, by, reason in (
        ({}, "tilda", "by: Tilda is neither vet nor lead; let both of them sign"),
        ({"reason": "  "}, "ilse", "reason: is empty; say why the limit is lifted"),
        ({"ruled": "luck"}, "ilse", "ruled: 'luck' is no limit"),
        ({"exhibit_id": -1}, "ilse", "exhibit: "),
        ({"bird_id": -1}, "ilse", "bird: "),
    ):
        with pytest.raises(MalformedInput) as refusal:
            sign_reason(**{**said, **change}, by=getattr(park.actors, by))
        assert str(refusal.value).startswith(reason)
    assert not rows.SignedReason.objects.exists()


def test_a_catch_up_is_kept_with_its_birds_and_their_reasons(says: Teller, park: Wendlebrook) -> None:
    kelp, sedge = park["Kelp"], park["Sedge"]
    said = {
        "exhibit": park.shingle,
        "planned_for": "2026-06-12",
        "birds": [{"bird": kelp, "why": ["weigh", "nails"]}, {"bird": sedge, "why": ["band"]}],
    }
    first = says.done("maren", "catch_up_kept", **said, limits={"too_hot_c": 27}).wrote["catch_up"]
    row = rows.CatchUp.objects.get(pk=first)
    assert (row.exhibit_id, row.planned_for, row.planned_by_id) == (
        park.shingle,
        date(2026, 6, 12),
        park.actors.maren,
    )
    assert row.limits == {"too_hot_c": 27}
    assert dict(row.birds.values_list("bird", "why")) == {kelp: ["weigh", "nails"], sedge: ["band"]}
    second = says.done("maren", "catch_up_kept", **said).wrote["catch_up"]
    row.refresh_from_db()
    assert row.dropped_at is not None, "a new plan of the same exhibit and day takes its place"
    assert rows.CatchUp.objects.get(pk=second).limits == {}
    elsewhere = says.done("maren", "catch_up_kept", **{**said, "exhibit": park.reed}).wrote["catch_up"]
    later = says.done("maren", "catch_up_kept", **{**said, "planned_for": "2026-06-13"}).wrote["catch_up"]
    assert set(rows.CatchUp.objects.filter(dropped_at=None).values_list("pk", flat=True)) == {
        second,
        elsewhere,
        later,
    }


def test_a_catch_up_is_dropped_or_finished_once(says: Teller, park: Wendlebrook) -> None:
    plan = {"exhibit": park.shingle, "birds": [{"bird": park["Kelp"], "why": ["weigh"]}]}
    one, other = (
        says.done("maren", "catch_up_kept", **plan, planned_for=f"2026-06-{day}").wrote["catch_up"]
        for day in (12, 13)
    )
    says.done("maren", "catch_up_dropped", catch_up=one)
    assert rows.CatchUp.objects.get(pk=one).dropped_at is not None
    refused = says.tell("maren", "catch_up_finished", catch_up=other)
    assert refused.reason.startswith("catch_up: tells nothing of Kelp yet; ")
    hid = {"catch_up": other, "bird": park["Kelp"], "outcome": "not caught", "because": "it hid"}
    says.done("tilda", "not_handled", **hid)
    says.done("maren", "catch_up_finished", catch_up=other)
    done = rows.CatchUp.objects.get(pk=other)
    assert done.done_at is not None
    assert done.dropped_at is None
    assert says.tell("maren", "catch_up_finished", catch_up=other).outcome == "known"
    assert says.tell("maren", "catch_up_dropped", catch_up=other).outcome == "known"
    assert says.tell("maren", "catch_up_dropped", catch_up=one).outcome == "known"
    refused = says.tell("maren", "catch_up_kept", **{**plan, "birds": []}, planned_for="2026-06-14")
    assert refused.place == "birds"


def test_a_bird_lives_in_one_place_and_its_stays_follow_each_other(park: Wendlebrook) -> None:
    tilda = park.actors.tilda
    kelp = rows.Bird.objects.get(pk=park["Kelp"])
    with pytest.raises(MalformedInput) as refusal:
        begin_stay(kelp, park.reed, DAY, tilda)
    assert str(refusal.value) == "bird: Kelp lives in Shingle Aviary already; move it instead"
    stay = stay_now(kelp)
    with pytest.raises(MalformedInput) as refusal:
        end_stay(stay, BEGUN - timedelta(days=1), tilda)
    assert (
        str(refusal.value)
        == "at: Kelp lives in Shingle Aviary only since 2026-03-01; choose that day or later"
    )
    deed = uuid4()
    end_stay(stay, DAY, tilda, deed)
    stay.refresh_from_db()
    assert (stay.to_on, stay.ended_by_id, stay.ended_through) == (DAY, tilda, deed)
    assert stay.ended_at is not None
    with pytest.raises(MalformedInput) as refusal:
        stay_now(kelp)
    assert str(refusal.value) == "bird: Kelp lives in no exhibit now; let it arrive first"
    with pytest.raises(MalformedInput) as refusal:
        begin_stay(kelp, park.reed, DAY - timedelta(days=1), tilda)
    assert str(refusal.value) == "on: Kelp lived in Shingle Aviary until 2026-06-11; choose that day or later"
    new = begin_stay(kelp, park.reed, DAY, park.actors.oswin, reason="quieter", through=deed)
    assert open_stay(kelp) == new
    new.refresh_from_db()
    assert (new.exhibit_id, new.from_on, new.reason) == (park.reed, DAY, "quieter")
    assert (new.recorded_by_id, new.begun_through) == (park.actors.oswin, deed)


def test_a_stay_may_end_on_the_day_it_began(park: Wendlebrook) -> None:
    stay = stay_now(rows.Bird.objects.get(pk=park["Kelp"]))
    end_stay(stay, BEGUN, park.actors.tilda)
    assert stay.to_on == BEGUN


def test_a_death_ends_the_stay_that_the_bird_had_on_that_day(park: Wendlebrook) -> None:
    tilda, deed = park.actors.tilda, uuid4()
    kelp = rows.Bird.objects.get(pk=park["Kelp"])
    with pytest.raises(MalformedInput) as refusal:
        end_by_death(kelp, BEGUN - timedelta(days=1), tilda, deed)
    assert (
        str(refusal.value) == "bird: Kelp came to Shingle Aviary on 2026-03-01, so it lived after 2026-02-28"
    )
    end_stay(stay_now(kelp), DAY, tilda)
    with pytest.raises(MalformedInput) as refusal:
        end_by_death(kelp, DAY, tilda, deed)
    assert str(refusal.value) == "bird: Kelp did not live here on 2026-06-11; choose another bird"
    with pytest.raises(MalformedInput) as refusal:
        end_by_death(kelp, DAY - timedelta(days=1), tilda, deed)
    assert str(refusal.value) == "bird: Kelp left Shingle Aviary on 2026-06-11, so it lived after 2026-06-10"
    sedge = rows.Bird.objects.get(pk=park["Sedge"])
    end_by_death(sedge, BEGUN, tilda, deed)
    stay = rows.Stay.objects.get(bird=sedge)
    assert (stay.to_on, stay.ended_by_id, stay.ended_through) == (BEGUN, tilda, deed)


def test_taking_a_move_back_leaves_who_when_and_why_on_the_stay(says: Teller, park: Wendlebrook) -> None:
    kelp = park["Kelp"]
    move = says.done("tilda", "moved", came=[kelp], to_exhibit=park.reed)
    says.done("maren", "withdrawn", corrects=move.id, because="it was Sedge")
    gone = rows.Stay.objects.get(bird=kelp, exhibit=park.reed)
    assert (gone.taken_back_by_id, gone.taken_back_because) == (park.actors.maren, "it was Sedge")
    assert gone.taken_back_at is not None
    home = rows.Stay.objects.get(bird=kelp, exhibit=park.shingle)
    assert (home.to_on, home.ended_by_id, home.ended_at, home.ended_through) == (None, None, None, None)
    first = says.done("tilda", "moved", came=[kelp], to_exhibit=park.reed)
    says.done("tilda", "moved", came=[kelp], to_exhibit=park.shingle)
    refused = says.tell("maren", "withdrawn", corrects=first.id, because="wrong")
    assert refused.reason == "corrects: Kelp was moved again since; take that back first"


def test_a_new_bird_is_written_once_with_its_stay_and_refused_with_a_sentence(park: Wendlebrook) -> None:
    corin, deed = park.actors.corin, uuid4()
    reeve = NewBird(
        species_id=park.ruff, house_name="Reeve", number="R 1", hatched_on=DAY, hatched_precision="day"
    )
    key = add_bird(bird=reeve, by=corin, exhibit_id=park.reed, deed=deed)
    assert add_bird(bird=reeve, by=corin, exhibit_id=park.reed, deed=deed) == key
    stay = rows.Stay.objects.get(bird=key)
    assert (stay.exhibit_id, stay.from_on, stay.reason) == (park.reed, DAY, "first written down")
    assert (stay.begun_through, stay.recorded_by_id) == (deed, corin)
    day_before = DAY - timedelta(days=1)
    for bird, more, reason in (
        (reeve, {}, "number: R 1 is Reeve's number; choose another"),
        (NewBird(park.ruff), {"exhibit_id": park.reed}, "on: is missing; say since when it lives there"),
        (
            NewBird(park.ruff, hatched_on=DAY, hatched_precision="day"),
            {"exhibit_id": park.reed, "on": day_before},
            "on: 2026-06-10 is before it hatched (2026-06-11); correct one of them",
        ),
        (NewBird(park.ruff, origin="the moon"), {}, "origin: 'the moon' is no origin"),
        (NewBird(park.ruff, hatched_precision="hour"), {}, "hatched_precision: 'hour' is no precision"),
        (NewBird(park.ruff, dam_id=-1), {}, "dam: "),
        (NewBird(park.ruff, sire_id=-1), {}, "sire: "),
        (NewBird(park.ruff, foster_dam_id=-1), {}, "foster_dam: "),
        (NewBird(park.ruff, foster_sire_id=-1), {}, "foster_sire: "),
        (NewBird(park.ruff, nest_id=-1), {}, "nest: "),
        (NewBird(-1), {}, "species: "),
        (NewBird(park.ruff), {"exhibit_id": -1}, "exhibit: "),
    ):
        with pytest.raises(MalformedInput) as refusal:
            add_bird(bird=bird, by=corin, **more)
        assert str(refusal.value).startswith(reason), str(refusal.value)
    early = NewBird(park.ruff, hatched_on=DAY, hatched_precision="year")
    roughly = add_bird(bird=early, by=corin, exhibit_id=park.reed, on=day_before)
    assert rows.Stay.objects.get(bird=roughly).from_on == day_before


def test_a_bird_is_changed_where_it_may_be_and_says_what_was_before(park: Wendlebrook) -> None:
    corin, kelp = park.actors.corin, park["Kelp"]
    assert change_bird(bird_id=kelp, by=corin, changes={"house_name": "Kelpie", "dam_id": park["Sedge"]})
    assert not change_bird(bird_id=kelp, by=corin, changes={"house_name": "Kelpie"})
    told = list(rows.Change.objects.filter(table="bird").values_list("field", "before", "after", "by"))
    assert sorted(told, key=str) == [
        ("dam_id", None, park["Sedge"], corin),
        ("house_name", "Kelp", "Kelpie", corin),
    ]
    for changes, reason in (
        ({"species_id": park.ruff}, "species_id: 'species_id' is no field that is changed here"),
        ({"dam_id": -1}, "dam: "),
    ):
        with pytest.raises(MalformedInput) as refusal:
            change_bird(bird_id=kelp, by=corin, changes=changes)
        assert str(refusal.value).startswith(reason), str(refusal.value)
