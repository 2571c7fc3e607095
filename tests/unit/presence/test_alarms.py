"""A standing alarm stands: who takes it back, and how long an excuse holds."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from tarsus.core.presence.excuses import Excuse, excused, excused_days, run_out
from tarsus.core.presence.flock_state import FlockState, empty_flock, with_birds
from tarsus.core.presence.fold import RoundRules, RoundTold, advance
from tarsus.core.presence.group import GroupEase
from tarsus.core.presence.witnesses import CLEARS, Look, witnesses

RULES = RoundRules(loss=0.001, max_unseen_days=3)
DAY_ONE = 739000
ONE_READING = 1
PHOTOGRAPHS = 0


def alarmed() -> FlockState:
    """Two birds; the first was missed for four days and is searched for."""
    state = with_birds(empty_flock(GroupEase(2.0, 0.5, 0.3)), ["gone", "here"])
    for day, look in enumerate([1.0, 1.0, 0.0, 0.0, 0.0, 0.0]):
        state, _ = advance(state, RoundTold(DAY_ONE + day, np.array([look, 1.0])), RULES)
    assert state.worst.tolist() == [2, 0]
    return state


def read(
    state: FlockState, day: int, witnesses: int, *, hour: float = 8.0, casual: bool = False
) -> FlockState:
    """The first bird is read, the second seen by eye."""
    told = RoundTold(
        DAY_ONE + day, np.array([1.0, 1.0]), casual, hour, witnesses=np.array([witnesses, CLEARS])
    )
    return advance(state, told, RULES)[0]


def test_one_reading_never_takes_an_alarm_back() -> None:
    state = alarmed()
    once = read(state, 6, ONE_READING)
    assert once.worst[0] == 2
    assert once.seen_on[0] == DAY_ONE + 1
    assert state.still_here()[0] < once.still_here()[0] < 1.0


@pytest.mark.parametrize(
    ("second", "cleared"),
    [((6, 8.4), False), ((6, 8.5), True), ((13, 8.0), True), ((13, 8.5), False)],
    ids=["within the half hour", "half an hour later", "a week later", "too long after"],
)
def test_two_readings_at_different_times_take_it_back(second: tuple[int, float], cleared: bool) -> None:
    once = read(alarmed(), 6, ONE_READING)
    day, hour = second
    assert bool(read(once, day, ONE_READING, hour=hour).worst[0] == 0) is cleared


def test_readings_that_are_always_too_close_keep_the_first_one_s_time() -> None:
    state = alarmed()
    for minute in (0, 20):
        state = read(state, 6, ONE_READING, hour=8.0 + minute / 60.0, casual=True)
    assert state.worst[0] == 2
    assert read(state, 6, ONE_READING, hour=8.0 + 40 / 60.0, casual=True).worst[0] == 0


@pytest.mark.parametrize("reading_before", [False, True])
def test_photographs_alone_take_no_alarm_back_nor_help_a_reading(reading_before: bool) -> None:
    state = read(alarmed(), 6, ONE_READING) if reading_before else alarmed()
    for day in (7, 8, 9):
        state = read(state, day, PHOTOGRAPHS)
    assert (state.worst[0], state.seen_on[0]) == (2, DAY_ONE + 1)
    assert bool(read(state, 10, ONE_READING).worst[0] == 0) is reading_before


def test_a_photograph_takes_back_no_alarm_that_days_alone_raised() -> None:
    state = with_birds(empty_flock(), ["A01", "A02"])
    state, _ = advance(state, RoundTold(DAY_ONE, np.array([1.0, 1.0])), RULES)
    forgotten, _ = advance(state, RoundTold(DAY_ONE + 5, np.array([np.nan, 1.0])), RULES)
    assert (forgotten.worst[0], forgotten.missed[0]) == (2, 0)
    assert read(forgotten, 5, PHOTOGRAPHS, hour=9.0).worst[0] == 2
    assert read(forgotten, 5, ONE_READING, hour=9.0).worst[0] == 0


def test_two_people_s_readings_a_known_face_or_a_hand_take_it_back_at_once() -> None:
    cleared = read(alarmed(), 6, CLEARS)
    assert (cleared.worst[0], cleared.missed[0], cleared.still_here()[0]) == (0, 0, 1.0)


def test_one_reading_is_enough_for_a_bird_that_nobody_missed() -> None:
    state = with_birds(empty_flock(), ["A01", "A02"])
    state, _ = advance(state, RoundTold(DAY_ONE, np.array([1.0, 1.0])), RULES)
    forgotten, _ = advance(state, RoundTold(DAY_ONE + 5, np.array([np.nan, 1.0])), RULES)
    assert forgotten.worst[0] == 2, "days count although nobody looked"
    assert read(forgotten, 6, ONE_READING).worst[0] == 0


def missed_once() -> FlockState:
    """Two birds, both seen on a day; the first was missed on the next, and then nobody called."""
    state = with_birds(empty_flock(), ["gone", "here"])
    for day, look in enumerate([1.0, 0.0]):
        state, _ = advance(state, RoundTold(DAY_ONE + day, np.array([look, 1.0])), RULES)
    assert state.worst[0] < 2
    return state


@pytest.mark.parametrize(
    ("day", "excused", "cleared"),
    [(3, False, True), (4, False, False), (4, True, False)],
    ids=["on the day of its limit", "a day after", "told to be elsewhere on that day"],
)
def test_one_reading_takes_back_no_alarm_that_days_raised_for_a_bird_that_was_missed(
    day: int, excused: bool, cleared: bool
) -> None:
    told = RoundTold(
        DAY_ONE + day,
        np.array([1.0, 1.0]),
        elsewhere=np.array([int(excused), 0]),
        elsewhere_now=np.array([excused, False]),
        witnesses=np.array([ONE_READING, CLEARS]),
    )
    read_once, _ = advance(missed_once(), told, RULES)
    assert read_once.worst[0] == (0 if cleared else 2)
    assert bool(read_once.seen_on[0] == DAY_ONE + day) is cleared


def test_a_day_that_runs_is_unseen_once_a_roll_of_it_was_called() -> None:
    looks = np.array([np.nan, 1.0])
    by_chance, _ = advance(missed_once(), RoundTold(DAY_ONE + 3, looks, casual=True), RULES)
    assert by_chance.worst[0] < 2
    missed, _ = advance(by_chance, RoundTold(DAY_ONE + 3, np.array([0.0, 1.0]), hour=12.0), RULES)
    assert missed.worst[0] == 2
    next_day, _ = advance(missed_once(), RoundTold(DAY_ONE + 4, looks, casual=True), RULES)
    assert next_day.worst[0] == 2


def test_an_alarm_stands_while_the_bird_is_elsewhere() -> None:
    state = alarmed()
    for day in range(6, 12):
        told = RoundTold(DAY_ONE + day, np.array([np.nan, 1.0]), elsewhere=np.array([1, 0]))
        state, _ = advance(state, told, RULES)
    assert state.worst[0] == 2
    assert state.unseen_days()[0] == 4, "days elsewhere are not counted"


def nest(from_on: int, told_on: int, to_on: int | None = None, why: str = "nest-sitting") -> Excuse:
    first = date(2026, 5, 1)
    return Excuse(
        7,
        None,
        first + timedelta(days=from_on),
        None if to_on is None else first + timedelta(days=to_on),
        why,
        first + timedelta(days=told_on),
    )


@pytest.mark.parametrize(
    ("excuse", "first", "last"),
    [
        (nest(0, 0), 0, 41),
        (nest(0, 0, why="off-show"), 0, 13),
        (nest(0, 5), 5, 46),
        (nest(9, 5), 9, 50),
        (nest(0, 5, 20), 5, 19),
    ],
    ids=["six weeks", "a fortnight", "from when it was said", "from when it begins", "until it is ended"],
)
def test_a_word_holds_from_when_it_was_said_until_it_runs_out(excuse: Excuse, first: int, last: int) -> None:
    holds = [day for day in range(80) if excuse.holds(date(2026, 5, 1) + timedelta(days=day))]
    assert holds == list(range(first, last + 1))


def test_what_ran_out_is_asked_for_again_and_what_was_ended_is_not() -> None:
    day = date(2026, 7, 1)
    assert run_out([nest(0, 0)], day) == nest(0, 0)
    assert run_out([nest(0, 0, 30)], day) is None
    assert run_out([nest(0, 0), nest(50, 50)], day) is None
    assert excused([nest(0, 0), nest(50, 50)], day) == "nest-sitting"


def test_excused_days_are_counted_after_one_day_and_with_the_other() -> None:
    first = date(2026, 5, 1)
    assert excused_days([nest(3, 3, 6)], first + timedelta(days=3), first + timedelta(days=9)) == 2
    assert excused_days([nest(3, 3, 6), nest(4, 4, 8)], first, first + timedelta(days=9)) == 5
    assert excused_days([], first, first + timedelta(days=9)) == 0


TILDA, OSWIN = 1, 2
SEVEN = datetime(2026, 6, 1, 7, tzinfo=UTC)


def read_at(minute: int, by: int) -> Look:
    return Look(SEVEN + timedelta(minutes=minute), by, known=False)


@pytest.mark.parametrize(
    ("looks", "independent"),
    [
        ([read_at(0, TILDA)], 1),
        ([read_at(0, TILDA), read_at(29, TILDA)], 1),
        ([read_at(30, TILDA), read_at(0, TILDA)], 2),
        ([read_at(0, TILDA), read_at(1, OSWIN)], 2),
        ([read_at(0, TILDA), read_at(20, TILDA), read_at(40, TILDA)], 2),
    ],
)
def test_independent_readings_are_two_people_s_or_half_an_hour_apart(
    looks: list[Look], independent: int
) -> None:
    assert witnesses(looks) == independent


def test_a_bird_known_by_sight_needs_no_second_look() -> None:
    assert witnesses([Look(SEVEN, TILDA, known=True)]) == CLEARS


def test_an_alarm_stands_when_the_model_believes_the_bird_is_here_again() -> None:
    """No floor: only the chance raised it, and doubtful sightings make the chance all but certain."""
    rules = RoundRules(loss=0.01, max_unseen_days=1000)
    state = with_birds(empty_flock(GroupEase(3.0, 0.3, 0.3)), ["gone", "here"])
    for day, look in enumerate([1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.98, 0.98, 0.98]):
        state, _ = advance(state, RoundTold(DAY_ONE + day, np.array([look, 1.0])), rules)
        assert day != 5 or state.worst[0] == 2
    assert state.still_here()[0] > 0.95
    assert state.worst[0] == 2
