"""Which days of the watch are kept, and which are dropped because later words do not bear them out."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from actions.test_presence import (
    FIRST,
    _the_park_is_old,
    a_fortnight_without,
    at,
    called,
    everybody,
    facts_alone,
    kept_states,
    sighted,
)
from tarsus.actions.presence import DAYS_KEPT, MONTHS_KEPT, keep_checkpoints
from tarsus.records import models as rows

pytestmark = pytest.mark.django_db
__all__ = ["_the_park_is_old"]
YESTERDAY = FIRST + timedelta(days=13)


def kept_days(exhibit: int, lookalike: str = "avocet") -> set[date]:
    told = rows.PresenceCheckpoint.objects.filter(exhibit_id=exhibit, lookalike=lookalike)
    return set(told.values_list("on_day", flat=True))


@pytest.fixture
def now(park: Any) -> datetime:
    """The morning after a fortnight of roll calls, all of it kept."""
    a_fortnight_without(park, "Sedge")
    moment = at(FIRST + timedelta(days=14), 5)
    assert keep_checkpoints(moment) == 2, "avocets and ruffs"
    return moment


def test_a_week_of_days_is_kept(park: Any, now: datetime) -> None:
    week = {YESTERDAY - timedelta(days=day) for day in range(DAYS_KEPT)}
    assert kept_days(park.shingle) == week, "and of the months before nothing is known"
    assert kept_days(park.shingle, "ruff") == kept_days(park.shingle)


def test_a_year_later_the_ends_of_twelve_months_are_left_and_no_more(park: Any, now: datetime) -> None:
    for month in range(7, 17):
        called(park, date(2026 + (month - 1) // 12, (month - 1) % 12 + 1, 9), everybody(park))
    later = datetime(2027, 7, 20, 5, tzinfo=UTC)
    keep_checkpoints(later)
    ends = {first - timedelta(days=1) for first in firsts(date(2027, 7, 1), MONTHS_KEPT)}
    week = {date(2027, 7, 19) - timedelta(days=day) for day in range(DAYS_KEPT)}
    assert kept_days(park.shingle) == ends | week
    assert min(kept_days(park.shingle)) == date(2026, 7, 31)
    assert kept_states() == facts_alone(later)


def firsts(first: date, amount: int) -> list[date]:
    """The first days of so many months, this one and those before it."""
    told = [first]
    while len(told) < amount:
        told.append((told[-1] - timedelta(days=1)).replace(day=1))
    return told


def test_a_flock_that_is_called_no_more_keeps_the_last_that_was_known_of_it(park: Any, now: datetime) -> None:
    kept = rows.PresenceCheckpoint.objects.filter(lookalike="avocet").latest("on_day")
    old = {"lookalike": "stilt", "facts_until": now, "state": kept.state, "exhibit_id": park.reed}
    for day in (date(2024, 1, 31), date(2024, 2, 29), date(2024, 2, 3)):
        rows.PresenceCheckpoint.objects.create(on_day=day, **old)
    called(park, FIRST + timedelta(days=14), everybody(park))
    keep_checkpoints(now + timedelta(days=1))
    assert kept_days(park.reed, "stilt") == {date(2024, 2, 29)}


def test_a_day_that_has_not_been_yet_is_not_kept(park: Any, now: datetime) -> None:
    """The register's clock was ahead for an hour, and checkpoints of tomorrow were kept."""
    kept = rows.PresenceCheckpoint.objects.filter(lookalike="avocet").latest("on_day")
    rows.PresenceCheckpoint.objects.create(
        exhibit_id=park.shingle,
        lookalike="avocet",
        on_day=FIRST + timedelta(days=20),
        facts_until=now - timedelta(hours=1),
        state=kept.state,
    )
    sighted(park, "Sedge", YESTERDAY, hour=16, heard=now + timedelta(minutes=1))
    keep_checkpoints(now + timedelta(minutes=2))
    assert max(kept_days(park.shingle)) == YESTERDAY


def test_what_an_older_tarsus_kept_is_made_anew(park: Any, now: datetime) -> None:
    for row in rows.PresenceCheckpoint.objects.filter(lookalike="avocet"):
        row.state["flock"]["format"] = -1
        row.save()
    assert keep_checkpoints(now) == 1, "the avocets; of the ruffs all is sound"
    assert kept_states() == facts_alone(now)


def test_another_limit_of_one_species_lets_the_others_be(park: Any, now: datetime) -> None:
    before = dict(rows.PresenceCheckpoint.objects.filter(lookalike="ruff").values_list("on_day", "pk"))
    rows.Species.objects.filter(pk=park.avocet).update(max_unseen_days=11)
    assert keep_checkpoints(now) == 1
    assert kept_states() == facts_alone(now)
    assert (
        dict(rows.PresenceCheckpoint.objects.filter(lookalike="ruff").values_list("on_day", "pk")) == before
    )


def test_a_late_word_goes_back_to_its_own_day_and_leaves_earlier_days_alone(park: Any, now: datetime) -> None:
    before = dict(rows.PresenceCheckpoint.objects.filter(lookalike="avocet").values_list("on_day", "pk"))
    late_day = FIRST + timedelta(days=11)
    sighted(park, "Sedge", late_day, hour=16, heard=now + timedelta(minutes=1))
    later = now + timedelta(minutes=2)
    assert keep_checkpoints(later) == 2, "whatever is of that exhibit"
    after = dict(rows.PresenceCheckpoint.objects.filter(lookalike="avocet").values_list("on_day", "pk"))
    assert after.keys() == before.keys()
    assert {day for day in before if before[day] == after[day]} == {day for day in before if day < late_day}
    assert kept_states() == facts_alone(later)


def test_the_newest_of_each_flock_knows_until_when_nothing_came_late(park: Any, now: datetime) -> None:
    sighted(park, "Sedge", YESTERDAY, hour=16, heard=now + timedelta(minutes=1))
    later = now + timedelta(minutes=2)
    keep_checkpoints(later)
    newest = rows.PresenceCheckpoint.objects.filter(on_day=YESTERDAY)
    assert set(newest.values_list("facts_until", flat=True)) == {later}
    assert keep_checkpoints(later + timedelta(minutes=1)) == 0, "nothing was told since"
    assert set(newest.values_list("facts_until", flat=True)) == {later}


def test_what_is_told_of_today_is_no_late_word(park: Any, now: datetime) -> None:
    called(park, FIRST + timedelta(days=14), everybody(park), hour=6)
    assert keep_checkpoints(now + timedelta(hours=3)) == 0
    assert max(kept_days(park.shingle)) == YESTERDAY
