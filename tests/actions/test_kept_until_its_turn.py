"""A fact that came too early is kept whole until its turn; one sending's trouble is nobody else's."""

from __future__ import annotations

import logging
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import IntegrityError
from django.utils import timezone

from phones import SEVEN, Phone
from tarsus.actions import facts as door
from tarsus.actions.facts import Answer, hear_device, hear_facts
from tarsus.actions.hearing import afterwards
from tarsus.actions.hearing import waiting as keeping
from tarsus.core.errors import WrongValue
from tarsus.queries.devices import digest_of_token
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


def test_what_waits_is_kept_with_all_that_was_told_of_it(tilda: Phone, park: Wendlebrook) -> None:
    tilda.handed_to(park.actors.oswin, SEVEN - timedelta(hours=3))
    kelp = tilda.sighting("Kelp", by=park.actors.oswin)
    ahead = (timezone.now() + timedelta(hours=2)).isoformat()
    assert tilda.send(kelp, clock=ahead) == ["written"]
    kept = rows.Waiting.objects.get()
    assert (str(kept.pk), kept.needs, kept.kind, kept.contents) == (kelp["id"], tilda.round, "sighting", kelp)
    assert (kept.sent_by_id, kept.device, kept.reason) == (park.actors.tilda, "p1", "")
    assert kept.clock_offset_s == pytest.approx(7200, abs=5)
    assert tilda.send(tilda.started()) == ["written"]
    row = rows.Sighting.objects.get()
    assert (row.recorded_by_id, row.sent_by_id, row.device) == (park.actors.oswin, park.actors.tilda, "p1")
    said = datetime.fromisoformat(kelp["at"])
    assert row.phone_at == said
    assert abs(said - row.happened_at - timedelta(hours=2)) < timedelta(seconds=5), "its clock is put right"
    assert not rows.Waiting.objects.exists()


def test_the_same_id_cannot_wait_for_two_things(tilda: Phone, park: Wendlebrook) -> None:
    kelp = tilda.sighting("Kelp")
    assert tilda.send(kelp, kelp) == ["written", "known"]
    (told,) = tilda.send({**kelp, "bird": park["Sedge"]})
    assert told.startswith(f"id: {kelp['id']} already names a sighting with other contents")
    gone = tilda.fact("round_closed", round=str(tilda.round))
    assert tilda.send(gone) == ["written"]
    (told,) = tilda.send({**gone, "at": (SEVEN + timedelta(hours=3)).isoformat()})
    assert "already names a round closed with other contents" in told
    assert rows.Waiting.objects.count() == 2


def test_what_waits_for_what_waits_has_its_turn_after_it(tilda: Phone, park: Wendlebrook) -> None:
    kelp = tilda.sighting("Kelp")
    concern = tilda.fact("concern", birds=[park["Kelp"]], seen=["lame"], sighting=kelp["id"])
    mistake = tilda.fact("withdrawn", corrects=concern["id"], because="only a stone")
    other = Phone(park, park.actors.oswin)
    elsewhere = other.sighting("Dock", by=tilda.by)
    assert tilda.send(mistake, concern, kelp, elsewhere) == ["written"] * 4
    assert tilda.send(tilda.started()) == ["written"]
    assert rows.Sighting.objects.get().bird_id == park["Kelp"]
    assert str(rows.Concern.objects.get().pk) == concern["id"]
    assert str(rows.Withdrawal.objects.get().withdraws) == concern["id"]
    assert [str(one.pk) for one in rows.Waiting.objects.all()] == [elsewhere["id"]], "its round was not begun"


def test_a_round_that_was_not_done_is_known_by_that_as_well(tilda: Phone, park: Wendlebrook) -> None:
    count = tilda.count("avocet", 4)
    tilda.send(count)
    given_up = tilda.fact("round_not_done", round=str(tilda.round), exhibit=park.shingle, because="storm")
    assert tilda.send(given_up) == ["written"]
    assert rows.Count.objects.get().counted == 4


def test_a_fact_that_leans_on_two_waits_for_the_second_after_the_first(
    tilda: Phone, park: Wendlebrook
) -> None:
    report = tilda.fact("report", said="a grey one")
    answer = tilda.fact("report_answered", report=report["id"], found="a pigeon")
    undone = tilda.fact("withdrawn", corrects=answer["id"], because="another bird")
    again = tilda.fact("withdrawn", corrects=undone["id"], because="no, it was")
    assert tilda.send(again) == ["written"]
    assert rows.Waiting.objects.get().needs == UUID(undone["id"])
    assert tilda.send(undone, answer, report) == ["written"] * 3
    assert not rows.Waiting.objects.exists()
    assert rows.Withdrawal.objects.count() == 2


