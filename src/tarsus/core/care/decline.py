"""A slow decline: a trend over three years, which a usual weight that sinks with the bird cannot show."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, median
from typing import Final

import numpy as np

from tarsus.core.care.weights import LONG, Weight, alike

MONTH_DAYS: Final = 30.0
LEAST_MONTHS: Final = 6
"""Fewer months than this show no trend, however they fall."""
SURE: Final = 2.326
"""Standard errors by which Kendall's S must be negative: one in a hundred of steady birds, one-sided."""

Month = tuple[float, float]
"""Days before the weighing that is judged, and what the bird weighed then."""


@dataclass(frozen=True)
class Decline:
    """A steady fall: for how many days, and the weight it began with."""

    days: float
    began_g: float


def months_before(weight: Weight, earlier: Sequence[Weight]) -> tuple[Month, ...]:
    """What a bird weighed month by month until now: the same however often it was weighed.

    Args:
        weight: the weighing that is to be judged; it is no part of the answer.
        earlier: the same bird's other weighings, in any order.

    Returns:
        Mean age in days and median grams of each thirty days of the last three years, the oldest first,
        outside moult, alike in scale, hour and feeding where that leaves enough months; empty where no
        trend could be seen in them.

    Source:
        docs/science/weights.md.
    """
    usable = [other for other in earlier if not other.moulting and weight.at - LONG <= other.at < weight.at]
    for _, others in alike(weight, usable):
        months: dict[int, list[Month]] = {}
        for other in others:
            days = (weight.at - other.at).total_seconds() / 86400.0
            months.setdefault(int(days // MONTH_DAYS), []).append((days, other.grams))
        if len(months) + 1 >= LEAST_MONTHS:
            return tuple(
                (fmean(days for days, _ in told), median(grams for _, grams in told))
                for _, told in sorted(months.items(), reverse=True)
            )
    return ()


def decline_until(grams: float, months: Sequence[Month]) -> Decline | None:
    """The steady decline that a bird's weights end in, if there is one.

    Args:
        grams: the weight that is judged.
        months: `months_before` it.

    Returns:
        Since when, and the weight that the trend gives for then; `None` where the weights do not fall, or
        too few or too uneven to say so.

    Assumes:
        A year's rise and fall is no trend over three of them; within the first year of weights it is taken
        for one, which costs a second weighing.

    Source:
        Theil 1950 and Sen 1968 (J. Am. Stat. Assoc. 63:1379) for slope and level, Kendall's S with its
        variance n(n − 1)(2n + 5)/18 for whether it falls (Mann 1945, Econometrica 13:245); from memory.
        docs/science/weights.md, eq. 2.
    """
    points = [*months, (0.0, grams)]
    n = len(points)
    if n < LEAST_MONTHS:
        return None
    ago, weighed = np.array(points).T
    early, late = np.triu_indices(n, 1)
    fell = weighed[early] - weighed[late]
    if (np.sign(fell).sum() - 1.0) / math.sqrt(n * (n - 1) * (2 * n + 5) / 18.0) < SURE:
        return None
    a_day = np.median(fell / (ago[early] - ago[late]))
    return Decline(float(ago[0]), float(np.median(weighed + a_day * (ago[0] - ago))))
