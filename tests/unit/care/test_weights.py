"""A weight is held against the bird's own usual one, and nobody is alarmed by a single weighing."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarsus.core.care.weights import (
    NOTHING,
    TELL_VET,
    WEIGH_AGAIN,
    Weight,
    WeightLimits,
    reference_for,
    weigh_up,
)

TODAY = datetime(2026, 6, 11, 6, 40, tzinfo=UTC)
LIMITS = WeightLimits()


def weighed(days_ago: float, grams: float, *, scale: str = "in hand", hours: int = 0, **more: bool) -> Weight:
    return Weight(TODAY - timedelta(days=days_ago) + timedelta(hours=hours), grams, scale, **more)


USUAL = [weighed(30 * month, grams) for month, grams in enumerate((330, 333, 336, 333, 331, 340), start=1)]


def test_the_usual_weight_is_the_median_outside_moult() -> None:
    in_moult = [weighed(100, 500.0, moulting=True), weighed(101, 510.0, moulting=True)]
    reference = reference_for(weighed(0, 306), [*USUAL, *in_moult])
    assert reference is not None
    assert reference.usual_g == 333
    # Deviations 3 0 3 0 2 7: their median 2.5, times 1.4826.
    assert reference.spread_g == pytest.approx(1.4826 * 2.5)
    assert reference.weights == 6


def test_like_is_held_against_like_where_there_is_enough() -> None:
    perch = [weighed(40 + day, 320.0, scale="perch", fed=False) for day in range(3)]
    told = reference_for(weighed(0, 306, scale="perch", fed=False), [*USUAL, *perch])
    assert told is not None
    assert told.usual_g == 320.0
    assert told.alike_in == "same scale, time of day and fed alike"
    few = reference_for(weighed(0, 306, scale="perch", fed=False), [*USUAL, *perch[:2]])
    assert few is not None
    assert few.alike_in == "any scale"


def test_a_fed_bird_is_not_held_against_a_fasting_one() -> None:
    fed = [weighed(40 + day, 350.0, fed=True) for day in range(3)]
    fasting = [weighed(50 + day, 330.0, fed=False) for day in range(3)]
    told = reference_for(weighed(0, 340, fed=True), [*fed, *fasting])
    assert told is not None
    assert told.usual_g == 350.0


def test_one_light_weighing_asks_to_weigh_again() -> None:
    told = weigh_up([*USUAL, weighed(0, 306)], LIMITS)
    assert told is not None
    assert told.prompt == WEIGH_AGAIN
    assert told.sentence == "8 % under its own usual 333 g. Weigh again. If it holds, tell the vet today."


def test_even_a_very_light_one_is_weighed_again_first() -> None:
    told = weigh_up([*USUAL, weighed(0, 250)], LIMITS)
    assert told is not None
    assert told.prompt == WEIGH_AGAIN


def test_a_second_light_weighing_tells_the_vet() -> None:
    told = weigh_up([*USUAL, weighed(2, 306), weighed(0, 310)], LIMITS)
    assert told is not None
    assert told.prompt == TELL_VET


def test_a_second_weighing_that_is_fine_takes_it_back() -> None:
    told = weigh_up([*USUAL, weighed(2, 306), weighed(0, 330)], LIMITS)
    assert told is not None
    assert told.prompt == NOTHING


def test_a_light_weighing_of_last_month_confirms_nothing() -> None:
    told = weigh_up([*USUAL, weighed(20, 306), weighed(0, 306)], LIMITS)
    assert told is not None
    assert told.prompt == WEIGH_AGAIN


def test_a_slow_decline_is_told_although_every_step_is_small() -> None:
    steps = [weighed(180 - 7 * week, 333 * 0.996**week) for week in range(26)]
    told = weigh_up(steps, LIMITS)
    assert told is not None
    assert told.prompt != NOTHING


def test_a_bird_fattening_for_its_moult_alarms_nobody_and_a_starving_one_does() -> None:
    fat = weigh_up([*USUAL, weighed(0, 450, moulting=True)], LIMITS)
    assert fat is not None
    assert fat.prompt == NOTHING
    thin = weigh_up([*USUAL, weighed(0, 290, moulting=True)], LIMITS)
    assert thin is not None
    assert thin.prompt == WEIGH_AGAIN
    assert "for the vet to say" in thin.sentence


def test_the_vet_s_percentages_are_the_limits() -> None:
    light = [*USUAL, weighed(0, 306)]
    lax = weigh_up(light, replace(LIMITS, prompt_percent=9.0))
    assert lax is not None
    assert lax.prompt == NOTHING
    strict = weigh_up([*USUAL, weighed(0, 323)], replace(LIMITS, prompt_percent=3.0))
    assert strict is not None
    assert strict.prompt == WEIGH_AGAIN


def test_a_bird_without_a_usual_weight_is_held_against_its_species_range() -> None:
    limits = replace(LIMITS, low_g=228.0, high_g=435.0)
    low = weigh_up([weighed(0, 210)], limits)
    assert low is not None
    assert low.prompt == WEIGH_AGAIN
    fine = weigh_up([weighed(0, 240)], limits)
    assert fine is not None
    assert fine.prompt == NOTHING


@given(grams=st.lists(st.floats(50, 5000), min_size=1, max_size=12), days=st.integers(15, 40))
def test_no_single_weighing_ever_alarms_the_vet(grams: list[float], days: int) -> None:
    """With more than a fortnight between any two weighings there is no second one, whatever they say."""
    told = weigh_up([weighed(days * at, value) for at, value in enumerate(grams)], LIMITS)
    assert told is not None
    assert told.prompt != TELL_VET
