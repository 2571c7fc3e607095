"""Marks that are kept for a bird at the desk, and bands that lay on the floor."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest

from deeds.test_door import Teller, says
from phones import SEVEN
from tarsus.actions.bands.checks import check_band, name_owner_of_band, record_band_found
from tarsus.actions.bands.planning import drop_marks, keep_marks, reopen_kept_marks, settle_kept_marks
from tarsus.actions.telling import Told
from tarsus.core.errors import MalformedInput
from tarsus.records import models as rows
from wendlebrook import BEGUN, DAY, Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]


def test_marks_kept_alike_are_kept_once_and_other_marks_take_their_place(
    says: Teller, park: Wendlebrook
) -> None:
    lime = {"left leg": ["lime"]}
    first = says.done("maren", "marks_kept", bird=park["Kelp"], marks=lime, because="too alike")
    again = says.done("maren", "marks_kept", bird=park["Kelp"], marks=lime)
    assert again.wrote == first.wrote
    other = says.done("maren", "marks_kept", bird=park["Kelp"], marks={"left leg": ["red"]})
    old = rows.PlannedMarks.objects.get(pk=first.wrote["planned"])
    assert (old.ended_by_id, old.because, old.planned_by_id) == (
        park.actors.maren,
        "too alike",
        park.actors.maren,
    )
    assert old.dropped_at is not None
    new = rows.PlannedMarks.objects.get(pk=other.wrote["planned"])
    assert (new.marks, new.dropped_at, new.bird_id) == ({"left leg": ["red"]}, None, park["Kelp"])


def test_marks_are_taken_back_once_and_stay_in_the_record(says: Teller, park: Wendlebrook) -> None:
    kept = says.done("maren", "marks_kept", bird=park["Kelp"], marks={"left leg": ["lime"]})
    says.done("maren", "marks_dropped", planned=kept.wrote["planned"])
    row = rows.PlannedMarks.objects.get()
    assert row.dropped_at is not None
    assert row.ended_by_id == park.actors.maren
    with pytest.raises(MalformedInput, match="they no longer wait; look at the bird's page"):
        drop_marks(planned_id=row.pk, by=park.actors.maren)
    mistaken = says.done("maren", "marks_kept", bird=park["Sedge"], marks={"left leg": ["lime"]})
    says.done("maren", "withdrawn", corrects=mistaken.id, because="for Kelp")
    back = rows.PlannedMarks.objects.get(bird=park["Sedge"])
    assert back.dropped_at is not None
    assert back.ended_by_id == park.actors.maren


@pytest.mark.parametrize(
    ("marks", "reason"),
    [
        ({"beak": ["red"]}, "marks: 'beak' is no site"),
        ({"left leg": ["tael"]}, "marks: 'tael' is no colour of the palette"),
        ({"left leg": []}, "marks: no bands are given; choose some, or leave the bird as it is"),
        ({}, "marks: no bands are given"),
    ],
)
def test_marks_that_nobody_can_wear_are_not_kept(
    park: Wendlebrook, marks: dict[str, list[str]], reason: str
) -> None:
    with pytest.raises(MalformedInput) as refusal:
        keep_marks(bird_id=park["Kelp"], marks=marks, by=park.actors.maren)
    assert str(refusal.value).startswith(reason)
    assert not rows.PlannedMarks.objects.exists()


def test_nothing_kept_is_nothing_to_settle_or_to_wake(park: Wendlebrook) -> None:
    assert not settle_kept_marks(bird_id=park["Kelp"], at=SEVEN, by=park.actors.maren)
    assert not reopen_kept_marks(bird_id=park["Kelp"], at=SEVEN, since=DAY)
    keep_marks(bird_id=park["Kelp"], marks={"left leg": ["lime"]}, by=park.actors.maren)
    assert not settle_kept_marks(bird_id=park["Kelp"], at=SEVEN, by=park.actors.maren)
    assert not reopen_kept_marks(bird_id=park["Kelp"], at=SEVEN, since=DAY), "it was never fitted"


def test_a_check_and_a_find_are_about_what_there_is(park: Wendlebrook) -> None:
    told = Told(by=park.actors.tilda, at=SEVEN)
    early = Told(by=park.actors.tilda, at=SEVEN - timedelta(days=200))
    metal = park.metals["Kelp"]
    floor = {"exhibit_id": park.shingle, "kind": "metal"}
    for act, said, reason in (
        (check_band, {"told": told, "band_id": -1, "conditions": ["good"]}, "band: no "),
        (
            check_band,
            {"told": early, "band_id": metal, "conditions": ["good"]},
            f"at: this band was fitted on {BEGUN} only; check which band it was",
        ),
        (record_band_found, {"told": told, **floor, "exhibit_id": -1}, "exhibit: no "),
        (record_band_found, {"told": told, **floor, "kind": "tin"}, "kind: 'tin' is no kind of band"),
        (record_band_found, {"told": told, **floor, "colour": "tael"}, "colour: 'tael' is no colour"),
        (
            name_owner_of_band,
            {"told": told, "found_id": uuid4(), "band_id": metal, "because": "x"},
            "found: no ",
        ),
    ):
        with pytest.raises(MalformedInput) as refusal:
            act(**said)
        assert str(refusal.value).startswith(reason)
    assert not rows.BandCheck.objects.exists()
    assert not rows.BandFound.objects.exists()
    on_the_day = Told(by=park.actors.tilda, at=SEVEN.replace(month=3, day=1, hour=9))
    assert check_band(told=on_the_day, band_id=metal, conditions=["good"]), "on the day it was fitted"


def test_a_find_is_named_with_a_reason_and_by_a_band_that_was_worn_then(
    says: Teller, park: Wendlebrook
) -> None:
    found = says.done("tilda", "band_found", exhibit=park.shingle, what="metal", engraving=" WB 20418 ")
    row = rows.BandFound.objects.get()
    assert (row.engraving, row.colour_id, row.place_id) == ("WB 20418", None, None)
    named = {"found_id": row.pk, "because": "its number"}
    told = Told(by=park.actors.tilda, at=SEVEN)
    for change, reason in (
        ({"band_id": -1}, "band: no "),
        ({"band_id": park.metals["Kelp"], "because": " "}, "because: is empty; say how it became known"),
    ):
        with pytest.raises(MalformedInput) as refusal:
            name_owner_of_band(told=told, **{**named, **change})
        assert str(refusal.value).startswith(reason)
    young = rows.Band.objects.get(pk=park.metals["Sedge"])
    rows.Band.objects.filter(pk=young.pk).update(from_on=DAY + timedelta(days=1))
    with pytest.raises(MalformedInput, match=r"^band: it was fitted on 2026-06-12, after it was found"):
        name_owner_of_band(told=told, **named, band_id=young.pk)
    rows.Band.objects.filter(pk=young.pk).update(from_on=DAY)
    name_owner_of_band(told=told, **named, band_id=young.pk)
    named_row = rows.BandOwnerNamed.objects.get()
    assert (str(named_row.found_id), named_row.band_id, named_row.because) == (
        found.id,
        young.pk,
        "its number",
    )
    young.refresh_from_db()
    assert (young.to_on, young.why_off, young.ended_by_id) == (DAY, "lost", park.actors.tilda)


def test_a_band_that_was_off_before_it_was_found_stays_off_since_then(
    says: Teller, park: Wendlebrook
) -> None:
    metal = park.metals["Kelp"]
    says.done("maren", "band_off", band=metal, why="replaced")
    found = says.done("tilda", "band_found", exhibit=park.shingle, what="metal")
    says.done("maren", "band_owner_named", found=found.id, band=metal, because="its number")
    assert rows.Band.objects.get(pk=metal).why_off == "replaced"