def test_a_correction_that_waited_is_judged_when_its_turn_comes(tilda: Phone, park: Wendlebrook) -> None:
    """A keeper may not take back what is the vet's, whichever of the two arrives first."""
    released = uuid4()
    mistake = tilda.fact("withdrawn", corrects=str(released), because="not yet")
    assert tilda.send(mistake) == ["written"]
    fact = {"id": str(released), "kind": "quarantine_released", "at": SEVEN.isoformat(), "bird": park["Kelp"]}
    ilse = Phone(park, park.actors.ilse)
    assert ilse.send({**fact, "by": park.actors.ilse}) == ["written"]
    kept = rows.Waiting.objects.get()
    assert kept.reason == "kind: 'quarantine_released' is for the vet; ask one of them"
    assert not rows.Withdrawal.objects.exists()


def test_what_a_device_told_too_early_is_written_in_its_persons_name(tilda: Phone, park: Wendlebrook) -> None:
    device = rows.DeviceToken.objects.create(
        name="phone", digest=digest_of_token("gull"), made_by_id=park.actors.dunstan
    )
    device.exhibits.set([park.shingle])
    device.people.set([park.actors.tilda])
    tilda.send(tilda.started())
    kelp = tilda.sighting("Kelp")
    mistake = tilda.fact("withdrawn", corrects=kelp["id"], because="Sedge")

    def heard(*told: dict[str, Any]) -> list[Answer]:
        return hear_device(facts=told, clock=None, device="shingle", token="gull")

    # Of a withdrawal whose fact is not known yet nobody can say the exhibit: a device is not heard for it.
    (refused,) = heard(mistake)
    assert (refused.outcome, refused.place) == ("refused", "exhibit")
    assert [one.outcome for one in heard(kelp, mistake)] == ["written"] * 2
    assert [row.sent_by_id for row in rows.ToldDeed.objects.filter(device="shingle")] == [None, None]


def test_two_things_set_aside_need_a_fact_that_waits_each(tilda: Phone) -> None:
    kelp = tilda.sighting("Kelp")
    tilda.send(kelp)
    aside = tilda.fact("set_aside", waiting=kelp["id"], because=" it was Sedge ")
    assert tilda.send(aside) == ["written"]
    row = rows.SetAside.objects.get()
    assert (str(row.waiting), row.because) == (kelp["id"], "it was Sedge")
    tilda.send(tilda.started())
    (told,) = tilda.send(tilda.fact("set_aside", waiting=kelp["id"], because="again"))
    assert told == "waiting: no fact waits under this id; it is written by now"
    assert tilda.send(aside) == ["known"]


def test_a_clock_that_its_battery_reset_is_put_right(tilda: Phone) -> None:
    early = {**tilda.sighting("Kelp", round=None), "at": "1970-01-01T00:08:00+00:00"}
    assert tilda.send(early, clock="1970-01-01T00:10:00+00:00") == ["written"]
    ago = timezone.now() - rows.Sighting.objects.get().happened_at
    assert timedelta(minutes=2) <= ago < timedelta(minutes=3)


def test_a_clock_of_another_age_is_as_good_as_none(tilda: Phone) -> None:
    assert tilda.send(tilda.sighting("Kelp", round=None), clock="0007-01-01T00:00:00+00:00") == ["written"]
    assert rows.Sighting.objects.get().clock_offset_s is None


def test_a_clock_that_is_no_moment_is_refused_with_the_whole_sending(tilda: Phone) -> None:
    with pytest.raises(WrongValue, match=r"^clock: "):
        tilda.send(tilda.sighting("Kelp", round=None), clock="half past seven")
    assert not rows.Sighting.objects.exists()


