"""What a bird that is none of the flock may wear, and how it would be read.

A stranger is one of three kinds (docs/science/reading.md, eq. 6): banded as this flock is, with colours
that may be any (a neighbour, a newcomer); without any band (a chick, a wild bird); or banded in a way
nobody here knows.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Final

from tarsus.core.marks.marks import METAL, NOT_MADE_OUT, OPEN_END, Bands, Marks, Reading
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.open_ends import alike_open_chance, completions
from tarsus.core.readings.stacks import ANY_COLOUR

AS_THE_FLOCK: Final = 0.5
UNBANDED: Final = 0.25
OTHERWISE: Final = 0.25
"""How strangers are shared among the three kinds. Ours: nothing published was found."""


def stranger_marks(marks: Sequence[Marks], birds: Sequence[int]) -> list[tuple[Marks, float]]:
    """Lay out what strangers of the first two kinds wear.

    Args:
        marks: what the flock wears.
        birds: how many birds wear each.

    Returns:
        Marks in which `ANY_COLOUR` stands for every colour, and the share of strangers that wear them; the
        shares sum to 1 - `OTHERWISE`. The layouts of the flock count as often as birds wear them.

    Source:
        docs/science/reading.md, eq. 6.
    """
    layouts: Counter[Marks] = Counter()
    for worn, times in zip(marks, birds, strict=True):
        layouts[_layout(worn)] += times
    layouts = layouts or Counter([Marks()])
    banded = [(layout, AS_THE_FLOCK * count / layouts.total()) for layout, count in layouts.items()]
    return [*banded, (Marks(), UNBANDED)]


def otherwise_chance(misreading: Misreading, reading: Reading) -> float:
    """Say how probable a reading is of a stranger that is banded in a way nobody here knows.

    Args:
        misreading: the observer.
        reading: what was seen.

    Returns:
        A chance, the product of `otherwise_site_chance` over the sites that were seen.

    Assumes:
        Each site wears a geometric number of bands (none half of the time, one a quarter, ...), each band
        equally likely metal or any colour of the palette.

    Source:
        docs/science/reading.md, eq. 7; sides and order need no sum, since the bands are alike everywhere.
    """
    chance = 1.0
    for _, read in reading.sites:
        chance *= otherwise_site_chance(misreading, read)
    return chance


def otherwise_site_chance(misreading: Misreading, read: Bands) -> float:
    """The same for one site; over all readings of a site without ``?`` and ``*`` it sums to 1.

    Source:
        docs/science/reading.md, eq. 7.
    """
    # Of a geometric number of bands, each shown with chance `kept`, again a geometric number is shown.
    kept = 1.0 - misreading.gone
    another = kept / (1.0 + kept)
    if OPEN_END in read:
        allowed = completions(read, misreading.words)
        return alike_open_chance(allowed, misreading.table.mean(axis=0), another)
    chance = 1.0 - another
    for band in read:
        chance *= another * (1.0 if band == NOT_MADE_OUT else misreading.on_average[band])
    return chance


def _layout(worn: Marks) -> Marks:
    """The same marks with every colour left open."""
    return Marks(tuple((s, tuple(b if b == METAL else ANY_COLOUR for b in bands)) for s, bands in worn.sites))
