"""What pages say of a nest, of a catch and of a weight."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from tarsus.core.care.catch_limits import CatchLimits
from tarsus.core.care.catching_said import catch_said, forecast_said, limits_said
from tarsus.core.care.nests import Found, NestStanding, nest_standing
from tarsus.core.care.nests_said import became_said, nest_said
from tarsus.core.care.weight_rests import asked_again, rests_on, weights_shown
from tarsus.core.care.weight_told import WeightTold
from tarsus.core.care.weights import Reference, Weight

MAY = date(2026, 5, 3)


def found(*told: tuple[str, int]) -> NestStanding:
    return nest_standing([Found(MAY, kind, amount) for kind, amount in told])


@pytest.mark.parametrize(
    ("now", "said"),
    [
        (NestStanding(), "Nothing in it by the record."),
        (NestStanding(eggs=1), "1 egg."),
        (NestStanding(eggs=4, laid_on=MAY), "4 eggs, last laid 3 May."),
        (
            NestStanding(eggs=1, chicks=3, hatched=3, hatched_on=MAY, failed=1),
            "1 egg. 3 unbanded chicks with their parents, hatched 3 May. 1 lost.",
        ),
        (NestStanding(chicks=1, hatched=1), "1 unbanded chick with its parents."),
        (
            NestStanding(chicks=3, hatched=3, fledged=1, flown=1),
            "2 unbanded chicks with their parents; 1 fledged.",
        ),
        (NestStanding(chicks=2, hatched=2, fledged=2, flown=2, hatched_on=MAY), "2 fledged, hatched 3 May."),
    ],
)
def test_a_nest_says_what_is_in_it(now: NestStanding, said: str) -> None:
    assert nest_said(now) == said


def test_a_nest_that_failed_says_when_and_how_many_and_what_was_noted() -> None:
    lost = nest_standing([Found(MAY, "eggs", 3), Found(MAY, "failed", 3, "a crow was seen.")])
    assert nest_said(lost, date(2026, 5, 4)) == "Failed 3 May, 3 lost. a crow was seen. Over since 4 May."


def test_every_chick_that_hatched_has_its_fate_said_and_no_fate_without_a_chick() -> None:
    fates = [("with their parents", 2), ("banded", 1), ("vanished", 0)]
    assert became_said(3, fates, 1) == "Of 3 hatched: 2 with their parents, 1 banded (1 on the roll)."
    assert became_said(0, [("banded", 0)], 0) == ""


LIMITS = CatchLimits(minutes=20.0, rest_days=21, too_hot_c=25.0, until_hour=9.0)


def test_a_proposal_says_its_minutes_against_those_allowed() -> None:
    assert catch_said(1, date(2026, 11, 29), "05:15", 17.5, 20.0) == (
        "bird on Sunday 29 November, from 05:15: 17.5 of 20 minutes from the start of catching."
    )
    assert catch_said(2, date(2026, 11, 29), "05:15", 18.0, 20.0).startswith("birds on ")


def test_heat_and_a_forecast_that_nobody_wrote_end_a_catch_early() -> None:
    assert forecast_said(1.0, None, 25.0, "09:00") == "1 °C forecast."
    assert forecast_said(20.5, -2.0, 25.0, "09:00") == "20.5 °C forecast, -2 °C at the lowest."
    assert forecast_said(25.0, None, 25.0, "09:00") == (
        "25 °C forecast: too hot for more than the dawn, over by 09:00."
    )
    assert forecast_said(None, None, 25.0, "09:00").endswith("taken for a hot one, over by 09:00.")


def test_the_vets_limits_are_said_in_full_with_the_one_that_is_not_set() -> None:
    assert limits_said(LIMITS, "09:00") == (
        "The vet’s limits: 20 minutes, 21 days of rest, 25 °C, done by 09:00 when it is hot; "
        "no limit for cold is set."
    )
    cold = CatchLimits(20.0, 1, 25.0, 9.0, too_cold_c=-5.0)
    assert limits_said(cold, "09:00").endswith(
        "1 day of rest, 25 °C, done by 09:00 when it is hot; nobody caught below -5 °C."
    )


def test_a_weight_says_what_it_is_held_against() -> None:
    weight = Weight(datetime(2026, 5, 3, 7, 40, tzinfo=UTC), 315.0, "in hand", fed=False)
    told = WeightTold(weight, Reference(318.5, 2.4, 5, "on the same scale"), -1.1, "nothing", 0, "")
    assert rests_on(told) == (
        "315 g on 3 May 2026, 07:40, in hand, not fed. Its usual: the median of 5 weights of the last year "
        "outside the moult, on the same scale; they spread by 2 g."
    )
    young = WeightTold(Weight(weight.at, 120.5, "perch", moulting=True), None, None, "nothing", 0, "")
    assert rests_on(young) == "120.5 g on 3 May 2026, 07:40, perch, in moult."
    assert asked_again(5.0, 7.5).startswith("Asked again at −5 % and −7.5 %")
    assert weights_shown(1).startswith("1 weight. ")
