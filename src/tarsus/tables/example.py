"""A short list of birds that an import takes as it stands, in the words of one register."""

from __future__ import annotations

from typing import Final

from tarsus.core.marks.marks import METAL
from tarsus.core.marks.palette import Palette
from tarsus.tables.known import SpeciesKnown
from tarsus.tables.writing import Table

HEADINGS: Final = ("Name", "Left", "Right", "Metal", "Sex", "Hatched", "Species", "Exhibit")
SPECIES, EXHIBIT = "Pied avocet", "Wader aviary"
"""What an empty register is shown."""


def example_list(species: SpeciesKnown | None, exhibit: str | None, palette: Palette) -> Table:
    """Three invented birds: one in full, one whose year of hatching alone is known, a young one.

    Args:
        species: one of the register's that wears bands; an invented one where there is none yet, of which an
            import will ask where its bands sit.
        exhibit: one of the register's; where there is none yet, one that an import would make.
        palette: the park's colours, at least two.
    """
    colours = [name for name in palette.names if species is None or name not in species.excluded]
    first, second = (colours or list(palette.names))[:2]
    kept = (species.name if species else SPECIES, exhibit or EXHIBIT)
    rows = (
        ("Sandglass", METAL, f"{first} over {second}", "XA 0101", "F", "12 May 2021", *kept),
        ("Driftline", f"{second} over {first}", METAL, "XA 0102", "M", "2020", *kept),
        ("Oyster", first, "", "", "?", "June 2024", *kept),
    )
    return Table("example", HEADINGS, rows)
