"""When a bird is usually seen, in the prior of who it is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Final

from tarsus.core.readings.places import AS_ANYBODY

PARTS: Final = (("morning", 0), ("midday", 10), ("evening", 16))
"""Parts of the park's day, each with the hour at which it begins."""

FLOCKS_HABIT: Final = 10.0
"""As how many sightings the flock's habit counts for a bird in a part of the day. Ours;
with less, chance is taken for habit where all keep the same hours (benchmarks/usual.py)."""


def part_of_day(hour: int) -> str:
    """The part of the day in which an hour of the park's clock falls, 0 to 23."""
    return [part for part, begins in PARTS if begins <= hour][-1]


def time_factors(seen: Sequence[Mapping[str, int]]) -> list[dict[str, float]]:
    """Say by how much each bird is likelier to be the one, by the part of the day.

    Args:
        seen: of each bird how many sightings were made in each part of the day; empty where it has none.

    Returns:
        For each bird a factor on its prior weight by part of the day; a part in which it is 1 is left out. It
        is 1 for a bird without sightings, where the whole flock was seen in one part only, and in a part in
        which nobody was seen.

    Assumes:
        When a bird is seen says nothing about how its bands are read; and a bird keeps its hours as in the
        last weeks. No bird is ruled out by an hour: a factor stays above `AS_ANYBODY`.

    Source:
        docs/science/reading.md, "Who is it": Poisson counts, their rates Gamma about the flock's.
    """
    flock: Counter[str] = Counter()
    for each in seen:
        flock.update(each)
    shares = {part: times / flock.total() for part, times in flock.items() if times}
    found = []
    for each in seen:
        whole = sum(each.values())
        likelier = {
            part: (each.get(part, 0) + FLOCKS_HABIT) / (whole * share + FLOCKS_HABIT)
            for part, share in shares.items()
        }
        factors = {part: AS_ANYBODY + (1.0 - AS_ANYBODY) * times for part, times in likelier.items()}
        found.append({part: factor for part, factor in factors.items() if abs(factor - 1.0) > 1e-12})
    return found
