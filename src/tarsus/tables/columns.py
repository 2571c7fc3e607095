"""What a column of a park's spreadsheet means: our fields, and the words keepers head them with."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from tarsus.core.errors import UnknownWord, WrongValue

NOT_BROUGHT_IN: Final = "-"
"""In a mapping: this column stays out."""

FIELDS: Final[Mapping[str, tuple[str, ...]]] = {
    "name": ("bird", "bird name", "house name", "called", "known as", "names"),
    "number": (
        "no",
        "nr",
        "id",
        "bird id",
        "bird no",
        "bird number",
        "our number",
        "park number",
        "register no",
    ),
    "species": ("kind", "common name", "kind of bird", "sort", "taxon"),
    "sex": ("gender", "m/f", "f/m", "sexes"),
    "sex known by": ("sexed by", "how sexed", "sexing", "sexing method", "sex by"),
    "hatched": (
        "hatch date",
        "hatched on",
        "date of hatch",
        "date of birth",
        "born",
        "dob",
        "hatch",
        "birth date",
    ),
    "origin": ("provenance", "hatched where", "where hatched", "wild or captive"),
    "exhibit": ("aviary", "enclosure", "location", "house", "lives in", "pen", "flight", "where"),
    "place": ("perch", "pool", "usual place", "corner"),
    "since": ("with us since", "here since", "in exhibit since", "in aviary since", "moved in", "since when"),
    "arrived": ("arrival", "arrival date", "date of arrival", "date in", "arrived on", "came on"),
    "came from": ("from", "source", "previous holder", "sent by", "came here from", "last holder"),
    "marks": (
        *(
            "bands",
            "rings",
            "colour bands",
            "color bands",
            "colour rings",
            "color rings",
            "leg bands",
            "leg rings",
        ),
        *(
            "combination",
            "band combination",
            "ring combination",
            "colours",
            "colors",
            "bands l/r",
            "rings l/r",
        ),
    ),
    "left": (
        "l",
        "left leg",
        "left bands",
        "left rings",
        "left side",
        "on the left",
        "left leg bands",
        "lt leg",
    ),
    "right": (
        *("r", "right leg", "right bands", "right rings", "right side", "on the right", "right leg bands"),
        "rt leg",
    ),
    "left tibia": (
        "left upper",
        "upper left",
        "left leg upper",
        "left above the joint",
        "left leg above",
        "left above",
    ),
    "left tarsus": (
        "left lower",
        "lower left",
        "left leg lower",
        "left below the joint",
        "left leg below",
        "left below",
    ),
    "left wing": ("left flipper", "wing left"),
    "right tibia": (
        *("right upper", "upper right", "right leg upper", "right above the joint", "right leg above"),
        "right above",
    ),
    "right tarsus": (
        *("right lower", "lower right", "right leg lower", "right below the joint", "right leg below"),
        "right below",
    ),
    "right wing": ("right flipper", "wing right"),
    "metal": (
        *("metal no", "metal number", "metal band", "metal ring", "band no", "band number", "ring no"),
        *("ring number", "closed band", "closed ring", "metal band no", "metal ring no", "engraving"),
    ),
    "banded": ("banded on", "ringed", "ringed on", "date banded", "date ringed", "marked on", "marks since"),
    "transponder": (
        "chip",
        "microchip",
        "chip no",
        "chip number",
        "transponder no",
        "transponder number",
        "pit",
    ),
    "natural marks": ("features", "known by", "told by", "distinguishing marks", "natural mark", "looks"),
    "dam": ("mother", "dam name", "female parent"),
    "sire": ("father", "sire name", "male parent"),
    "mate": ("partner", "paired with", "pair", "mated with"),
    "owner": ("owned by", "belongs to", "ownership"),
    "certificate": ("papers", "certificate no", "certificate number", "legal papers"),
    "note": ("notes", "remark", "remarks", "comment", "comments", "miscellaneous", "other"),
}
"""Our fields, and what keepers head them with (common practice; a park's own words go into its mapping)."""

OUR_OWN: Final = ("refused line", "refused field", "why refused", "remedy")
"""Headings that a list of refused rows carries; they are passed over when it comes back mended."""

SITES_OF: Final[Mapping[str, str]] = {
    "left tibia": "left tibia",
    "left tarsus": "left leg",
    "left wing": "left wing",
    "right tibia": "right tibia",
    "right tarsus": "right leg",
    "right wing": "right wing",
}
"""Columns for one site, and the site each means. *Left* and *right* mean wherever the species is banded."""


def folded(heading: str) -> str:
    """A heading without case, dots and doubled blanks."""
    return " ".join(re.sub(r"[._:#*()\[\]?-]+", " ", heading.casefold()).split())


_BY_HEADING: Final = {folded(word): field for field, words in FIELDS.items() for word in (field, *words)}


def field_of(heading: str) -> str:
    """The field that a heading names by itself; empty where it names none."""
    return _BY_HEADING.get(folded(heading), "")


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column is read for which field."""

    columns: tuple[tuple[str, str], ...]

    @property
    def by_field(self) -> Mapping[str, str]:
        """The heading of each field that has a column."""
        return {field: heading for heading, field in self.columns if field != NOT_BROUGHT_IN}

    @property
    def left_out(self) -> tuple[str, ...]:
        """Headings that stay out."""
        return tuple(heading for heading, field in self.columns if field == NOT_BROUGHT_IN)


def columns_for(headings: Iterable[str], said: Mapping[str, str] | None = None) -> Columns:
    """Name the columns: as the park said, otherwise by their headings; the rest stays out.

    Args:
        headings: the table's headings.
        said: heading (in any case) to field, or to `NOT_BROUGHT_IN`.

    Raises:
        UnknownWord: a field that is none of ours, or a heading that the table does not have.
        WrongValue: two columns are said to be one field.
    """
    headings = tuple(headings)
    wished = {folded(heading): field for heading, field in (said or {}).items()}
    for heading, field in (said or {}).items():
        if field != NOT_BROUGHT_IN and field not in FIELDS:
            raise UnknownWord(f"mapping[{heading!r}]", field, "field", FIELDS)
        if folded(heading) not in {folded(one) for one in headings}:
            raise UnknownWord("mapping", heading, "column of this table", headings)
    taken: dict[str, str] = {}
    for heading in headings:
        field = wished.get(folded(heading), "")
        if field in taken:
            raise WrongValue(
                "mapping", f"'{taken[field]}' and '{heading}' are both '{field}'; keep one of them"
            )
        if field and field != NOT_BROUGHT_IN:
            taken[field] = heading
    columns = []
    for heading in headings:
        field = wished.get(folded(heading), "") or _by_itself(heading, taken)
        columns.append((heading, field))
        taken.setdefault(field, heading)
    return Columns(tuple(columns))


def still_there(saved: Mapping[str, str], headings: Iterable[str]) -> dict[str, str]:
    """Of a saved mapping, what speaks of columns that this table has."""
    there = {folded(heading) for heading in headings}
    return {heading: field for heading, field in saved.items() if folded(heading) in there}


def _by_itself(heading: str, taken: Mapping[str, str]) -> str:
    field = field_of(heading)
    return field if field and field not in taken else NOT_BROUGHT_IN


def likely_fields(heading: str) -> tuple[str, ...]:
    """Fields that a heading may mean, the likeliest first, for a person to choose from."""
    near = difflib.get_close_matches(folded(heading), _BY_HEADING, n=5, cutoff=0.6)
    return tuple(dict.fromkeys(_BY_HEADING[word] for word in near))
