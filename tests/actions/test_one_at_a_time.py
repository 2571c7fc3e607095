"""Two that tell the same at one time: a guard that looks before it writes sees what the other wrote."""

from __future__ import annotations

from threading import Thread
from time import monotonic, sleep
from uuid import uuid4

import pytest
from django.db import connection, connections, transaction
from django.utils import timezone

from tarsus.actions.birds.identity import take_sex_sample
from tarsus.actions.refusals import AlreadySo
from tarsus.actions.telling import Told
from tarsus.records.models import SexTest
from wendlebrook import Wendlebrook

pytestmark = [pytest.mark.postgresql, pytest.mark.django_db(transaction=True)]
WAITS = "SELECT count(*) FROM pg_locks WHERE NOT granted"
"""Asked anew each time: what pg_stat_activity said first in a transaction it says to its end."""
PATIENCE_S = 30


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
        rival.start()
        # It goes on once the other waits, or has done without waiting.
        until = monotonic() + PATIENCE_S
        while rival.is_alive() and monotonic() < until:
            with connection.cursor() as cursor:
                cursor.execute(WAITS)
                if cursor.fetchone()[0]:
                    break
            sleep(0.01)
    rival.join(PATIENCE_S)
    assert not rival.is_alive()
    assert said != ["written"]
    assert "read the tube again" in said[0]
    assert SexTest.objects.filter(label="W-17").count() == 1
