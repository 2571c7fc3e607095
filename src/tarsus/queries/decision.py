"""What the park says a reading may cost: how sure a name must be, and how often two birds may be mistaken.

Decision 0027.
"""

from __future__ import annotations

from dataclasses import dataclass

from tarsus.core.choosing.clarity import SURENESS
from tarsus.queries.one_park import one_park


@dataclass(frozen=True, slots=True)
class Decision:
    """`sureness`: the chance from which a reading is named; in doubt it costs 1 - `sureness` of a wrong name.
    `clarity`: what a reading of two birds may cost, in wrong names."""

    sureness: float = SURENESS
    clarity: float = 0.01


def park_decision() -> Decision:
    """The park's own choice, in one query; ours until it has made one."""
    park = one_park()
    return Decision(park.sureness, park.wanted_misnaming) if park else Decision()
