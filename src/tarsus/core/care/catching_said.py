"""What pages say of a catch: how warm it gets, and what the vet allows."""

from __future__ import annotations

from datetime import date

from tarsus.core.care.catch_limits import CatchLimits
from tarsus.core.words.days import day_of_year
from tarsus.core.words.numbers import counted, tenths


def catch_said(birds: int, day: date, starts: str, minutes: float, allowed: float) -> str:
    """Which birds a proposal takes, after their number: *birds on Sunday 29 November, from 05:15: …*.

    Args:
        birds: how many.
        day: of the catch.
        starts: its hour, as a clock shows it.
        minutes: what it takes from the start of catching.
        allowed: what the vet allows then.
    """
    when = f"{counted('bird', birds)} on {day:%A} {day_of_year(day)}, from {starts}"
    return f"{when}: {tenths(minutes)} of {tenths(allowed)} minutes from the start of catching."


def forecast_said(high_c: float | None, low_c: float | None, too_hot_c: float, over: str) -> str:
    """How warm the day gets, and when the catch is over for it.

    Args:
        high_c: the forecast high; none where nobody wrote one.
        low_c: the low, likewise.
        too_hot_c: from here on it is too hot for more than the dawn.
        over: when a catch of a hot day has to be over, as a clock shows it.
    """
    if high_c is None:
        return f"No forecast is written for that day: it is taken for a hot one, over by {over}."
    low = "" if low_c is None else f", {tenths(low_c)} °C at the lowest"
    hot = f": too hot for more than the dawn, over by {over}" if high_c >= too_hot_c else ""
    return f"{tenths(high_c)} °C forecast{low}{hot}."


def limits_said(limits: CatchLimits, until: str) -> str:
    """The vet's limits in full, for whoever plans.

    Args:
        limits: what the vet set.
        until: the hour by which a catch of a hot day is done, as a clock shows it.
    """
    cold = (
        "no limit for cold is set"
        if limits.too_cold_c is None
        else f"nobody caught below {tenths(limits.too_cold_c)} °C"
    )
    rest = f"{limits.rest_days} {counted('day', limits.rest_days)} of rest"
    return (
        f"The vet’s limits: {tenths(limits.minutes)} minutes, {rest}, {tenths(limits.too_hot_c)} °C, "
        f"done by {until} when it is hot; {cold}."
    )
