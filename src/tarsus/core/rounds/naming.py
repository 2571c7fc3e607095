"""How a bird was named, and whether that clears it.

Decision 0004.
"""

from __future__ import annotations

from typing import Final

from tarsus.core.rounds.facts import Sighted
from tarsus.core.words.certainty import DOUBTFUL_BELOW

BY_SIGHT: Final = "by sight"
BY_READING: Final = "by reading"
INFERRED: Final = "inferred"

OBSERVED: Final = (BY_SIGHT, BY_READING)
"""Ways of naming that somebody's eyes stand behind. What was inferred informs a look and clears nobody."""


def clears(bird: int | None, how: str, chance: float) -> bool:
    """Whether a sighting makes its bird a seen one: named by sight, or by a reading that was sure enough."""
    return bird is not None and (how == BY_SIGHT or (how == BY_READING and chance >= DOUBTFUL_BELOW))


def shares(fact: Sighted) -> tuple[tuple[int, float], ...]:
    """The birds that a sighting which clears nobody may have been of, each with its chance."""
    return fact.candidates if fact.bird is None else ((fact.bird, fact.chance),)
