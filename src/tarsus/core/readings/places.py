"""Where a bird usually is, in the prior of who it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

AS_ANYBODY: Final = 0.3
"""Share of its time in which a bird is wherever any bird of the flock may be. Ours: nothing was measured."""


def place_factors(places: Sequence[Mapping[int, float]], place: int | None) -> list[float]:
    """Say by how much each bird is likelier to be the one, for being seen in this place.

    Args:
        places: of each bird the shares of its sightings by place, which sum to 1; empty where it has none.
        place: where somebody said that the bird stands; None where nobody did.

    Returns:
        A factor on each bird's prior weight: 1 for the flock on average, for a bird without sightings, and
        for everybody where the place is not told or was never used.

    Assumes:
        Where a bird stands says nothing about how its bands are read; and a bird keeps to its places as in
        the last weeks. So a factor stays between `AS_ANYBODY` and what the shares say: no bird is ruled out
        by a place.

    Source:
        docs/science/reading.md, "Who is it": shares shrunk towards the flock's mean.
    """
    known = [shares for shares in places if shares]
    if place is None or not known:
        return [1.0] * len(places)
    mean = sum(shares.get(place, 0.0) for shares in known) / len(known)
    if mean <= 0.0:
        return [1.0] * len(places)
    return [
        AS_ANYBODY + (1.0 - AS_ANYBODY) * shares.get(place, 0.0) / mean if shares else 1.0
        for shares in places
    ]
