"""Whether a bird wears what was read."""

from __future__ import annotations

from typing import Final

from tarsus.core.marks.marks import NOT_MADE_OUT, Bands, Marks, Reading
from tarsus.core.readings.open_ends import spelled_out

NOT_SURE: Final = 0.5
"""Chance of mixed-up sides from which a reading means either side."""


def fits(reading: Reading, marks: Marks) -> bool:
    """Say whether a bird wears exactly what was read on the sites that were seen.

    ``?`` fits any band, ``*`` any number of bands; where the side is not sure, either side will do.
    """
    unsure = reading.swap is not None and reading.swap >= NOT_SURE
    return fits_as_read(reading, marks) or (unsure and fits_as_read(reading, marks.mirrored()))


def fits_as_read(reading: Reading, marks: Marks) -> bool:
    """The same, each side taken for the one it was read as."""
    return all(site_fits(read, marks.at(site)) for site, read in reading.sites)


def site_fits(read: Bands, worn: Bands) -> bool:
    """Say whether what was read on one site is what is worn there."""
    return any(
        len(told) == len(worn) and all(r in (NOT_MADE_OUT, w) for r, w in zip(told, worn, strict=True))
        for told in spelled_out(read, len(worn))
    )
