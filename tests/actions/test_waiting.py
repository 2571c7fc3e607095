"""Facts that wait are for a person to look at; one refused after it was answered is told to its phone."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone

from phones import Phone
from tarsus.actions import facts
from tarsus.actions.hearing import afterwards, waiting
from tarsus.actions.hearing.afterwards import FIRST
from tarsus.actions.hearing.waiting import release_arrived
from tarsus.queries.days import park_zone
from tarsus.queries.waiting import how_many_refused, refused_late, waiting_facts
from tarsus.records import models as rows
from wendlebrook import Wendlebrook

pytestmark = pytest.mark.django_db


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


def refused_when_its_turn_came(phone: Phone) -> str:
    """A sighting of the reed exhibit in a round that turns out to be the shingle's."""
    wrong = phone.sighting("Kelp", exhibit=phone.park.reed)
    assert phone.send(wrong) == ["written"], "its round was not begun yet: it waits"
    assert phone.send(phone.started()) == ["written"]
    return str(wrong["id"])


def test_a_fact_waits_with_the_reason_and_is_gone_when_what_it_leans_on_comes(tilda: Phone) -> None:
    assert tilda.send(tilda.sighting("Kelp")) == ["written"]
    (waits,) = waiting_facts()
    assert (waits.title, waits.by, waits.refused) == ("A bird was seen", "Tilda", False)
    assert waits.why.startswith("It waits for the start of its round")
    assert (how_many_refused(), refused_late("p1")) == (0, [])
    tilda.send(tilda.started())
    assert waiting_facts() == ()


def test_a_fact_whose_turn_came_unseen_is_written_after_the_next_batch_or_when_a_server_starts(
    tilda: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As where a server was killed between writing a round and looking for what waited for it."""
    for beginning in (release_arrived, lambda: tilda.send(tilda.count("avocet", 4))):
        tilda.round = uuid4()
        kelp = tilda.sighting("Kelp")
        with monkeypatch.context() as killed:
            killed.setattr(facts, "release_waiting", lambda _ready: None)
            killed.setattr(afterwards, "release_arrived", lambda: None)
            tilda.send(kelp)
            tilda.send(tilda.started())
        assert [str(one.id) for one in waiting_facts()] == [kelp["id"]]
        beginning()
        assert waiting_facts() == ()
        assert rows.Sighting.objects.filter(pk=kelp["id"]).exists()
    assert FIRST[0] is release_arrived


def test_what_is_written_beside_the_requests_is_of_the_parks_days(
    tilda: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as killed:
        killed.setattr(facts, "release_waiting", lambda _ready: None)
        killed.setattr(afterwards, "release_arrived", lambda: None)
        tilda.send(tilda.sighting("Kelp"), tilda.started())
    zones, written = list[str](), waiting.write_deed

    def noted(ready: Any) -> Any:
        zones.append(timezone.get_current_timezone_name())
        return written(ready)

    monkeypatch.setattr(waiting, "write_deed", noted)
    with timezone.override("Pacific/Auckland"):
        release_arrived()
    assert zones == [park_zone().key]


def test_a_fact_refused_after_it_was_answered_is_told_to_its_own_phone_only(tilda: Phone) -> None:
    wrong = refused_when_its_turn_came(tilda)
    (waits,) = waiting_facts()
    assert waits.refused
    assert "is of another exhibit" in waits.why
    assert [one["id"] for one in refused_late("p1")] == [wrong]
    assert "is of another exhibit" in refused_late("p1")[0]["reason"]
    assert refused_late("p2") == []
    assert how_many_refused() == 1


def test_what_was_refused_stands_before_what_only_waits(tilda: Phone, park: Wendlebrook) -> None:
    other = Phone(park, park.actors.oswin)
    other.send(other.sighting("Thrift"))
    wrong = refused_when_its_turn_came(tilda)
    first, _ = waiting_facts()
    assert str(first.id) == wrong


def test_a_fact_set_aside_is_off_the_list_and_still_on_record(tilda: Phone) -> None:
    wrong = refused_when_its_turn_came(tilda)
    aside = tilda.fact("set_aside", waiting=wrong, because="told anew")
    assert tilda.send(aside, aside) == ["written", "known"]
    assert (waiting_facts(), refused_late("p1"), how_many_refused()) == ((), [], 0)
    assert rows.Waiting.objects.filter(pk=wrong).exists()
    nothing = tilda.fact("set_aside", waiting=str(uuid4()), because="?")
    assert "no fact waits" in tilda.send(nothing)[0]
