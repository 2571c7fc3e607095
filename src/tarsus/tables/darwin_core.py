"""Sightings as occurrences of Darwin Core, the biodiversity standard: each observed sighting one occurrence.

Only what somebody observed goes out, never what was inferred; a bird of a park is said to be one.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from tarsus.tables.writing import Value

TERMS: Final = (
    *("institutionCode", "basisOfRecord", "occurrenceID", "recordedBy", "individualCount", "sex"),
    *("occurrenceStatus", "occurrenceRemarks", "organismID", "organismName", "eventID", "eventDate"),
    *("locality", "identificationRemarks", "scientificName", "vernacularName"),
)
"""The terms that are written, in the order of the standard's own list."""
KEPT: Final = "kept under human care in a park"
_SEX: Final = {"F": "female", "M": "male"}


@dataclass(frozen=True, slots=True)
class Observed:
    """One observed sighting of one bird. `at` carries the park's clock; `round` is empty for a casual one."""

    id: str
    at: datetime
    by: str
    bird: int
    bird_name: str
    sex: str
    species: str
    scientific_name: str
    exhibit: str
    place: str
    how: str
    chance: float
    round: str = ""


def occurrence(seen: Observed, park: str) -> tuple[Value, ...]:
    """One sighting as an occurrence, a value a term of `TERMS`.

    Args:
        seen: the sighting.
        park: the park's name, as the code of the institution.

    Source:
        Darwin Core (TDWG): basisOfRecord and occurrenceStatus in its own words; eventDate by ISO 8601.
    """
    sure = f", {100 * seen.chance:.0f} % sure" if seen.how == "by reading" else ""
    return (
        park,
        "HumanObservation",
        f"urn:uuid:{seen.id}",
        seen.by,
        1,
        _SEX.get(seen.sex, "undetermined"),
        "present",
        KEPT,
        f"{park}: bird {seen.bird}",
        seen.bird_name,
        f"urn:uuid:{seen.round}" if seen.round else None,
        seen.at.isoformat(timespec="seconds"),
        ", ".join(filter(None, (park, seen.exhibit, seen.place))),
        f"named {seen.how}{sure}",
        seen.scientific_name,
        seen.species,
    )
