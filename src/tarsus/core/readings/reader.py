"""How somebody misreads bands: the error chances of one reader."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Reader:
    """The error chances of one reader; each between 0 and 1.

    `swap`: left and right mixed up for the whole reading. `flip`: one neighbouring pair of a site turned
    over. `colour`: mean chance that a colour band is taken for another colour. `overlook`: one band not
    noticed. `lost`: one band has fallen off since it was last checked. `confusion`, where given, replaces
    what is derived from the colours: a row's listed values, the rest of the row is the right colour.
    """

    swap: float
    flip: float
    colour: float
    overlook: float
    lost: float
    confusion: Mapping[str, Mapping[str, float]] | None = None


# A metal band on one leg and two colours on the other, averaged over the built-in palette, is read wrongly
# by these in 5 and 16 of 100 readings, the commonest error being exchanged legs: the totals and the order
# are published (Milligan, Davis & Altizer 2003, J. Field Ornithol. 74(2):111-118); how the rest is shared
# out is ours. docs/science/reading.md, "Calibration", says how these were found; a test holds them there.
TRAINED: Final = Reader(swap=0.022, flip=0.0066, colour=0.0066, overlook=0.0022, lost=0.001)
UNTRAINED: Final = Reader(swap=0.067, flip=0.0223, colour=0.0268, overlook=0.0089, lost=0.001)
