"""A count that is short: who of the roll may be missing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from tarsus.core.presence.short_count import among_whom
from tarsus.queries.presence import BirdPresence


@dataclass(frozen=True, slots=True)
class ShortAmong:
    """So many are missing; `miscount` is the chance that it is nobody; `among` the likeliest first."""

    missing: int
    miscount: float
    among: tuple[tuple[int, float], ...]


def missing_among(
    presence: Mapping[int, BirdPresence], roll: Iterable[int], missing: int
) -> ShortAmong | None:
    """Say among whom to search when a count is short.

    Args:
        presence: where each bird stands.
        roll: the birds that should have been counted.
        missing: how many the count was short.

    Returns:
        Chances by bird; `None` where nobody is missing or the roll is empty.
    """
    birds = sorted(set(roll))
    if missing < 1 or not birds:
        return None
    gone = np.array([1.0 - presence[bird].still_here if bird in presence else 0.0 for bird in birds])
    short = among_whom(gone, min(missing, len(birds)))
    ranked = sorted(zip(birds, short.among.tolist(), strict=True), key=lambda pair: (-pair[1], pair[0]))
    return ShortAmong(short.missing, short.miscount, tuple(ranked))
