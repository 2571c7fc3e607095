"""A weight is held against the bird's own usual one, a slow decline against three years."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from published_checks import published
from tarsus.core.care.decline import decline_until, months_before
from tarsus.core.care.weight_told import (
    NOTHING,
    TELL_VET,
    WEIGH_AGAIN,
    Yardstick,
    judged,
    last_alarm,
    weigh_up,
    weights_told,
    yardstick,
)
from tarsus.core.care.weights import Weight, WeightLimits, reference_for

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


def advice(*weights: Weight, limits: WeightLimits = LIMITS) -> str:
    told = weigh_up([*USUAL, *weights], limits)
    assert told is not None
    return told.prompt


def test_hours_on_both_sides_of_midnight_are_near_each_other() -> None:
    night = [
        replace(weighed(40 + day, 320.0), at=datetime(2026, 4, 2 + day, 23, 10, tzinfo=UTC))
        for day in range(3)
    ]
    noon = [
        replace(weighed(40 + day, 340.0), at=datetime(2026, 4, 12 + day, 12, 10, tzinfo=UTC))
        for day in range(4)
    ]
    told = reference_for(Weight(datetime(2026, 6, 11, 1, 30, tzinfo=UTC), 306, "in hand"), [*night, *noon])
    assert told is not None
    assert (told.usual_g, told.weights) == (320.0, 3)
    assert told.alike_in == "same scale, time of day and fed alike"
    # Six hours apart is another time of day: all seven count, 320 three times and 340 four times.
    early = reference_for(Weight(datetime(2026, 6, 11, 5, 30, tzinfo=UTC), 306, "in hand"), [*night, *noon])
    assert early is not None
    assert (early.usual_g, early.weights) == (340.0, 7)


def test_the_last_fortnight_is_no_part_of_the_usual_weight() -> None:
    lately = [weighed(13.9 - day, 290.0) for day in range(7)]
    told = reference_for(weighed(0, 306), [*USUAL, *lately])
    assert told is not None
    assert (told.usual_g, told.weights) == (333, 6)
    settled = reference_for(weighed(0, 306), [*USUAL, weighed(14, 290.0)])
    assert settled is not None
    assert settled.weights == 7


def test_a_bird_that_is_seldom_weighed_is_held_against_three_years() -> None:
    half_yearly = [weighed(183 * times, grams) for times, grams in enumerate((291, 300, 306), start=1)]
    told = reference_for(weighed(0, 306), half_yearly)
    assert told is not None
    assert (told.usual_g, told.weights, told.years) == (300, 3, 3)
    assert reference_for(weighed(0, 306), half_yearly[:2]) is None
    older = [*half_yearly[:2], weighed(3 * 365 + 1, 306)]
    assert reference_for(weighed(0, 306), older) is None
    # Three of this year are enough: then the years before say nothing.
    this_year = [weighed(60 * times, 280) for times in (1, 2, 3)]
    recent = reference_for(
        weighed(0, 306), [*half_yearly[2:], weighed(700, 306), weighed(701, 306), *this_year]
    )
    assert recent is not None
    assert (recent.usual_g, recent.weights, recent.years) == (280, 3, 1)


@pytest.mark.parametrize("case", published("weight_cases")["cases"])
def test_a_weight_says_what_the_published_case_says(case: dict[str, Any]) -> None:
    limits = WeightLimits(**(published("weight_cases")["limits"] | case.get("limits", {})))
    months = tuple((days, grams) for days, grams in case.get("months", []))
    held_against = Yardstick(case["usual_g"], months, case.get("side_before", 0), case.get("before_g"))
    said = judged(case["grams"], case.get("moulting", False), held_against, limits)
    assert (said.prompt, said.side) == (case["prompt"], case["side"])
    assert said.change_percent == (
        None if case["percent"] is None else pytest.approx(case["percent"], abs=1e-9)
    )
    assert said.sentence == case.get("says", said.sentence)


def test_a_wasting_bird_reaches_the_vet_however_rarely_it_is_weighed() -> None:
    """The bird of the complaint: 270, 255, 240, 225, 200 g a month apart on a usual 300 g."""
    year = [weighed(150 + 30 * month, 300.0) for month in range(1, 12)]
    wasting = [weighed(30 * (4 - month), grams) for month, grams in enumerate((270, 255, 240, 225, 200))]
    told = weights_told([*year, *wasting], LIMITS)[-5:]
    assert [one.prompt for one in told] == [TELL_VET] * 5
    assert told[0].sentence == "10 % under its own usual 300 g. Tell the vet today, and weigh again."


def test_two_light_weighings_in_a_row_tell_the_vet_whatever_lies_between() -> None:
    assert advice(weighed(0, 306)) == WEIGH_AGAIN
    assert advice(weighed(2, 306), weighed(0, 310)) == TELL_VET
    assert advice(weighed(29, 306), weighed(0, 306)) == TELL_VET
    assert advice(weighed(29, 306), weighed(15, 331), weighed(0, 306)) == WEIGH_AGAIN
    assert advice(weighed(2, 306), weighed(0, 330)) == NOTHING


def test_a_second_weighing_in_the_other_direction_confirms_nothing() -> None:
    told = weights_told([*USUAL, weighed(3, 370), weighed(0, 306)], LIMITS)[-2:]
    assert [one.side for one in told] == [1, -1]
    assert [one.prompt for one in told] == [TELL_VET, WEIGH_AGAIN]  # 370 is over by 11 per cent
    assert advice(weighed(3, 306), weighed(0, 355)) == NOTHING


def test_a_heavy_bird_is_told_at_the_alarm_and_not_at_the_prompt() -> None:
    assert advice(weighed(0, 333 * 1.06)) == NOTHING
    assert advice(weighed(2, 333 * 1.06), weighed(0, 333 * 1.07)) == NOTHING
    assert advice(weighed(0, 333 * 1.11)) == TELL_VET


def test_each_weight_is_judged_by_what_was_known_when_it_was_taken() -> None:
    told = weights_told([*USUAL, weighed(0, 306)], LIMITS)
    assert [one.change_percent for one in told[:3]] == [None, None, None]
    assert told[0].weight.at == TODAY - timedelta(days=180)
    # The fourth against the median of the three before it: 340, 331, 333.
    assert told[3].reference is not None
    assert told[3].reference.usual_g == 333
    assert told[3].change_percent == pytest.approx(100 * (336 / 333 - 1))


def test_only_the_latest_are_judged_where_only_those_are_asked_for() -> None:
    weights = [*USUAL, weighed(9, 306), weighed(5, 330), weighed(0, 306)]
    told = weights_told(weights, LIMITS)
    for last in range(len(weights) + 2):
        assert weights_told(weights, LIMITS, last=last) == told[max(0, len(told) - last) :]


def test_an_alarm_stands_whatever_is_weighed_after_it() -> None:
    weights = [*USUAL, weighed(6, 306), weighed(4, 305), weighed(0, 333)]
    alarm = last_alarm(weights_told(weights, LIMITS), TODAY.date() - timedelta(days=10))
    assert alarm is not None
    assert alarm.weight.grams == 305
    assert last_alarm(weights_told(weights, LIMITS), TODAY.date() - timedelta(days=4)) is not None
    assert last_alarm(weights_told(weights, LIMITS), TODAY.date() - timedelta(days=3)) is None


@pytest.mark.parametrize("every", [1, 7, 30, 91, 183, 300, 365, 400])
@pytest.mark.parametrize("steady", [0, 400])
def test_ten_per_cent_in_two_years_are_told_before_twelve_at_any_sampling(every: int, steady: int) -> None:
    days = range(0, steady + 1100, every)
    weights = [
        Weight(
            datetime(2023, 1, 2, 7, tzinfo=UTC) + timedelta(days=day),
            300 - 30 * max(0, day - steady) / 730,
            "perch",
        )
        for day in days
    ]
    told = weights_told(weights, LIMITS)
    first = next(one for one in told if one.prompt != NOTHING)
    assert 300 * 0.88 < first.weight.grams < 300 * 0.96
    vet = next(one for one in told if one.prompt == TELL_VET)
    assert vet.weight.grams > 300 * 0.88 or every > 183


def test_half_a_per_cent_a_month_is_named_by_seven_and_a_half() -> None:
    """The floor of the methods that were tried before: docs/science/weights.md has it with scatter."""
    weights = [weighed(30 * (30 - month), 300 * (1 - 0.005 * month)) for month in range(30)]
    told = weights_told(weights, LIMITS)
    first = next(at for at, one in enumerate(told) if one.prompt != NOTHING)
    assert 8 <= first <= 13
    assert "Falling for" in told[first].sentence
    assert "under the 300 g it began with" in told[first].sentence


def test_a_recovered_bird_is_not_told_of_its_decline_again() -> None:
    falling = [weighed(30 * month, 270 + 3 * month) for month in range(1, 11)]
    months = months_before(weighed(0, 300), falling)
    assert decline_until(267, months) is not None
    told = weigh_up([*falling, weighed(0, 296)], LIMITS)
    assert told is not None
    assert told.prompt == NOTHING


def test_months_say_the_same_however_often_a_bird_was_weighed() -> None:
    daily = [weighed(day, 270 + 0.1 * day) for day in range(1, 300)]
    monthly = months_before(weighed(0, 270), daily)
    assert len(monthly) == 10
    assert monthly[0][0] > monthly[-1][0]
    for days, grams in monthly:
        assert grams == pytest.approx(270 + 0.1 * days)
    assert months_before(weighed(0, 270), [replace(one, moulting=True) for one in daily]) == ()
    later = [replace(one, at=one.at + timedelta(days=400)) for one in daily]
    assert months_before(weighed(0, 270), later) == ()
    # Another scale is left out where the same one was used for long enough.
    other = [weighed(day + 0.5, 900.0, scale="hanging") for day in range(1, 300)]
    assert months_before(weighed(0, 270), [*daily, *other]) == monthly


def test_what_a_phone_is_given_says_what_the_register_would_say() -> None:
    weights = [*USUAL, weighed(9, 306)]
    given = yardstick(weighed(0, 0.0), weights, LIMITS)
    assert (given.usual_g, given.side_before) == (333, -1)
    said = judged(305, False, given, LIMITS)
    told = weigh_up([*weights, weighed(0, 305)], LIMITS)
    assert told is not None
    assert (said.prompt, said.sentence) == (told.prompt, told.sentence)
    assert yardstick(weighed(0, 0.0), [], LIMITS) == Yardstick(None)


def test_a_bird_fattening_for_its_moult_alarms_nobody_and_a_starving_one_does() -> None:
    assert advice(weighed(0, 450, moulting=True)) == NOTHING
    assert advice(weighed(0, 306, moulting=True)) == NOTHING
    assert advice(weighed(0, 290, moulting=True)) == TELL_VET


def test_a_bird_of_one_or_two_weights_is_held_against_those_where_it_loses() -> None:
    told = weights_told([weighed(400, 300), weighed(30, 240), weighed(0, 238)], LIMITS)
    assert [one.prompt for one in told] == [NOTHING, TELL_VET, TELL_VET]
    assert [one.change_percent for one in told] == [None] * 3, "two are no usual weight yet"
    assert "20 % under the 300 g it weighed before" in told[1].sentence
    # Of the last fortnight, in moult, or older than three years: nothing to be held against.
    for other in (weighed(13, 300), weighed(30, 300, moulting=True), weighed(1100, 300)):
        assert weights_told([other, weighed(0, 240)], LIMITS)[-1].prompt == NOTHING
    # The nearest kind of which there is any.
    hanging = weighed(30, 250.0, scale="hanging")
    assert weights_told([hanging, weighed(40, 300), weighed(0, 250)], LIMITS)[-1].prompt == TELL_VET
    assert weights_told([hanging, weighed(0, 250)], LIMITS)[-1].prompt == NOTHING
    chick = [weighed(20 * (4 - week), 100.0 * 1.3**week) for week in range(3)]
    assert {one.prompt for one in weights_told(chick, LIMITS)} == {NOTHING}


def test_the_vet_s_percentages_are_the_limits() -> None:
    assert advice(weighed(0, 306), limits=replace(LIMITS, prompt_percent=9.0)) == NOTHING
    assert advice(weighed(0, 323), limits=replace(LIMITS, prompt_percent=3.0)) == WEIGH_AGAIN
    assert advice(weighed(0, 306), limits=replace(LIMITS, alarm_percent=8.0)) == TELL_VET


def test_a_bird_without_a_usual_weight_is_held_against_its_species_range() -> None:
    limits = replace(LIMITS, low_g=228.0, high_g=435.0)
    low = weigh_up([weighed(0, 210)], limits)
    assert low is not None
    assert low.prompt == WEIGH_AGAIN
    fine = weigh_up([weighed(0, 240)], limits)
    assert fine is not None
    assert fine.prompt == NOTHING
    assert weigh_up([], limits) is None
    # The first weight of all has none before it that it could confirm.
    assert [one.prompt for one in weights_told([weighed(0, 440)], limits)] == [WEIGH_AGAIN]


@settings(max_examples=40)
@given(grams=st.lists(st.integers(250, 350), min_size=2, max_size=12), days=st.integers(1, 200))
def test_two_weights_out_of_bounds_on_one_side_never_pass_without_the_vet(
    grams: list[int], days: int
) -> None:
    told = weights_told([weighed(days * (20 - at), value) for at, value in enumerate(grams)], LIMITS)
    for one, other in pairwise(told):
        assert (other.prompt == NOTHING) == (other.side == 0)
        if one.side == other.side != 0:
            assert other.prompt == TELL_VET
        if other.change_percent is not None and abs(other.change_percent) > 10.0:
            assert other.prompt == TELL_VET
