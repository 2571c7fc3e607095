"""What checks teach reaches whoever reads, and never rewrites what was said."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from phones import SEVEN, Phone
from tarsus.actions.hearing.taking_back import withdraw
from tarsus.actions.learning import learn_readers
from tarsus.actions.telling import Told
from tarsus.queries.confirmed import confirmed_readings
from tarsus.queries.flock import flock_of
from tarsus.queries.observers import observers_of, park_misreading
from tarsus.records import models as rows
from wendlebrook import DAY, Wendlebrook

pytestmark = pytest.mark.django_db

READ = {"left tibia": ["metal"], "right tibia": ["yellow", "green"]}
TURNED = {"left tibia": ["yellow", "green"], "right tibia": ["metal"]}


@pytest.fixture
def tilda(park: Wendlebrook) -> Phone:
    return Phone(park, park.actors.tilda)


def in_view(phone: Phone, name: str | None, how: str | None, group: str, position: int, **more: Any) -> Any:
    return phone.sighting(name, how, group=group, position=position, **more)


def checked(park: Wendlebrook, by: int, read: dict[str, list[str]], times: int, *, later: int = 0) -> None:
    """Readings of Samphire before she was caught, the first of them so many minutes later."""
    rows.ConfirmedReading.objects.bulk_create(
        rows.ConfirmedReading(
            recorded_by_id=by, reader_id=by, bird_id=park["Samphire"], read=read,
            worn={"left tibia": ["metal"], "right tibia": ["yellow", "green"]},
            happened_at=SEVEN + timedelta(minutes=later + minute),
        )
        for minute in range(times)
    )  # fmt: skip


def test_a_reading_is_confirmed_by_whoever_then_names_that_bird_of_the_group_by_sight(
    tilda: Phone, park: Wendlebrook
) -> None:
    group, other = str(uuid4()), str(uuid4())
    oswin = Phone(park, park.actors.oswin)
    oswin.round = tilda.round
    read = in_view(tilda, "Sedge", "by reading", group, 1, reading=READ)
    unread = in_view(tilda, None, None, group, 2, reading=TURNED, lookalike="avocet")
    elsewhere = in_view(tilda, "Kelp", "by reading", other, 1, reading=READ)
    tilda.send(tilda.started(), read, unread, elsewhere)
    assert confirmed_readings() == ()
    oswin.minutes = 30
    # It was Samphire and not Sedge; the reading counts as it was made, by whoever made it.
    named = in_view(oswin, "Samphire", "by sight", group, 1)
    oswin.send(named)
    (found,) = confirmed_readings()
    assert (found.reader, found.in_hand) == (park.actors.tilda, False)
    assert found.check.read.as_mapping() == READ
    worn = {bird.bird_id: bird.marks for bird in flock_of(park.shingle, DAY)}
    assert found.check.worn == worn[park["Samphire"]]
    withdraw(
        told=Told(by=park.actors.oswin, at=SEVEN + timedelta(hours=1)), fact_id=named["id"], because="no"
    )
    assert confirmed_readings() == ()


def test_what_was_read_in_a_photograph_teaches_nobody_s_eyes(tilda: Phone) -> None:
    group = str(uuid4())
    picture = in_view(tilda, "Sedge", "by reading", group, 1, reading=READ, photographed=True)
    tilda.send(tilda.started(), picture, in_view(tilda, "Samphire", "by sight", group, 1))
    late = in_view(tilda, "Kelp", "by reading", group, 1, reading=READ, photographed=True)
    assert tilda.send({**late, "at": picture["at"]}) == ["written"]
    assert confirmed_readings() == ()


def test_a_name_by_sight_that_arrives_before_the_reading_confirms_it_too(tilda: Phone) -> None:
    group = str(uuid4())
    read = in_view(tilda, "Sedge", "by reading", group, 1, reading=READ)
    named = in_view(tilda, "Sedge", "by sight", group, 1)
    tilda.send(tilda.started(), named, read)
    assert len(confirmed_readings()) == 1
    assert rows.LearnedReader.objects.filter(person=None).count() == 1


def test_whoever_mixes_up_the_sides_is_read_so_from_then_on_and_nobody_else(park: Wendlebrook) -> None:
    tilda, oswin = park.actors.tilda, park.actors.oswin
    birds = flock_of(park.shingle, DAY)
    before = observers_of(tilda, birds, DAY).person
    checked(park, tilda, TURNED, 25)
    checked(park, tilda, READ, 15)
    checked(park, oswin, READ, 60)
    assert learn_readers(timezone.now()) == 3
    after, other = observers_of(tilda, birds, DAY).person, observers_of(oswin, birds, DAY).person
    assert after.swap > 0.3
    assert before.swap < 0.05
    assert other.swap < after.swap / 2
    assert after.words == before.words
    # Somebody without a check of their own reads as the park has learned to.
    learned = rows.LearnedReader.objects.get(person=None)
    assert learned.lesson["earned"]
    assert before.swap < observers_of(park.actors.maren, birds, DAY).person.swap < after.swap
    assert before.swap < park_misreading(birds, DAY).swap


def test_learning_twice_writes_nothing_and_a_new_check_makes_it_anew(park: Wendlebrook) -> None:
    checked(park, park.actors.tilda, READ, 12)
    assert learn_readers(timezone.now()) == 2
    with CaptureQueriesContext(connection) as asked:
        assert learn_readers(timezone.now()) == 0
    assert not [one for one in asked if one["sql"].startswith(("SAVEPOINT", "BEGIN"))], "no writer's turn"
    checked(park, park.actors.tilda, TURNED, 1)
    assert learn_readers(timezone.now()) == 2
    assert rows.LearnedReader.objects.count() == 2


def test_what_has_not_earned_its_use_changes_nothing(park: Wendlebrook) -> None:
    birds = flock_of(park.shingle, DAY)
    before = observers_of(park.actors.tilda, birds, DAY)
    checked(park, park.actors.tilda, READ, 30)
    learn_readers(timezone.now())
    assert not rows.LearnedReader.objects.get(person=park.actors.tilda).lesson["earned"]
    assert observers_of(park.actors.tilda, birds, DAY) == before


def test_shared_practice_counts_for_its_owner_until_it_is_taken_back(tilda: Phone, park: Wendlebrook) -> None:
    checked(park, tilda.by, READ, 12)
    checked(park, tilda.by, TURNED, 10, later=12)
    answers = [{"read": TURNED, "worn": READ}] * 8 + [{"read": READ, "worn": READ}] * 12
    shared = tilda.fact(
        "practice_shared", exhibit=park.shingle, lookalike="avocet", ready=False, answers=answers
    )
    tilda.send(tilda.fact("practice_sharing", on=True), shared)
    row = rows.LearnedReader.objects.get(person_id=tilda.by)
    assert row.lesson["practised"]
    with_it = row.lesson["after"]["swap"]
    tilda.send(tilda.fact("practice_sharing", on=False))
    row.refresh_from_db()
    assert not row.lesson["practised"]
    assert row.lesson["after"]["swap"] != with_it
