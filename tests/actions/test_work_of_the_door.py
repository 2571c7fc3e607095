"""What the door asks the register for a batch of plain facts, and that nothing is lost by asking it once."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from phones import SEVEN, Phone
from tarsus.actions import facts as door
from tarsus.actions.asked_once import AskedOnce
from tarsus.actions.hearing.plain import PlainFacts
from tarsus.actions.roll_call import sightings
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db

NAMES = ("Kelp", "Sedge", "Thrift", "Samphire", "Marram")
Facts = Callable[[Phone, int], list[dict[str, Any]]]


def weights(phone: Phone, many: int) -> list[dict[str, Any]]:
    return [weight(phone, NAMES[at % 5], 300.0 + at) for at in range(many)]


def weight(phone: Phone, name: str, grams: float = 300.0) -> dict[str, Any]:
    phone.minutes %= 60
    return phone.fact("weighed", bird=phone.park[name], weight_g=grams, where="in hand")


def seen(phone: Phone, many: int) -> list[dict[str, Any]]:
    phone.minutes %= 60
    return [phone.sighting(NAMES[at % 5], place=phone.park.north_spit) for at in range(many)]


def called(phone: Phone, many: int) -> list[dict[str, Any]]:
    """Names, some of them in view together, counts, birds in view and the light."""
    told: list[dict[str, Any]] = []
    while len(told) < many:
        group, of_round = str(uuid4()), {"round": str(phone.round)}
        phone.minutes %= 60
        told += [
            phone.sighting("Kelp"),
            phone.fact("group", group=group, size=2, **of_round),
            phone.sighting("Sedge", group=group, position=0),
            phone.count("avocet", 4),
            phone.fact("round_light", light="bright", **of_round),
        ]
    return told[:many]


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


@pytest.mark.parametrize(("facts", "each"), [(weights, 3.0), (seen, 3.0), (called, 3.2)])
def test_a_plain_fact_more_costs_three_statements(tilda: Phone, facts: Facts, each: float) -> None:
    tilda.send(tilda.started())
    asked = {}
    for many in (10, 50):
        batch = facts(tilda, many)
        with CaptureQueriesContext(connection) as told:
            assert tilda.send(*batch) == ["written"] * many
        asked[many] = len(told)
    # A savepoint, the fact itself, the savepoint let go; whoever is in view together asks for the others.
    assert (asked[50] - asked[10]) / 40 <= each, asked
    assert asked[50] <= 4 * 50, "all that is asked for the batch is in it"


def test_every_plain_fact_has_its_line_and_its_bird_in_the_ledger(tilda: Phone) -> None:
    batch = [*seen(tilda, 7), *weights(tilda, 6)]
    assert tilda.send(tilda.started(), *batch) == ["written"] * 14
    for fact in batch:
        line = rows.ToldDeed.objects.get(pk=fact["id"])
        assert (line.kind, line.by_id, line.sent_by_id, line.device) == (
            fact["kind"],
            tilda.by,
            tilda.by,
            "p1",
        )
        assert list(line.birds.values_list("bird", flat=True)) == [fact["bird"]]
    assert tilda.send(*batch) == ["known"] * 13
    assert rows.ToldDeed.objects.count() == 14


def test_a_bad_fact_among_plain_ones_is_refused_by_itself(tilda: Phone) -> None:
    good = weights(tilda, 4)
    bad = [
        {**weight(tilda, "Kelp"), "bird": 10**6},
        {**weight(tilda, "Kelp"), "bird": "Kelp"},
        {**weight(tilda, "Kelp"), "id": "no id"},
        {**weight(tilda, "Kelp"), "weight_g": -1},
        {**weight(tilda, "Kelp"), "kind": ["weighed"]},
        {**weight(tilda, "Kelp"), "by": tilda.park.actors.maren},
    ]
    told = tilda.send(good[0], *bad[:3], good[1], good[2], *bad[3:], good[3])
    assert [at for at, answer in enumerate(told) if answer == "written"] == [0, 4, 5, 9]
    assert told[1] == "bird: no bird 1000000 is in this register; choose another bird"
    assert {str(row.pk) for row in rows.Weighing.objects.all()} == {fact["id"] for fact in good}
    assert rows.ToldDeed.objects.count() == 4


def test_the_same_id_twice_in_a_batch_is_known_and_with_other_contents_refused(tilda: Phone) -> None:
    kelp = weight(tilda, "Kelp", 301.0)
    told = tilda.send(kelp, kelp, {**kelp, "weight_g": 302.0}, kelp)
    assert [told[0], told[1], told[3]] == ["written", "known", "known"]
    assert "already names a weighed with other contents" in told[2]
    assert rows.Weighing.objects.get().weight_g == 301.0


def test_what_another_deed_of_the_batch_changes_is_looked_up_anew(park: Wendlebrook) -> None:
    maren = Phone(park, park.actors.maren)
    before, after = maren.sighting("Kelp"), maren.sighting("Kelp")
    now = maren.fact("species_saved", species=park.avocet, lookalike="wader")
    assert maren.send(maren.started(), before, now, after) == ["written"] * 4
    told = dict(rows.Sighting.objects.values_list("pk", "lookalike"))
    assert {str(key): word for key, word in told.items()} == {before["id"]: "avocet", after["id"]: "wader"}


def test_what_waits_for_a_plain_fact_is_written_with_it(tilda: Phone) -> None:
    kelp, sedge = seen(tilda, 2)
    lame = tilda.fact("concern", birds=[tilda.park["Kelp"]], seen=["lame"], sighting=kelp["id"])
    assert tilda.send(tilda.started(), lame) == ["written", "written"]
    assert rows.Waiting.objects.count() == 1
    assert tilda.send(sedge, kelp) == ["written", "written"]
    assert str(rows.Concern.objects.get().pk) == lame["id"]
    assert not rows.Waiting.objects.exists()


def test_facts_of_a_round_that_starts_last_in_the_batch_are_all_written(tilda: Phone) -> None:
    batch = [*called(tilda, 10), tilda.closed(), tilda.started()]
    twice = [*batch, *batch]
    assert tilda.send(*twice) == ["written"] * 12 + ["known"] * 12
    assert not rows.Waiting.objects.exists()
    assert rows.Sighting.objects.count() == 4
    assert rows.ToldDeed.objects.count() == 12


def test_what_another_phone_keeps_for_a_fact_meanwhile_is_written_after_it(
    tilda: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    kelp = weight(tilda, "Kelp")
    gone = tilda.fact("withdrawn", corrects=kelp["id"], because="another bird")
    look = PlainFacts.asking

    def too_early(self: PlainFacts) -> AskedOnce:
        """The other phone's fact is kept as soon as this batch has looked."""
        asked = look(self)
        if not rows.Waiting.objects.exists():
            moment = timezone.now()
            rows.Waiting.objects.create(
                id=gone["id"], needs=kelp["id"], kind="withdrawn", contents=gone, told="0" * 32,
                sent_by_id=tilda.by, device="p2", received_at=moment,
            )  # fmt: skip
        return asked

    monkeypatch.setattr(PlainFacts, "asking", too_early)
    assert tilda.send(kelp, weight(tilda, "Sedge")) == ["written", "written"]
    assert str(rows.Withdrawal.objects.get().withdraws) == kelp["id"]
    assert not rows.Waiting.objects.exists()


