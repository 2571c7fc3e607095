"""A bird's weight against its own usual one, and when to weigh again before anybody is alarmed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median
from typing import Final

RECENT: Final = timedelta(days=365)
"""How far back a reference reaches: a year, or a slow decline would carry its reference down."""
SETTLED: Final = timedelta(days=14)
"""Weights of the last days are no part of the reference they are held against."""
AGAIN_WITHIN: Final = timedelta(days=14)
"""A second weighing confirms the first if it comes within so long."""
SAME_HOURS: Final = 4
LEAST_WEIGHTS: Final = 3
MAD_TO_SD: Final = 1.4826

NOTHING: Final = "nothing"
WEIGH_AGAIN: Final = "weigh again"
TELL_VET: Final = "tell the vet"


@dataclass(frozen=True)
class Weight:
    """One weighing. `scale` names the way: *in hand* or a scale; `fed` is `None` where nobody said."""

    at: datetime
    grams: float
    scale: str
    fed: bool | None = None
    moulting: bool = False


@dataclass(frozen=True)
class WeightLimits:
    """Percentages that the vet sets for a species; the defaults are common practice, to start from.

    `low_g`, `high_g`: the species' range, a prompt only and never a health limit.
    """

    prompt_percent: float = 5.0
    alarm_percent: float = 10.0
    low_g: float | None = None
    high_g: float | None = None


@dataclass(frozen=True)
class Reference:
    """A bird's usual weight: median, robust spread (1.4826 MAD), of how many weights, how alike."""

    usual_g: float
    spread_g: float
    weights: int
    alike_in: str


@dataclass(frozen=True)
class WeightTold:
    """What a weight says: the change from usual in per cent; nothing, weigh again or tell the vet."""

    weight: Weight
    reference: Reference | None
    change_percent: float | None
    prompt: str
    sentence: str


def _same_scale(one: Weight, other: Weight) -> bool:
    return one.scale == other.scale


def _fed_alike(one: Weight, other: Weight) -> bool:
    return one.fed == other.fed


def _same_time(one: Weight, other: Weight) -> bool:
    apart = abs(one.at.hour - other.at.hour)
    return min(apart, 24 - apart) <= SAME_HOURS


# From the most alike to anything at all: the first of these with enough weights is the reference.
_ALIKE: Final[tuple[tuple[str, tuple[Callable[[Weight, Weight], bool], ...]], ...]] = (
    ("same scale, time of day and fed alike", (_same_scale, _same_time, _fed_alike)),
    ("same scale and fed alike", (_same_scale, _fed_alike)),
    ("same scale", (_same_scale,)),
    ("any scale", ()),
)


def reference_for(weight: Weight, earlier: Sequence[Weight]) -> Reference | None:
    """A bird's own usual weight, as it would be taken the way this one was.

    Args:
        weight: the weighing that is to be judged.
        earlier: the same bird's other weighings, in any order.

    Returns:
        Median and spread of the year's weights outside moult, the last fortnight apart, alike in scale,
        hour and feeding where there are enough; `None` with fewer than three.

    Source:
        Design 3.7; docs/science/weights.md.
    """
    usable = [
        other
        for other in earlier
        if not other.moulting and weight.at - RECENT <= other.at <= weight.at - SETTLED
    ]
    for alike_in, tests in _ALIKE:
        grams = [other.grams for other in usable if all(test(weight, other) for test in tests)]
        if len(grams) >= LEAST_WEIGHTS:
            usual = median(grams)
            spread = MAD_TO_SD * median(abs(value - usual) for value in grams)
            return Reference(usual, spread, len(grams), alike_in)
    return None


def weigh_up(weights: Sequence[Weight], limits: WeightLimits) -> WeightTold | None:
    """Judge a bird's latest weight.

    Args:
        weights: all weighings of one bird, in any order.
        limits: the vet's percentages and the species' range.

    Returns:
        What the latest weight says; `None` where there is none. *Tell the vet* only when two weighings
        within a fortnight agree; a single one out of bounds asks to weigh again.

    Assumes:
        A bird in moult gains and loses by much (common practice): then only a loss beyond the alarm is told.

    Source:
        docs/science/weights.md.
    """
    if not weights:
        return None
    in_order = sorted(weights, key=lambda weight: weight.at)
    latest = in_order[-1]
    reference = reference_for(latest, in_order[:-1])
    change = None if reference is None else 100.0 * (latest.grams / reference.usual_g - 1.0)
    if not _out_of_bounds(latest, reference, limits):
        return WeightTold(latest, reference, change, NOTHING, _in_words(latest, reference, change))
    confirmed = any(
        latest.at - AGAIN_WITHIN <= other.at < latest.at
        and _out_of_bounds(other, reference_for(other, in_order), limits)
        and _same_direction(latest, other, reference)
        for other in in_order[:-1]
    )
    said = _in_words(latest, reference, change, limits)
    if confirmed:
        held = f"{said} It held on a second weighing: tell the vet."
        return WeightTold(latest, reference, change, TELL_VET, held)
    again = f"{said} Weigh again. If it holds, tell the vet today."
    return WeightTold(latest, reference, change, WEIGH_AGAIN, again)


def last_alarm(weights: Sequence[Weight], limits: WeightLimits, since: datetime) -> WeightTold | None:
    """The latest weight that was confirmed by a second one, whatever was weighed after it.

    A third weighing that is fine does not unsay what two have said: the vet is told, and decides.

    Args:
        weights: all weighings of one bird, in any order.
        limits: the vet's percentages and the species' range.
        since: how far back to look.

    Returns:
        What that weight said, `None` where no weight since then was confirmed.
    """
    in_order = sorted(weights, key=lambda weight: weight.at)
    for last in range(len(in_order), 0, -1):
        if in_order[last - 1].at < since:
            return None
        told = weigh_up(in_order[:last], limits)
        if told is not None and told.prompt == TELL_VET:
            return told
    return None


def _out_of_bounds(weight: Weight, reference: Reference | None, limits: WeightLimits) -> bool:
    if reference is None:
        low = limits.low_g is not None and weight.grams < limits.low_g
        high = limits.high_g is not None and weight.grams > limits.high_g and not weight.moulting
        return low or high
    change = 100.0 * (weight.grams / reference.usual_g - 1.0)
    if weight.moulting:
        return change <= -limits.alarm_percent
    return change <= -limits.prompt_percent or change >= limits.alarm_percent


def _same_direction(one: Weight, other: Weight, reference: Reference | None) -> bool:
    if reference is None:
        return True
    return (one.grams < reference.usual_g) == (other.grams < reference.usual_g)


def _in_words(
    weight: Weight, reference: Reference | None, change: float | None, limits: WeightLimits | None = None
) -> str:
    if reference is None or change is None:
        if limits is None:
            return f"{weight.grams:.0f} g. Too few weights yet for a usual one of its own."
        return f"{weight.grams:.0f} g: outside its species' range, and no usual weight of its own yet."
    side = "under" if change < 0 else "over"
    if weight.moulting:
        expected = "in moult: what is expected then is for the vet to say."
        return f"{abs(change):.0f} % {side} its usual {reference.usual_g:.0f} g, {expected}"
    return f"{abs(change):.0f} % {side} its own usual {reference.usual_g:.0f} g."
