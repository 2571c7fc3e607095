"""How somebody misreads bands: the error chances of one reader."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Reader:
    """The error chances of one reader; each between 0 and 1.

    `swap`: left and right mixed up for the whole reading. `flip`: one neighbouring pair of a site turned over.
    `colour`: mean chance that a colour band is taken for another colour. `overlook`: one band not noticed.
    `lost`: one band has fallen off since it was last checked. `confusion`, where given, replaces what is derived
    from the colours: a row's listed values, the rest of the row is the right colour.
    """

    swap: float
    flip: float
    colour: float
    overlook: float
    lost: float
    confusion: Mapping[str, Mapping[str, float]] | None = None


# Placeholders until calibrated: docs/science/reading.md says how these were found.
TRAINED: Final = Reader(swap=0.02, flip=0.008, colour=0.006, overlook=0.002, lost=0.003)
UNTRAINED: Final = Reader(swap=0.06, flip=0.03, colour=0.03, overlook=0.01, lost=0.003)