def test_what_cannot_be_released_waits_on_and_takes_nothing_with_it(
    tilda: Phone, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    kelp = weight(tilda, "Kelp")
    rows.Waiting.objects.create(
        id=uuid4(), needs=kelp["id"], kind="withdrawn", contents={"by": "nobody"}, told="0" * 32,
        sent_by_id=tilda.by, device="p2",
    )  # fmt: skip
    monkeypatch.setattr(PlainFacts, "careful", property(lambda _: frozenset(), lambda *_: None))
    assert tilda.send(kelp) == ["written"]
    assert "waits on: it could not be written" in caplog.text
    assert (rows.Weighing.objects.count(), rows.Waiting.objects.count()) == (1, 1)


def test_where_a_line_of_the_ledger_clashes_only_its_fact_is_refused(
    tilda: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    batch = weights(tilda, 4)
    rows.ToldDeed.objects.create(
        id=batch[1]["id"], kind="note", by_id=tilda.by, happened_at=SEVEN, digest="0" * 32
    )
    # Another connection wrote it after our look at what was heard before.
    monkeypatch.setattr(door, "heard_before", lambda _: {})
    assert tilda.send(*batch) == ["written", "known", "written", "written"]
    assert {str(row.pk) for row in rows.Weighing.objects.all()} == {batch[at]["id"] for at in (0, 2, 3)}
    assert rows.ToldDeed.objects.count() == 4


def test_a_fact_that_another_connection_wrote_meanwhile_is_known_or_refused_by_its_contents(
    tilda: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    batch = weights(tilda, 4)
    assert tilda.send(*batch[:2]) == ["written", "written"]
    monkeypatch.setattr(door, "heard_before", lambda _: {})
    monkeypatch.setattr(AskedOnce, "digest", lambda *_: None)
    told = tilda.send(batch[0], {**batch[1], "weight_g": 299.0}, batch[2], batch[3])
    assert [told[0], told[2], told[3]] == ["known", "written", "written"]
    assert "already names a weighing with other contents" in told[1]
    assert (rows.Weighing.objects.count(), rows.ToldDeed.objects.count()) == (4, 4)


def test_of_a_plain_fact_that_breaks_half_way_nothing_is_left(
    tilda: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    def breaks(*_: object) -> None:
        raise RuntimeError("no")

    tilda.send(tilda.started())
    kelp, sedge = seen(tilda, 2)
    together = tilda.sighting("Thrift", group=str(uuid4()), position=0)
    with monkeypatch.context() as patch:
        patch.setattr(sightings, "confirm_in_view", breaks)
        told = tilda.send(kelp, together, sedge)
        assert [told[0], told[2]] == ["written", "written"]
        assert "tell the administrator: fault" in told[1]
    assert {str(row.pk) for row in rows.Sighting.objects.all()} == {kelp["id"], sedge["id"]}
    assert tilda.send(together) == ["written"]


def test_a_plain_fact_with_an_impossible_time_is_kept_as_a_question(tilda: Phone) -> None:
    ahead = {**weight(tilda, "Kelp"), "at": (timezone.now() + timedelta(days=3)).isoformat()}
    told = tilda.send(weight(tilda, "Sedge"), ahead, weight(tilda, "Thrift"), ahead)
    assert [told[0], told[2]] == ["written", "written"]
    assert told[1] == f"at: {told[3].removeprefix('at: ')}"
    assert "lies ahead of now" in told[1]
    assert rows.Waiting.objects.get().reason.startswith("at: ")
