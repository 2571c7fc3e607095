"""Two that tell the same at one time: a guard that looks before it writes sees what the other wrote."""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread
from time import monotonic, sleep
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import connection, connections, transaction
from django.utils import timezone

from phones import Phone
from tarsus.actions import facts
from tarsus.actions.birds.identity import take_sex_sample
from tarsus.actions.imports import Brought, bring_in
from tarsus.actions.refusals import AlreadySo
from tarsus.actions.telling import Told
from tarsus.records.models import Bird, SexTest, Sighting, Waiting
from tarsus.tables.choices import Choices
from tarsus.tables.columns import columns_for, field_of
from tarsus.tables.reading import read_table
from wendlebrook import Wendlebrook

pytestmark = [pytest.mark.postgresql, pytest.mark.django_db(transaction=True)]
WAITS = "SELECT count(*) FROM pg_locks WHERE NOT granted"
"""Asked anew each time: what pg_stat_activity said first in a transaction it says to its end."""
PATIENCE_S = 30


def beside(rival: Thread) -> None:
    """Let a rival begin, and go on once it waits, or has done without waiting."""
    rival.start()
    until = monotonic() + PATIENCE_S
    while rival.is_alive() and monotonic() < until:
        with connection.cursor() as cursor:
            cursor.execute(WAITS)
            if cursor.fetchone()[0]:
                break
        sleep(0.01)


def test_one_label_goes_on_one_of_two_tubes_that_are_told_at_one_time(park: Wendlebrook) -> None:
    first, second = list(park.birds.values())[:2]
    said: list[str] = []

    def told(bird: int) -> bool:
        who = Told(by=park.actors.tilda, at=timezone.now(), id=uuid4())
        return take_sex_sample(told=who, bird_id=bird, sample="feather", label="W-17")

    def other() -> None:
        try:
            told(second)
            said.append("written")
        except AlreadySo as refusal:
            said.append(str(refusal))
        finally:
            connections.close_all()

    rival = Thread(target=other)
    with transaction.atomic():
        assert told(first)
        beside(rival)
    rival.join(PATIENCE_S)
    assert not rival.is_alive()
    assert said != ["written"]
    assert "read the tube again" in said[0]
    assert SexTest.objects.filter(label="W-17").count() == 1


def test_birds_without_a_number_come_in_once_of_two_imports_at_one_time(park: Wendlebrook) -> None:
    lines = b"name,species,exhibit,since\nOrache,pied avocet,shingle aviary,2026-03-04\n"
    sheet = read_table(lines, "park.csv", lambda heading: bool(field_of(heading)))
    said: list[int] = []

    def brought(ends: Callable[[Brought], None]) -> None:
        done = bring_in(
            sheet=sheet,
            columns=columns_for(sheet.headings),
            choices=Choices(letters="wader"),
            file_name="park.csv",
            digest="d",
            by=park.actors.corin,
            ends=ends,
        )
        said.append(len(done.birds))

    def other() -> None:
        try:
            brought(lambda _: None)
        finally:
            connections.close_all()

    rival = Thread(target=other)
    brought(lambda _: beside(rival))
    rival.join(PATIENCE_S)
    assert not rival.is_alive()
    assert said == [1, 0]
    assert Bird.objects.filter(house_name="Orache").count() == 1


def test_a_sighting_that_is_kept_while_its_round_is_being_written_waits_for_nobody(
    park: Wendlebrook, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One connection keeps it, not seeing the round; the other sees nothing that waits. Both are answered."""
    phone, together = Phone(park, park.actors.tilda), facts._hear_together
    kelp, told = phone.sighting("Kelp"), list[str]()

    def other() -> None:
        try:
            told.extend(phone.send(kelp))
        finally:
            connections.close_all()

    def heard(batch: Any, sending: Any) -> Any:
        answers = together(batch, sending)
        if batch[0]["kind"] == "round_started":
            assert not Waiting.objects.exists()
            rival = Thread(target=other)
            rival.start()
            rival.join(PATIENCE_S)
            assert not rival.is_alive(), "it waits for no lock"
        return answers

    monkeypatch.setattr(facts, "_hear_together", heard)
    assert phone.send(phone.started()) == ["written"]
    assert told == ["written"]
    assert not Waiting.objects.exists()
    assert Sighting.objects.get().pk == UUID(kelp["id"])
