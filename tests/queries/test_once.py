"""A page that asks twice is answered once; what is kept beyond it is no older than the register."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tarsus.queries.days import park_zone
from tarsus.queries.exports import one_moment
from tarsus.queries.once import LATELY, ask_ahead, asked_at, asking, once, wished
from tarsus.records.models import Park
from wendlebrook import build


@pytest.mark.django_db
def test_while_a_page_is_made_a_question_is_asked_of_the_register_once() -> None:
    build()
    with CaptureQueriesContext(connection) as asked, asking():
        assert park_zone() is park_zone()
    assert len(asked) == 1


@pytest.mark.django_db
def test_the_next_page_hears_what_was_written_since() -> None:
    build()
    with asking():
        before = park_zone().key
    Park.objects.update(time_zone="Asia/Tokyo" if before != "Asia/Tokyo" else "UTC")
    with asking():
        assert park_zone().key != before


def test_outside_a_page_every_question_is_asked_anew() -> None:
    told = iter((1, 2, 3))

    @once
    def question(_of: int) -> int:
        return next(told)

    assert (question(7), question(7)) == (1, 2)
    with asking():
        assert (question(7), question(7)) == (3, 3)


NOON = datetime(2026, 6, 12, 12, 0, 5, tzinfo=UTC)


class Bell:
    """A question that says how often the register was asked, and as of when."""

    def __init__(self) -> None:
        self.rung = 0

        @once
        def ring(_at: datetime) -> int:
            self.rung += 1
            return self.rung

        @once
        def ring_of_the_day(_day: date) -> int:
            self.rung += 1
            return self.rung

        self.ring, self.ring_of_the_day = ring, ring_of_the_day


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[datetime]:
    now = [NOON]
    monkeypatch.setattr("tarsus.queries.once.timezone.now", lambda: now[0])
    return now


@pytest.mark.django_db(transaction=True)
def test_later_pages_are_answered_as_the_first_was_while_nothing_is_written(clock: list[datetime]) -> None:
    build()
    bell = Bell()
    with asking(kept=True):
        assert bell.ring(asked_at()) == 1
    clock[0] = NOON + timedelta(seconds=40)
    with asking(kept=True):
        assert (asked_at(), bell.ring(asked_at())) == (NOON, 1)


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("another", [False, True])
def test_whatever_was_written_by_this_process_or_another_the_next_page_hears(
    clock: list[datetime], another: bool
) -> None:
    build()
    with asking(kept=True):
        assert park_zone().key != "Asia/Tokyo"
    writer = connection.copy() if another else connection
    with writer.cursor() as cursor:
        cursor.execute("UPDATE records_park SET time_zone = 'Asia/Tokyo'")
    if another:
        writer.close()
    clock[0] = NOON + timedelta(seconds=1)
    with asking(kept=True):
        assert park_zone().key == "Asia/Tokyo"
        assert asked_at() == clock[0], "a page after a write tells of the moment after it"


@pytest.mark.django_db(transaction=True)
def test_what_a_page_was_told_while_somebody_wrote_is_not_kept(clock: list[datetime]) -> None:
    build()
    bell = Bell()
    with asking(kept=True):
        bell.ring(NOON)
        Park.objects.update(name="Elsewhere")
    with asking(kept=True):
        assert bell.ring(NOON) == 2


@pytest.mark.django_db(transaction=True)
def test_time_goes_on_without_a_write_by_the_minute_for_moments_and_the_hour_for_days(
    clock: list[datetime],
) -> None:
    build()
    bell = Bell()
    for later, moment, day in (
        (timedelta(), 1, 2),
        (timedelta(minutes=1), 3, 2),
        (timedelta(hours=1), 4, 5),
    ):
        clock[0] = NOON + later
        with asking(kept=True):
            assert asked_at() == clock[0]
            assert (bell.ring(asked_at()), bell.ring_of_the_day(NOON.date())) == (moment, day)


@pytest.mark.django_db
def test_inside_a_transaction_nothing_is_kept_beyond_the_page() -> None:
    build()
    bell = Bell()
    for rung in (1, 2):
        with asking(kept=True):
            assert (bell.ring(NOON), bell.ring(NOON)) == (rung, rung)


@pytest.mark.django_db(transaction=True)
def test_what_is_read_as_of_one_moment_leaves_aside_what_was_kept_before_a_write(
    clock: list[datetime],
) -> None:
    build()
    bell = Bell()
    with asking(kept=True):
        bell.ring(NOON)
    with asking(kept=True), one_moment():
        assert bell.ring(NOON) == 1
    with asking(kept=True):
        Park.objects.update(name="Elsewhere")
        with one_moment():
            assert bell.ring(NOON) == 2


@pytest.mark.django_db(transaction=True)
def test_a_process_keeps_no_more_than_so_many_answers_the_oldest_go(
    clock: list[datetime], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tarsus.queries.once.MOST", 2)
    build()
    bell = Bell()
    days = [NOON.date() + timedelta(days=at) for at in range(3)]
    with asking(kept=True):
        assert [bell.ring_of_the_day(day) for day in days] == [1, 2, 3]
    with asking(kept=True):
        assert [bell.ring_of_the_day(day) for day in reversed(days)] == [3, 2, 4]


@pytest.mark.django_db(transaction=True)
def test_what_was_asked_as_of_a_moment_of_its_own_is_not_kept(clock: list[datetime]) -> None:
    build()
    bell = Bell()
    for _ in range(2):
        with asking(kept=True):
            bell.ring(NOON + timedelta(seconds=20))
    assert (clock, bell.rung) == ([NOON], 2)


@pytest.fixture
def wishes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tarsus.queries.once._WISHES", {})


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("wishes")
def test_what_a_reader_asked_is_asked_anew_after_a_write_before_the_next_reader_asks(
    clock: list[datetime],
) -> None:
    build()
    bell = Bell()
    with asking(kept=True):
        bell.ring(asked_at())
    assert wished()
    Park.objects.update(name="Elsewhere")
    clock[0] = NOON + timedelta(seconds=2)
    assert ask_ahead() == 1
    assert ask_ahead() == 0, "of this version everything is asked"
    with asking(kept=True):
        assert (asked_at(), bell.ring(asked_at())) == (clock[0], 2), "as of the moment of asking ahead"
    clock[0] = NOON + timedelta(minutes=1)
    assert ask_ahead() == 1, "another minute is another moment"
    with asking(kept=True):
        assert bell.ring(asked_at()) == 3


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("wishes")
def test_what_nobody_asked_lately_is_not_asked_ahead(
    clock: list[datetime], monkeypatch: pytest.MonkeyPatch
) -> None:
    build()
    bell = Bell()
    with asking(kept=True):
        bell.ring(asked_at())
    clock[0] = NOON + LATELY - timedelta(seconds=1)
    assert ask_ahead() == 1, "asking ahead is no reader's asking"
    clock[0] = NOON + LATELY + timedelta(seconds=1)
    assert ask_ahead() == 0
    assert not wished()
    monkeypatch.setattr("tarsus.queries.once.MOST_AHEAD", 2)
    with asking(kept=True):
        for at in range(3):
            bell.ring_of_the_day(NOON.date() + timedelta(days=at))
    Park.objects.update(name="Elsewhere")
    assert ask_ahead() == 2


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("wishes")
def test_only_what_a_page_asks_itself_is_asked_ahead_and_only_as_of_its_own_moment(
    clock: list[datetime],
) -> None:
    build()
    bell = Bell()

    @once
    def page(moment: datetime) -> int:
        return bell.ring(moment)

    with asking(kept=True):
        page(asked_at())
        bell.ring(NOON - timedelta(days=1))
    Park.objects.update(name="Elsewhere")
    assert ask_ahead() == 1


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("wishes")
def test_what_fails_ahead_is_left_to_the_reader_and_stops_nothing_else(clock: list[datetime]) -> None:
    build()
    bell, told = Bell(), iter((1,))

    @once
    def gone(_moment: datetime) -> int:
        return next(told)

    with asking(kept=True):
        bell.ring(asked_at())
        gone(asked_at())
    Park.objects.update(name="Elsewhere")
    assert ask_ahead() == 1
    with asking(kept=True), pytest.raises(StopIteration):
        gone(asked_at())


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("wishes")
def test_a_write_while_asking_ahead_ends_it_and_nothing_half_old_is_kept(clock: list[datetime]) -> None:
    build()
    bell = Bell()

    @once
    def written_into(_moment: datetime) -> int:
        Park.objects.update(name=f"Elsewhere {bell.rung}")
        bell.rung += 1
        return bell.rung

    with asking(kept=True):
        bell.ring(asked_at())
        written_into(asked_at())
    assert ask_ahead() == 1, "the latest is asked first, and what is after it would be told to nobody"
    with asking(kept=True):
        assert bell.ring(asked_at()) == 4
