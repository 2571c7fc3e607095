"""The presence calendar of a flock: every bird stands in it once, worry first; a hard day is told apart."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from phones import Phone
from tarsus.queries.bird_strip import DayOfBird, How
from tarsus.queries.presence_calendar import days_in_words, how_easy, presence_calendar
from wendlebrook import Wendlebrook

EVENING = datetime(2026, 6, 11, 19, 0, tzinfo=UTC)
FIRST = date(2026, 6, 1)


def week(*hows: How) -> tuple[DayOfBird, ...]:
    return tuple(DayOfBird(FIRST + timedelta(days=at), how, "") for at, how in enumerate(hows))


def test_a_day_on_which_few_were_seen_is_hard_and_one_without_a_call_is_neither() -> None:
    fog = [week("by sight", "missed", "not looked for", "by reading") for _ in range(3)]
    clear = week("by sight", "by sight", "not looked for", "missed")
    days = how_easy([*fog, clear])
    assert [one.share for one in days] == [1.0, 0.25, None, 0.75]
    assert [one.hard for one in days] == [False, True, False, False]


def test_misses_on_hard_days_are_told_apart() -> None:
    days = week("by sight", "missed", "inferred", "not looked for")
    assert days_in_words(days, frozenset()) == "missed on 2 of 3 days called"
    hard = frozenset({FIRST + timedelta(days=1)})
    assert days_in_words(days, hard) == "missed on 2 of 3 days called, 1 of them hard"


@pytest.mark.django_db
def test_every_bird_of_the_flock_stands_in_the_calendar_once(park: Wendlebrook) -> None:
    phone = Phone(park, park.actors.tilda)
    names = ("Samphire", "Kelp", "Sedge", "Thrift")
    phone.send(phone.started(), phone.count("avocet", 5), *(phone.sighting(n) for n in names), phone.closed())
    page = presence_calendar(park.shingle, "avocet", EVENING)
    told = [row.portrait.name for _, rows in page.groups for row in rows]
    assert sorted(told) == sorted([*names, "Marram"])
    assert len(page.days) == 30
    missed = next(row for _, rows in page.groups for row in rows if row.portrait.name == "Marram")
    assert missed.says == "missed on 1 of 1 day called"


@pytest.mark.django_db
def test_the_calendar_asks_few_questions(park: Wendlebrook) -> None:
    with CaptureQueriesContext(connection) as asked:
        presence_calendar(park.shingle, "avocet", EVENING)
    assert len(asked) <= 60
