"""The catch-up plan keeps every limit, gives its reasons, and is the best there is in small cases."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations

import numpy as np
import pytest

from tarsus.core.care.catch_limits import (
    COLD,
    HEAT,
    MOULT,
    NEST,
    REST_DAYS,
    CatchLimits,
    Session,
    Signed,
)
from tarsus.core.care.catch_up import (
    LEAST_WORTH,
    Candidate,
    CatchPlan,
    minutes_in_hand,
    plan_catch_up,
    prices,
)
from tarsus.core.care.duty import Duty, Urgency

FRIDAY = date(2026, 6, 12)
DAWN = Session(FRIDAY, starts_hour=5.25, high_c=22.0, chase_minutes=5.0)
LIMITS = CatchLimits(minutes=25.0, rest_days=21, too_hot_c=25.0, until_hour=7.0)


def job(kind: str, urgency: Urgency, bird: int = 0) -> Duty:
    return Duty(kind, bird, 1, "", f"{kind}.", "", None, urgency, "", True, "")


WORN, TIGHT = job("band worn", Urgency.WITH_NEXT_HANDLING), job("band tight", Urgency.NOW)
SAMPLE = job("sex sample", Urgency.WITH_NEXT_HANDLING)


def bird(number: int, *duties: Duty, minutes: float = 5.0, **more: object) -> Candidate:
    return replace(Candidate(number, f"bird {number}", duties, minutes), **more)  # type: ignore[arg-type]  # any field


def names(plan: CatchPlan) -> list[int]:
    return [chosen.bird for chosen in plan.chosen]


def why_not(plan: CatchPlan) -> dict[int, str]:
    return {out.bird: out.because for out in plan.left_out}


def test_what_is_worth_most_within_the_minutes_is_chosen() -> None:
    birds = [
        bird(1, WORN, SAMPLE, minutes=9),
        bird(2, TIGHT, minutes=9),
        bird(3, WORN, SAMPLE, WORN, minutes=9),
    ]
    plan = plan_catch_up(birds, DAWN, LIMITS)
    assert names(plan) == [2, 3]
    assert plan.minutes == 23.0
    assert why_not(plan) == {1: "does not fit into 25 minutes beside those chosen"}


def test_the_clock_starts_at_the_chase() -> None:
    birds = [bird(1, WORN, SAMPLE, minutes=10), bird(2, WORN, SAMPLE, minutes=10)]
    assert names(plan_catch_up(birds, DAWN, LIMITS)) == [1, 2]
    assert len(names(plan_catch_up(birds, replace(DAWN, chase_minutes=6.0), LIMITS))) == 1


def test_nobody_is_caught_for_one_tidy_thing() -> None:
    plan = plan_catch_up([bird(1, WORN), bird(2, WORN, SAMPLE), bird(3)], DAWN, LIMITS)
    assert names(plan) == [2]
    assert "only one tidy thing" in why_not(plan)[1]
    assert why_not(plan)[3] == "nothing due that needs the hand"
    assert plan.chosen[0].reasons == ("band worn.", "sex sample.")


def test_a_nest_forbids_the_whole_exhibit_unless_vet_and_lead_sign_a_reason() -> None:
    nested = replace(DAWN, nests=("Dulse and Yarrow, reed edge",))
    plan = plan_catch_up([bird(1, TIGHT)], nested, LIMITS)
    assert names(plan) == []
    assert plan.forbidden == ("A nest or brood forbids catching: Dulse and Yarrow, reed edge.",)
    signed = replace(nested, signed=(Signed(NEST, "the tight band cannot wait"),))
    plan = plan_catch_up([bird(1, TIGHT)], signed, LIMITS)
    assert names(plan) == [1]
    assert plan.lifted == ("nest or brood: the tight band cannot wait",)


def test_a_bird_in_moult_or_just_handled_stays_where_it_is() -> None:
    handled = FRIDAY - timedelta(days=20)
    birds = [bird(1, TIGHT, moulting=True), bird(2, TIGHT, last_handled_on=handled), bird(3, TIGHT)]
    plan = plan_catch_up(birds, DAWN, LIMITS)
    assert names(plan) == [3]
    assert why_not(plan) == {1: "in moult", 2: "in hand on 23 May; rests until 13 June"}
    ready = plan_catch_up([replace(birds[1], last_handled_on=handled - timedelta(days=1))], DAWN, LIMITS)
    assert names(ready) == [2]


def test_a_signed_reason_lifts_what_it_names_for_whom_it_names() -> None:
    birds = [bird(1, TIGHT, moulting=True), bird(2, TIGHT, moulting=True)]
    plan = plan_catch_up(birds, replace(DAWN, signed=(Signed(MOULT, "tight band", 1),)), LIMITS)
    assert names(plan) == [1]
    plan = plan_catch_up(birds, replace(DAWN, signed=(Signed(REST_DAYS, "tight band"),)), LIMITS)
    assert names(plan) == []


def test_a_hot_day_ends_the_catch_at_the_hour_and_so_does_a_day_nobody_forecast() -> None:
    birds = [bird(number, WORN, SAMPLE, minutes=10) for number in range(1, 5)]
    limits = replace(LIMITS, minutes=60.0)
    late = replace(DAWN, starts_hour=6.5)
    assert len(names(plan_catch_up(birds, late, limits))) == 4
    assert len(names(plan_catch_up(birds, replace(late, high_c=29.0), limits))) == 2
    assert len(names(plan_catch_up(birds, replace(late, high_c=None), limits))) == 2
    signed = replace(late, high_c=29.0, signed=(Signed(HEAT, "shaded house"),))
    assert len(names(plan_catch_up(birds, signed, limits))) == 4
    too_late = plan_catch_up(birds, replace(late, high_c=29.0, starts_hour=7.0), limits)
    assert too_late.forbidden == ("Too late in the day: 29 °C is forecast, and a catch is over by 07:00.",)


def test_mates_are_caught_together_or_not_at_all() -> None:
    pair = [bird(1, TIGHT, minutes=10, mate=2), bird(2, minutes=8, mate=1), bird(3, TIGHT, minutes=4)]
    plan = plan_catch_up(pair, DAWN, LIMITS)
    assert names(plan) == [3], "both mates do not fit beside the third"
    plan = plan_catch_up(pair[:2], DAWN, LIMITS)
    assert names(plan) == [1, 2]
    assert "With its mate" in plan.chosen[1].reasons[0]
    barred = [pair[0], replace(pair[1], moulting=True)]
    assert "its mate may not be caught" in why_not(plan_catch_up(barred, DAWN, LIMITS))[1]
    apart = plan_catch_up(pair, DAWN, replace(LIMITS, mates_together=False))
    assert names(apart) == [1, 3]


def test_a_bird_that_is_not_seen_is_searched_for_and_not_planned() -> None:
    plan = plan_catch_up([bird(1, TIGHT, unseen_days=3)], DAWN, LIMITS)
    assert why_not(plan) == {1: "unseen for 3 days: search first"}


def test_a_frost_forbids_the_catch_beside_the_heat() -> None:
    limits = replace(LIMITS, too_cold_c=2.0)
    birds = [bird(1, TIGHT)]
    frost = replace(DAWN, low_c=-1.0)
    plan = plan_catch_up(birds, frost, limits)
    assert names(plan) == []
    assert plan.forbidden == ("Too cold: -1 °C is forecast, and nobody is caught below 2 °C.",)
    assert names(plan_catch_up(birds, replace(frost, low_c=2.0), limits)) == [1]
    assert names(plan_catch_up(birds, frost, LIMITS)) == [1], "no limit was set"
    assert names(plan_catch_up(birds, DAWN, limits)) == [1], "a high of 22 and no low written"
    assert plan_catch_up(birds, replace(DAWN, high_c=1.0), limits).forbidden, (
        "even the warmest hour is too cold"
    )
    assert not plan_catch_up(birds, replace(DAWN, high_c=None), limits).forbidden
    signed = replace(frost, signed=(Signed(COLD, "indoors"),))
    assert names(plan_catch_up(birds, signed, limits)) == [1]
    assert names(plan_catch_up(birds, replace(frost, signed=(Signed(HEAT, "indoors"),)), limits)) == []


FOUR = [
    bird(1, TIGHT, minutes=10),
    bird(2, WORN, SAMPLE, minutes=10),
    bird(3, WORN, minutes=10),
    bird(4, minutes=3, moulting=True),
]


def test_the_lead_adds_a_bird_and_is_told_what_waits_for_it() -> None:
    assert names(plan_catch_up(FOUR, DAWN, LIMITS)) == [1, 2]
    plan = plan_catch_up(FOUR, DAWN, LIMITS, added=[3])
    assert names(plan) == [1, 3]
    assert plan.chosen[1].reasons == ("band worn.", "Added by the lead.")
    assert plan.changed is not None
    assert (plan.changed.worth_lost, plan.changed.minutes_more) == (1.0, 0.0)
    assert (plan.changed.wait, plan.changed.instead) == (("bird 2",), ())


def test_the_lead_takes_a_bird_out_and_its_mate_stays_out_as_well() -> None:
    plan = plan_catch_up(FOUR, DAWN, LIMITS, taken_out=[1])
    assert names(plan) == [2]
    assert why_not(plan)[1] == "taken out by the lead"
    assert plan.changed is not None
    assert (plan.changed.worth_lost, plan.changed.minutes_more) == (8.0, -10.0)
    pair = [bird(1, TIGHT, minutes=9, mate=2), bird(2, minutes=9, mate=1), bird(3, TIGHT, minutes=9)]
    plan = plan_catch_up(pair, replace(DAWN, chase_minutes=1.0), LIMITS, taken_out=[2])
    assert names(plan) == [3]
    assert plan_catch_up(pair[:2], DAWN, LIMITS, taken_out=[1, 2], added=[1]).chosen == ()


def test_what_bars_a_bird_bars_it_although_the_lead_adds_it() -> None:
    plan = plan_catch_up(FOUR, DAWN, LIMITS, added=[4])
    assert names(plan) == [1, 2]
    assert why_not(plan)[4] == "in moult"


def test_birds_that_were_added_and_do_not_fit_forbid_the_plan_by_their_minutes() -> None:
    pair = [bird(1, minutes=9, mate=2), bird(2, minutes=12, mate=1), bird(3, TIGHT, minutes=3)]
    plan = plan_catch_up(pair, DAWN, LIMITS, added=[1])
    assert names(plan) == []
    assert plan.forbidden == ("The birds that were added take 26 minutes with catching; 25 are allowed.",)
    assert why_not(plan)[3] == "nobody is caught"
    roomy = plan_catch_up(pair, DAWN, replace(LIMITS, minutes=26.0), added=[1])
    assert names(roomy) == [1, 2]


def test_every_change_has_its_price_before_it_is_made() -> None:
    told = {price.bird: price for price in prices(FOUR, DAWN, LIMITS)}
    assert sorted(told) == [1, 2, 3], "a bird in moult has none"
    assert [told[number].chosen for number in (1, 2, 3)] == [True, True, False]
    assert [told[number].changed.worth_lost for number in (1, 2, 3)] == [8.0, 2.0, 1.0]
    assert told[3].changed.wait == ("bird 2",)
    for number, price in told.items():
        wanted = {"taken_out": [number]} if price.chosen else {"added": [number]}
        assert plan_catch_up(FOUR, DAWN, LIMITS, **wanted).changed == price.changed


def best_by_trying_all(birds: list[Candidate], minutes: float) -> float:
    """Most that any allowed set of birds is worth, by trying every one."""
    best = 0.0
    for size in range(len(birds) + 1):
        for chosen in combinations(birds, size):
            inside = {c.bird for c in chosen}
            if sum(c.minutes for c in chosen) > minutes or any(
                c.mate and c.mate not in inside for c in chosen
            ):
                continue
            pairs = [(c.worth + sum(m.worth for m in chosen if m.bird == c.mate)) for c in chosen]
            if all(worth >= LEAST_WORTH for worth in pairs):
                best = max(best, sum(c.worth for c in chosen))
    return best


@pytest.mark.parametrize("seed", range(12))
def test_the_plan_is_the_best_of_all_there_are(seed: int) -> None:
    rng = np.random.default_rng(seed)
    birds = []
    for number in range(1, 10):
        urgencies = rng.choice(list(Urgency), size=rng.integers(0, 4))
        jobs = tuple(job("band worn", Urgency(int(urgency))) for urgency in urgencies)
        mate = {1: 2, 2: 1, 5: 6, 6: 5}.get(number)
        birds.append(bird(number, *jobs, minutes=float(rng.integers(2, 9)), mate=mate))
    plan = plan_catch_up(birds, DAWN, LIMITS)
    assert plan.worth == pytest.approx(best_by_trying_all(birds, LIMITS.minutes - DAWN.chase_minutes))
    assert plan.minutes <= LIMITS.minutes


def test_more_jobs_take_longer_in_hand() -> None:
    assert minutes_in_hand([]) < minutes_in_hand([WORN]) < minutes_in_hand([WORN, TIGHT])


def test_taking_a_second_metal_off_takes_as_long_as_moving_one() -> None:
    assert minutes_in_hand([job("two metals on a leg", Urgency.SOON)]) == 5.0
