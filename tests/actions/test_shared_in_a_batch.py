"""What the facts of one batch share is asked anew once one of them changes it, and ends with the batch."""

from __future__ import annotations

from datetime import timedelta
from threading import Thread
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.hashers import make_password
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from phones import SEVEN, Phone
from tarsus.actions import facts as door
from tarsus.actions.asked_once import lent
from tarsus.actions.hearing import waiting as keeping
from tarsus.actions.hearing.ledger import write_deed, write_plain
from tarsus.actions.hearing.plain import LOOKED_UP
from tarsus.actions.hearing.table import BOUND
from tarsus.records import models as rows
from tarsus.records.fact_tables import fact_tables
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db
READ = {"left tibia": ["metal"]}


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


def by_sight(phone: Phone, name: str = "Kelp", **said: Any) -> dict[str, Any]:
    return phone.sighting(name, round=None, **said)


def test_whoever_takes_the_phone_in_a_batch_is_heard_from_then_on(tilda: Phone, park: Wendlebrook) -> None:
    rows.Park.objects.update(shared_phones=True)
    rows.Person.objects.filter(pk=park.actors.oswin).update(pin=make_password("4170"))
    now = timezone.now().isoformat()
    given = {**tilda.fact("phone_handed_over", taken_by=park.actors.oswin, pin="4170"), "at": now}
    too_early, after = ({**by_sight(tilda), "by": park.actors.oswin, "at": now} for _ in range(2))
    told = tilda.send(too_early, given, after)
    assert "hand the phone over by their PIN" in told[0]
    assert told[1:] == ["written", "written"]


def test_whoever_gives_a_role_up_may_no_more_in_the_same_batch(park: Wendlebrook) -> None:
    dunstan = Phone(park, park.actors.dunstan)
    rows.Person.objects.filter(pk=park.actors.ilse).update(role="administrator")
    own = rows.Person.objects.get(pk=dunstan.by)
    said = {"person": own.pk, "login": own.login, "display_name": own.display_name, "is_active": True}
    told = dunstan.send(
        dunstan.fact("person_saved", **said, role="viewer"),
        dunstan.fact("person_saved", **said, role="administrator"),
        by_sight(dunstan),
    )
    assert told[0] == "written"
    assert "written" not in told[1:]
    assert not rows.Sighting.objects.exists()


def test_a_colour_that_the_batch_enters_can_be_read_after_it(park: Wendlebrook) -> None:
    maren = Phone(park, park.actors.maren)
    before, after = (by_sight(maren, reading={"left tibia": ["mauve"]}) for _ in range(2))
    mauve = maren.fact("colour_saved", name="mauve", letter="q", hexed="#aa77cc")
    told = maren.send(before, mauve, after)
    assert "mauve" in told[0]
    assert told[1:] == ["written", "written"]


def test_a_sighting_is_no_question_once_an_arrival_of_the_batch_came_before_it(park: Wendlebrook) -> None:
    maren = Phone(park, park.actors.maren)
    since = (rows.Stay.objects.order_by("from_on")[0].from_on - timedelta(days=300)).isoformat()
    old = f"{since[:8]}28T12:00:00+00:00"
    early, late = ({**by_sight(maren), "at": old} for _ in range(2))
    came = maren.fact("bird_added", species=park.avocet, exhibit=park.shingle, house_name="Yarrow")
    told = maren.send(early, {**came, "at": f"{since}T00:00:00+00:00"}, late)
    assert "lies before this register begins" in told[0]
    assert told[1:] == ["written", "written"]


def test_a_plain_fact_can_be_corrected_and_withdrawn_in_its_own_batch(tilda: Phone) -> None:
    kelp, sedge, thrift = (by_sight(tilda, name) for name in ("Kelp", "Sedge", "Thrift"))
    right = {**by_sight(tilda, "Marram"), "corrects": kelp["id"], "why_corrected": "it was Marram"}
    gone = tilda.fact("withdrawn", corrects=sedge["id"], because="it was nobody")
    assert tilda.send(kelp, right, sedge, thrift, gone, right, kelp) == ["written"] * 5 + ["known"] * 2
    withdrawn = set(map(str, rows.Withdrawal.objects.values_list("withdraws", flat=True)))
    assert withdrawn == {kelp["id"], sedge["id"]}


