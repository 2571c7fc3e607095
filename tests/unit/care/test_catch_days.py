"""One word a day for the fortnight: open, nest, too warm, too cold, resting, none may, can wait, none due."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tarsus.core.care.catch_days import CatchDay, catch_day
from tarsus.core.care.catch_limits import HEAT, NEST, CatchLimits, Session, Signed
from tarsus.core.care.catch_up import Candidate
from tarsus.core.care.duty import Duty, Urgency

FRIDAY = date(2026, 6, 12)
TIGHT = Duty("band tight", 1, 1, "", "Tight.", "", None, Urgency.NOW, "", True, "")
KELP = Candidate(1, "Kelp", (TIGHT,), 5.0)
DAWN = Session(FRIDAY, starts_hour=5.25, high_c=22.0, chase_minutes=5.0)
LIMITS = CatchLimits(minutes=25.0, rest_days=21, too_hot_c=25.0, until_hour=9.0, too_cold_c=2.0)


def test_each_day_has_the_word_of_what_stands_in_the_way() -> None:
    told = {
        "open": DAWN,
        "nest": replace(DAWN, nests=("nest 3",)),
        "too cold": replace(DAWN, low_c=1.0),
        "too warm": replace(DAWN, high_c=30.0, starts_hour=8.95),
    }
    assert {word: catch_day([KELP], session, LIMITS).state for word, session in told.items()} == {
        word: word for word in told
    }
    both = replace(DAWN, nests=("nest 3",), low_c=1.0)
    assert catch_day([KELP], both, LIMITS).state == "nest"
    signed = replace(both, signed=(Signed(NEST, "a tight band"),))
    assert catch_day([KELP], signed, LIMITS).state == "too cold", "one signature lifts one limit"


def test_a_bird_that_rests_makes_a_resting_day_and_one_without_work_none() -> None:
    handled = replace(KELP, last_handled_on=date(2026, 6, 1))
    assert catch_day([handled], DAWN, LIMITS).state == "resting"
    assert catch_day([replace(handled, rest_days=10)], DAWN, LIMITS) == CatchDay(FRIDAY, "open", 1)
    assert catch_day([replace(handled, duties=())], DAWN, LIMITS).state == "nobody due"
    tidy = replace(TIGHT, kind="band worn", urgency=Urgency.WITH_NEXT_HANDLING)
    assert catch_day([replace(KELP, duties=(tidy,))], DAWN, LIMITS).state == "can wait"


def test_an_urgent_bird_that_may_not_be_caught_does_not_read_as_one_that_can_wait() -> None:
    moulting, long = replace(KELP, moulting=True), replace(KELP, minutes=40.0)
    missed = replace(KELP, unseen_days=3)
    told = [catch_day([one], DAWN, LIMITS).state for one in (moulting, long, missed)]
    assert told == ["none may be caught"] * 3
    tidy = replace(moulting, duties=(replace(TIGHT, urgency=Urgency.WITH_NEXT_HANDLING),))
    assert catch_day([tidy], DAWN, LIMITS).state == "can wait"


def test_a_day_that_is_or_may_be_hot_is_open_early_only() -> None:
    hot = replace(DAWN, high_c=30.0, starts_hour=8.75)
    assert catch_day([KELP], hot, LIMITS) == CatchDay(FRIDAY, "open", 1, early=True)
    assert catch_day([KELP], replace(hot, high_c=None), LIMITS).early
    assert not catch_day([KELP], replace(hot, signed=(Signed(HEAT, "indoors"),)), LIMITS).early
