"""A day that a deed names has been, or is planned for; which of the two stands with its field."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from published_checks import published
from tarsus.core.deeds.days import refuse_days_of_another_age, wrong_day
from tarsus.core.deeds.described import schema_of
from tarsus.core.deeds.fields import Field, Kind, day_that_was, moment_that_was
from tarsus.core.deeds.register import DEEDS
from tarsus.core.errors import WrongValue

TODAY = date(2026, 6, 11)


@pytest.mark.parametrize("case", published("day_cases")["cases"], ids=lambda case: case["name"])
def test_a_day_is_judged_as_the_phone_judges_it(case: dict[str, Any]) -> None:
    field = Field("on", Kind.DAY, "On", first=date.fromisoformat(case["first"]), ahead=case["ahead"])
    said = wrong_day(field, date.fromisoformat(case["said"]), date.fromisoformat(case["today"]))
    assert said == case["wrong"]


def test_a_day_within_a_list_is_refused_at_its_place() -> None:
    newcomers = Field("newcomers", Kind.PARTS, "Birds", parts=(day_that_was("hatched_on", "Hatched"),))
    said = {"newcomers": ({"hatched_on": TODAY}, {"hatched_on": None}, {"hatched_on": date(2036, 6, 11)})}
    with pytest.raises(WrongValue) as refusal:
        refuse_days_of_another_age((newcomers,), said, TODAY)
    assert refusal.value.place == "newcomers[2].hatched_on"


def test_a_moment_is_judged_by_the_registers_clock() -> None:
    burst = (moment_that_was("until", "Last read"),)
    said = {"until": datetime(2031, 6, 11, 7, tzinfo=UTC)}
    with pytest.raises(WrongValue, match="2031-06-11 lies too far ahead"):
        refuse_days_of_another_age(burst, said, TODAY)
    refuse_days_of_another_age(burst, said, TODAY, fast=timedelta(days=5 * 365 + 1))


def test_programs_are_told_which_days_may_be_named() -> None:
    told = schema_of(DEEDS["bird_added"])["properties"]["hatched_on"]["description"]
    assert told == "Hatched. From 1900-01-01 to tomorrow."
