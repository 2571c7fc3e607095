"""A bird's weights and its own usual one: what it weighed the way it is weighed now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median
from typing import Final

RECENT: Final = timedelta(days=365)
"""How far back a usual weight reaches."""
LONG: Final = timedelta(days=3 * 365)
"""How far back a decline is looked for, and a usual weight where the year has too few."""
SETTLED: Final = timedelta(days=14)
"""Weights of the last days are no part of the reference they are held against."""
SAME_HOURS: Final = 4
LEAST_WEIGHTS: Final = 3
MAD_TO_SD: Final = 1.4826


@dataclass(frozen=True)
class Weight:
    """One weighing. `scale` names the way: *in hand* or a scale; `fed` is `None` where nobody said.

    `off_hand`: the bird stepped on a scale of its own accord and was not caught for it.
    """

    at: datetime
    grams: float
    scale: str
    fed: bool | None = None
    moulting: bool = False
    off_hand: bool = False


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
    """A bird's usual weight: median, robust spread (1.4826 MAD), of how many weights of how many years."""

    usual_g: float
    spread_g: float
    weights: int
    alike_in: str
    years: int = 1


def _same_time(one: Weight, other: Weight) -> bool:
    apart = abs(one.at.hour - other.at.hour)
    return min(apart, 24 - apart) <= SAME_HOURS


def alike(weight: Weight, others: Sequence[Weight]) -> Iterator[tuple[str, list[Weight]]]:
    """The weighings that were taken as this one was: from the most alike to any at all, each in words.

    Source:
        Same scale, same hour, before feeding: common practice; docs/science/weights.md.
    """
    same_scale = [other for other in others if other.scale == weight.scale]
    fed_alike = [other for other in same_scale if other.fed == weight.fed]
    same_time = [other for other in fed_alike if _same_time(weight, other)]
    yield "same scale, time of day and fed alike", same_time
    yield "same scale and fed alike", fed_alike
    yield "same scale", same_scale
    yield "any scale", list(others)


def reference_for(weight: Weight, earlier: Sequence[Weight]) -> Reference | None:
    """A bird's own usual weight, as it would be taken the way this one was.

    Args:
        weight: the weighing that is to be judged.
        earlier: the same bird's other weighings, in any order.

    Returns:
        Median and spread of the year's weights outside moult, the last fortnight apart, alike in scale,
        hour and feeding where there are enough; of three years' where the year has fewer than three; `None`
        where those are too few as well.

    Assumes:
        Half the year's weights were of a healthy bird; a slower decline is for `decline_until`.

    Source:
        Median and median absolute deviation (1.4826 makes it a standard deviation under the normal law:
        Rousseeuw & Croux 1993, J. Am. Stat. Assoc. 88:1273; from memory); docs/science/weights.md.
    """
    for reach in (RECENT, LONG):
        for alike_in, others in alike(weight, _usable(weight, earlier, reach)):
            if len(others) >= LEAST_WEIGHTS:
                grams = [other.grams for other in others]
                usual = median(grams)
                spread = MAD_TO_SD * median(abs(value - usual) for value in grams)
                return Reference(usual, spread, len(grams), alike_in, round(reach / RECENT))
    return None


def weighed_before(weight: Weight, earlier: Sequence[Weight]) -> float | None:
    """What a bird weighed before, for one that has too few weights for `reference_for`.

    A bird that is weighed once a year, or came lately, has a weight to lose as well.

    Args:
        weight: the weighing that is to be judged.
        earlier: the same bird's other weighings, in any order.

    Returns:
        Median grams of three years' weights outside moult, the last fortnight apart, of the kind most alike
        of which there is any; `None` where there is none.

    Source:
        docs/science/weights.md.
    """
    nearest = next((found for _, found in alike(weight, _usable(weight, earlier, LONG)) if found), None)
    return None if nearest is None else median(other.grams for other in nearest)


def _usable(weight: Weight, earlier: Sequence[Weight], reach: timedelta) -> list[Weight]:
    return [
        other
        for other in earlier
        if not other.moulting and weight.at - reach <= other.at <= weight.at - SETTLED
    ]