def test_what_could_not_be_released_leaves_nothing_and_is_not_known_in_its_batch(
    tilda: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    def breaks(_: object) -> None:
        raise RuntimeError("no")

    kelp = by_sight(tilda)
    gone = tilda.fact("withdrawn", corrects=kelp["id"], because="it was Sedge")
    assert tilda.send(gone) == ["written"], "it waits"
    with monkeypatch.context() as patch:
        patch.setattr(keeping, "_write_kept", breaks)
        told = tilda.send(kelp, kelp)
    assert all("tell the administrator: fault" in one for one in told), told
    assert not rows.Sighting.objects.exists()
    assert tilda.send(kelp, kelp) == ["written", "known"]
    assert rows.Withdrawal.objects.filter(withdraws=kelp["id"]).exists()


def test_what_is_lent_to_plain_facts_is_lent_to_no_other_and_to_nobody_after_them(
    tilda: Phone, park: Wendlebrook, monkeypatch: pytest.MonkeyPatch
) -> None:
    had: list[tuple[str, bool]] = []

    def plainly(ready: Any) -> Any:
        beside: list[object] = []
        other = Thread(target=lambda: beside.append(lent()))
        other.start()
        other.join()
        assert beside == [None], "another request has nothing of it"
        had.append((ready.deed.name, lent() is not None))
        if ready.values["bird"] == park["Thrift"]:
            raise RuntimeError("no")
        return write_plain(ready)

    def by_itself(ready: Any) -> Any:
        had.append((ready.deed.name, lent() is not None))
        return write_deed(ready)

    monkeypatch.setattr(door, "write_plain", plainly)
    monkeypatch.setattr(door, "write_deed", by_itself)
    note = tilda.fact("note", bird=park["Kelp"], text="limps")
    told = tilda.send(by_sight(tilda), note, by_sight(tilda, "Thrift"))
    assert told == ["written"] * 3
    assert had == [("sighting", True), ("note", False), ("sighting", True), ("sighting", False)]
    assert lent() is None


def sample(phone: Phone, bird: int) -> str:
    taken = phone.fact("sex_sample", bird=bird, sample="feather", label="W-17")
    assert phone.send(taken) == ["written"]
    return str(taken["id"])


def nest(phone: Phone) -> int:
    park = phone.park
    said = {"exhibit_id": park.shingle, "species_id": park.avocet, "recorded_by_id": phone.by}
    return rows.Nest.objects.create(name="reeds", from_on=SEVEN.date(), **said).pk


def of_each_kind(phone: Phone) -> dict[str, list[dict[str, Any]]]:
    """Facts of each plain kind, as different as they can be."""
    bird, group, call = phone.park["Kelp"], str(uuid4()), {"round": str(phone.round)}
    place = phone.park.north_spit
    by_eye = {"group": group, "position": 0}
    return {
        "sighting": [
            phone.sighting("Kelp", "by reading", reading=READ, **by_eye),
            phone.sighting("Kelp", place=place, **by_eye),
            phone.sighting(None, None, reading=READ, **by_eye),
            phone.inferred("Thrift", 0.9),
            phone.sighting("Sedge", "by reading", reading=READ, photographed=True),
        ],
        "count": [phone.count("avocet", 4)],
        "group": [phone.fact("group", group=group, size=2, place=place, flew=True, **call)],
        "round_light": [phone.fact("round_light", light="bright", mud=True, **call)],
        "weighed": [phone.fact("weighed", bird=bird, weight_g=300.5, where="in hand", fed=True)],
        "health_check": [phone.fact("health_check", bird=bird, well=False, found="lame")],
        "sex_finding": [
            phone.fact("sex_finding", bird=bird, sex="F", known_by="DNA", test=sample(phone, bird)),
            phone.fact("sex_finding", bird=phone.park["Sedge"], sex="M", known_by="DNA"),
        ],
        "nest_event": [phone.fact("nest_event", nest=nest(phone), event="eggs", amount=3)],
    }


@pytest.mark.parametrize("kind", sorted(kind for kind, bound in BOUND.items() if bound.plain))
def test_a_plain_deed_appends_facts_and_changes_nothing_nor_locks_what_is_lent(
    park: Wendlebrook, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # What is learned after a batch is made anew at any time, and no part of it.
    monkeypatch.setattr(door, "follow", lambda _: None)
    maren = Phone(park, park.actors.maren)
    maren.send(maren.started())
    batch = of_each_kind(maren)[kind]
    with CaptureQueriesContext(connection) as told:
        assert maren.send(*batch) == ["written"] * len(batch)
    asked = [one["sql"] for one in told]
    assert not [one for one in asked if one.startswith(("UPDATE", "DELETE"))], (
        "plain no longer: decision 0061"
    )
    locked = [one for one in asked if "FOR UPDATE" in one]
    assert not [
        one for one in locked if any(f'"{table._meta.db_table}"' in one for table in LOOKED_UP.values())
    ]
    tables = {table._meta.db_table for table in [*fact_tables().values(), rows.ToldDeed, rows.DeedBird]}
    into = {one.split('"')[1] for one in asked if one.startswith("INSERT")}
    assert into <= tables


@pytest.mark.parametrize(
    "spoilt", [{"bird": 10**6}, {"exhibit": 10**6}, {"place": 10**6}, {"round": str(uuid4())}]
)
def test_what_is_missing_is_asked_for_again_by_each_that_names_it(
    tilda: Phone, spoilt: dict[str, Any]
) -> None:
    good = [tilda.sighting("Kelp"), tilda.sighting("Sedge", place=tilda.park.north_spit)]
    bad = [{**tilda.sighting("Kelp"), **spoilt} for _ in range(2)]
    told = tilda.send(tilda.started(), good[0], *bad, good[1])
    assert [told[at] for at in (0, 1, 4)] == ["written"] * 3
    waits = "round" in spoilt
    assert [one == "written" for one in told[2:4]] == [waits] * 2
    assert rows.Sighting.objects.count() == 2
    assert rows.Waiting.objects.count() == (2 if waits else 0)
