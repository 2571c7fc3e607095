"""Whether a bird looked young or grown, in the prior of who it is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

YOUNG: Final = "young"
GROWN: Final = "grown"
PLUMAGES: Final = (YOUNG, GROWN)

_MISJUDGED: Final = 0.05
"""Chance that somebody takes a young plumage for a grown one, or the other way round. Ours."""

_CHANGES: Final = 0.25
"""Share of the age of grown plumage by which a bird may be ahead or behind: birds moult over months. Ours."""


def looks_young(age_days: int | None, grown_at_days: int | None) -> float | None:
    """The chance that somebody says of a bird that it is in young plumage.

    Args:
        age_days: its age; None where it is not known.
        grown_at_days: the age at which its species has grown plumage; None where the park has not said.

    Returns:
        None where nothing is known: then its plumage says nothing.

    Assumes:
        Birds change plumage at an age within a quarter of their species', evenly spread.

    Source:
        docs/science/reading.md, "Who is it".
    """
    if age_days is None or not grown_at_days:
        return None
    still = min(max((1.0 + _CHANGES - age_days / grown_at_days) / (2.0 * _CHANGES), 0.0), 1.0)
    return _MISJUDGED + (1.0 - 2.0 * _MISJUDGED) * still


def plumage_factors(young: Sequence[float | None], told: str) -> list[float]:
    """Say by how much each bird is likelier to be the one, for the plumage it was seen in.

    Args:
        young: of each bird the chance that somebody says it is in young plumage; None where nobody can tell.
        told: one of `PLUMAGES`, or empty where nobody said.

    Returns:
        A factor on each bird's prior weight: 1 for everybody where nobody said or nothing is known, the mean
        of the others for a bird of which nothing is known.

    Source:
        docs/science/reading.md, "Who is it".
    """
    known = [one if told == YOUNG else 1.0 - one for one in young if one is not None]
    if not told or not known:
        return [1.0] * len(young)
    mean = sum(known) / len(known)
    return [mean if one is None else one if told == YOUNG else 1.0 - one for one in young]