def test_what_is_no_fact_is_refused_by_itself(tilda: Phone, park: Wendlebrook) -> None:
    good = tilda.fact("note", bird=park["Kelp"], text="bold")
    odd: list[Any] = [good, {"id": 7, "kind": "note"}, {**good, "id": "x" * 200}, {"kind": "note"}]
    answers = hear_facts(facts=odd, clock=None, device="", speaker=tilda.by)
    assert [one.outcome for one in answers] == ["written", "refused", "refused", "refused"]
    assert [one.place for one in answers[1:]] == ["id", "id", "id"]
    assert len(answers[2].id) == 100, "an answer is no longer than it must be"
    assert answers[3].id == ""


def test_an_answer_says_what_there_is_and_leaves_out_the_rest() -> None:
    assert Answer("a", "known").as_mapping() == {"id": "a", "outcome": "known"}
    whole = Answer("a", "written", "why", "bird", ("look",), {"bird": 7}, "once")
    assert whole.as_mapping() == {
        "id": "a",
        "outcome": "written",
        "reason": "why",
        "said": ["look"],
        "wrote": {"bird": 7},
        "shown_once": "once",
    }


def test_a_fault_of_ours_is_said_with_a_number_and_logged_and_the_others_are_written(
    tilda: Phone, park: Wendlebrook, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    write = door.write_deed

    def breaks(ready: Any) -> Any:
        if ready.values.get("text") == "break":
            raise ZeroDivisionError("a fault of ours")
        return write(ready)

    monkeypatch.setattr(door, "write_deed", breaks)
    notes = [tilda.fact("note", bird=park["Kelp"], text=text) for text in ("one", "break", "two")]
    with caplog.at_level(logging.ERROR):
        told = tilda.send(*notes)
    assert (told[0], told[2]) == ("written", "written")
    head, _, fault = told[1].rpartition(" ")
    assert head == "the register could not write it; tell the administrator: fault"
    assert len(fault) == 8
    assert f"fault {fault}: a fact could not be written" in caplog.text


def test_where_another_connection_was_faster_the_fact_is_known(
    tilda: Phone, park: Wendlebrook, monkeypatch: pytest.MonkeyPatch
) -> None:
    def clash(ready: Any) -> Any:
        if ready.values["text"] == "heard twice":
            rows.ToldDeed.objects.create(
                id=ready.told.id, kind="note", by_id=tilda.by, happened_at=SEVEN, digest=ready.digest
            )
        raise IntegrityError("UNIQUE constraint failed")

    monkeypatch.setattr(door, "write_deed", clash)
    (told,) = tilda.send(tilda.fact("note", bird=park["Kelp"], text="torn"))
    assert told == "the register refused it (UNIQUE constraint failed); record it anew"
    heard = tilda.fact("note", bird=park["Kelp"], text="known by then")
    rows.ToldDeed.objects.create(id=heard["id"], kind="note", by_id=tilda.by, happened_at=SEVEN, digest="0")
    # Written by the other connection after our look at what was heard before.
    monkeypatch.setattr(door, "heard_before", lambda ids: {})
    assert tilda.send(heard) == ["known"]


@pytest.mark.parametrize(
    ("step", "kind", "said"),
    [
        ("keep_checkpoints", "closed", "the watch could not be carried forward"),
        ("learn_readers", "sighting", "an errand could not be done: learn_of_readers"),
    ],
)
def test_what_may_be_made_later_never_keeps_a_phone_from_its_answer(
    tilda: Phone,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
    step: str,
    kind: str,
    said: str,
) -> None:
    calls: list[object] = []

    def fails(now: object) -> None:
        calls.append(now)
        raise RuntimeError("no")

    monkeypatch.setattr(afterwards, step, fails)
    tilda.send(tilda.started(), tilda.count("avocet", 4))
    assert calls == [], "nothing that needs it was told"
    fact = tilda.closed() if kind == "closed" else tilda.sighting("Kelp")
    with caplog.at_level(logging.ERROR):
        assert tilda.send(fact) == ["written"]
    assert said in caplog.text
    assert len(calls) == 1
    assert tilda.send(fact) == ["known"]
    assert len(calls) == 1, "it was told before"


def test_a_waiting_fact_that_the_database_refuses_is_kept_with_its_reason(
    tilda: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    kelp = tilda.sighting("Kelp")
    tilda.send(kelp)

    def clash(ready: Any) -> Any:
        raise IntegrityError("x" * 500)

    monkeypatch.setattr(keeping, "write_deed", clash)
    tilda.send(tilda.started())
    kept = rows.Waiting.objects.get()
    assert (kept.reason, str(kept.pk)) == ("x" * 400, kelp["id"])
