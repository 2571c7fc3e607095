"""One handling and all that it left behind, column by column; and all of it taken back."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid5

import pytest
from django.utils import timezone

from deeds.test_door import Teller, says
from phones import SEVEN
from tarsus.actions.care.handling import WrongBird
from tarsus.queries.marks import marks_on
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db
__all__ = ["says"]


@pytest.fixture
def whole(park: Wendlebrook) -> dict[str, Any]:
    """Everything that can be said of a bird in the hand."""
    thrift = rows.Band.objects.filter(bird=park["Thrift"])
    red = thrift.get(colour__name="red").pk
    return {
        "bird": park["Thrift"],
        "engraving_read": " WB 20420 ",
        "why": " catch-up ",
        "weight_g": 291.5,
        "first_weight_g": 219.5,
        "fed": True,
        "scale": "hand scale",
        "nails": "cut",
        "condition": "lean",
        "treatment": "wormed",
        "bands": [
            {"band": park.metals["Thrift"], "conditions": ["good"]},
            {"band": red, "conditions": ["worn", "faded"]},
        ],
        "taken_off": [{"band": red, "why": "replaced"}],
        "put_on": [{"site": "right tibia", "kind": "colour", "colour": "pink", "size": "6 mm", "place": 0}],
        "sample": {"sample": "blood", "label": "S-31", "laboratory": "Fen Laboratory"},
        "read_before": {"left tibia": ["metal"], "right tibia": ["orange", "white"]},
        "chase_started_at": (SEVEN - timedelta(minutes=9)).isoformat(),
        "release": "stood and walked",
        "walked_well": False,
        "note": "left foot warm",
        "tell_vet": True,
    }


def test_each_thing_that_was_done_stands_in_its_own_column(
    says: Teller, park: Wendlebrook, whole: dict[str, Any]
) -> None:
    answer = says.done("tilda", "handling", **whole)
    row = rows.Handling.objects.get()
    kept = {
        name: getattr(row, name)
        for name in ("nails", "condition", "treatment", "release", "walked_well", "note", "tell_vet")
    }
    assert kept == {name: whole[name] for name in kept}
    assert (row.bird_id, row.engraving_read, row.why) == (park["Thrift"], "WB 20420", "catch-up")
    assert row.chase_started_at == datetime.fromisoformat(whole["chase_started_at"])
    assert (str(row.pk), row.happened_at, row.recorded_by_id) == (answer.id, SEVEN, park.actors.tilda)
    red = rows.Band.objects.get(bird=park["Thrift"], colour__name="red")
    assert (red.to_on, red.why_off, red.ended_by_id) == (DAY, "replaced", park.actors.tilda)
    pink = rows.Band.objects.get(bird=park["Thrift"], colour__name="pink")
    assert (pink.site, pink.kind, pink.size, pink.from_on) == ("right tibia", "colour", "6 mm", DAY)
    assert (pink.recorded_by_id, pink.deed) == (park.actors.tilda, uuid5(UUID(answer.id), "put on 0"))
    assert marks_on(park["Thrift"], DAY).at("right tibia") == ("pink", "white")


def test_a_weight_that_was_doubted_stands_a_minute_before_the_other(
    says: Teller, park: Wendlebrook, whole: dict[str, Any]
) -> None:
    answer = says.done("tilda", "handling", **whole)
    first, second = rows.Weighing.objects.order_by("happened_at")
    assert (first.weight_g, second.weight_g) == (219.5, 291.5)
    assert (first.happened_at, second.happened_at) == (SEVEN - timedelta(minutes=1), SEVEN)
    for row in (first, second):
        assert (row.bird_id, row.where, row.scale, row.fed) == (park["Thrift"], "in hand", "hand scale", True)
        assert (str(row.handling_id), row.moulting) == (answer.id, False)
    says.done("tilda", "handling", bird=park["Kelp"], why="weighing", weight_g=300)
    assert rows.Weighing.objects.filter(bird=park["Kelp"]).count() == 1
    says.done("tilda", "handling", bird=park["Sedge"], why="nails")
    assert not rows.Weighing.objects.filter(bird=park["Sedge"]).exists()


def test_bands_sample_and_reading_belong_to_the_handling(
    says: Teller, park: Wendlebrook, whole: dict[str, Any]
) -> None:
    answer = says.done("tilda", "handling", **whole)
    checks = rows.BandCheck.objects.order_by("condition")
    assert [(one.condition, one.in_hand, str(one.handling_id)) for one in checks] == [
        ("faded", True, answer.id),
        ("good", True, answer.id),
        ("worn", True, answer.id),
    ]
    sample = rows.SexTest.objects.get()
    assert (sample.bird_id, sample.sample, sample.label, sample.laboratory) == (
        park["Thrift"],
        "blood",
        "S-31",
        "Fen Laboratory",
    )
    assert sample.band_id == park.metals["Thrift"], "the numbered band that it wears"
    read = rows.ConfirmedReading.objects.get()
    assert (read.bird_id, read.reader_id, str(read.handling_id)) == (
        park["Thrift"],
        park.actors.tilda,
        answer.id,
    )
    assert read.read == whole["read_before"]
    assert read.worn == {"left tibia": ["metal"], "right tibia": ["red", "white"]}, "as it was caught"


def test_the_vet_is_told_by_a_case_in_the_plainest_words_there_are(
    says: Teller, park: Wendlebrook, whole: dict[str, Any]
) -> None:
    answer = says.done("tilda", "handling", **whole)
    case = rows.Case.objects.get()
    assert (case.about, str(case.handling_id), case.opened_by_id, case.opened_at) == (
        "left foot warm",
        answer.id,
        park.actors.tilda,
        SEVEN,
    )
    assert list(case.birds.values_list("pk", flat=True)) == [park["Thrift"]]
    told = {"bird": park["Kelp"], "why": "found weak", "tell_vet": True}
    says.done("tilda", "handling", **told, condition="thin")
    assert rows.Case.objects.latest("pk").about == "thin"
    says.done("tilda", "handling", **told)
    assert rows.Case.objects.latest("pk").about == "found weak"
    says.done("tilda", "handling", **{**told, "tell_vet": False})
    assert rows.Case.objects.count() == 3


def test_all_of_a_mistaken_handling_is_taken_back_and_nothing_else(
    says: Teller, park: Wendlebrook, whole: dict[str, Any]
) -> None:
    pink = {"what": "colour", "colour": "pink", "size": "6 mm"}
    says.done("maren", "stock_changed", **pink, by_amount=2, because="delivery")
    says.done("tilda", "weighed", bird=park["Thrift"], weight_g=290, where="perch scale")
    handling = says.done("tilda", "handling", **whole)
    assert rows.Stock.objects.get().amount == 1
    says.done("tilda", "withdrawn", corrects=handling.id, because="it was Sedge")
    withdrawn = {(one.withdraws, one.because) for one in rows.Withdrawal.objects.all()}
    parts = {
        *rows.Weighing.objects.filter(where="in hand").values_list("pk", flat=True),
        *rows.BandCheck.objects.values_list("pk", flat=True),
        *rows.SexTest.objects.values_list("pk", flat=True),
        *rows.ConfirmedReading.objects.values_list("pk", flat=True),
        UUID(handling.id),
    }
    assert len(parts) == 8
    assert withdrawn == {(part, "it was Sedge") for part in parts}
    assert rows.Stock.objects.get().amount == 2
    assert marks_on(park["Thrift"], DAY).at("right tibia") == ("red", "white")
    put_on = rows.Band.objects.get(deed=uuid5(UUID(handling.id), "put on 0"))
    assert (put_on.taken_back_by_id, put_on.taken_back_because) == (park.actors.tilda, "it was Sedge")
    case = rows.Case.objects.get()
    assert (case.closed_by_id, case.closed_because) == (park.actors.tilda, "a mistake: it was Sedge")
    assert case.closed_at is not None


def test_a_case_in_which_the_vet_spoke_outlives_the_handling_that_opened_it(
    says: Teller, park: Wendlebrook, whole: dict[str, Any]
) -> None:
    handling = says.done("tilda", "handling", **whole)
    case = rows.Case.objects.get()
    says.done("ilse", "case_note", case=case.pk, text="look again")
    says.done("tilda", "withdrawn", corrects=handling.id, because="it was Sedge")
    case.refresh_from_db()
    assert case.closed_at is None


def test_a_number_in_the_hand_is_this_birds_or_the_deed_is_refused(says: Teller, park: Wendlebrook) -> None:
    told = {"bird": park["Thrift"], "why": "weighing"}
    says.done("tilda", "handling", **told)
    says.done("tilda", "handling", **told, engraving_read="wb20420")
    refused = says.tell("tilda", "handling", **told, engraving_read="WB 31001")
    assert refused.reason == ("engraving_read: WB 31001 is Teasel's; look which bird this is before going on")
    refusal = WrongBird("WB 1", "Thrift", "")
    assert (refusal.place, refusal.engraving, refusal.bird, refusal.other) == (
        "engraving_read",
        "WB 1",
        "Thrift",
        "",
    )
    # A number that is on no record goes with a bird whose own number nobody has, or has no more.
    metal = rows.Band.objects.get(pk=park.metals["Thrift"])
    metal.to_on, metal.ended_by_id, metal.ended_at = DAY, park.actors.tilda, timezone.now()
    metal.save()
    says.done("tilda", "handling", **told, engraving_read="WB 99999")


def test_how_it_was_the_day_after_is_told_of_the_handling(says: Teller, park: Wendlebrook) -> None:
    handling = says.done("tilda", "handling", bird=park["Kelp"], why="weighing")
    says.done("tilda", "next_day_check", handling=handling.id, well=False, note=" limps ")
    row = rows.NextDayCheck.objects.get()
    assert (str(row.handling_id), row.well, row.note) == (handling.id, False, "limps")
    says.done("tilda", "health_check", bird=park["Kelp"], well=False, found=" eye wet ")
    assert rows.HealthCheck.objects.get().found == "eye wet"


def test_who_was_not_handled_is_told_with_why_and_of_the_plan(says: Teller, park: Wendlebrook) -> None:
    birds = [{"bird": park[name], "why": ["weigh"]} for name in ("Kelp", "Sedge", "Thrift")]
    plan = says.done("maren", "catch_up_kept", exhibit=park.shingle, planned_for="2026-06-11", birds=birds)
    key = plan.wrote["catch_up"]
    refused = says.tell("maren", "catch_up_finished", catch_up=key)
    assert refused.reason.startswith("catch_up: tells nothing of Kelp, Sedge and Thrift yet; take them in")
    hid = {"catch_up": key, "outcome": "not caught", "because": " it hid "}
    says.done("tilda", "not_handled", bird=park["Kelp"], **hid)
    row = rows.NotHandled.objects.get()
    assert (row.catch_up_id, row.bird_id, row.outcome, row.because) == (
        key,
        park["Kelp"],
        "not caught",
        "it hid",
    )
    says.done("tilda", "handling", bird=park["Sedge"], why="weigh", weight_g=290)
    refused = says.tell("maren", "catch_up_finished", catch_up=key)
    assert refused.reason.startswith("catch_up: tells nothing of Thrift yet")
    says.done("tilda", "not_handled", bird=park["Thrift"], **hid)
    says.done("maren", "catch_up_finished", catch_up=key)
