"""Marks as they are noted down: the bands, and what a notebook says beside them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from tarsus.core.errors import MalformedInput
from tarsus.core.marks.marks import METAL, NOT_MADE_OUT, Marks, Reading
from tarsus.core.marks.sites import SITES

Level = Literal["leg", "tibia", "wing"]
"""Where the birds of a species wear their bands: what a bare *left* or *right* means."""

MOST_BANDS: Final = 4
"""The most bands that one site is ever written with; more is a slip of the pen."""


class UnclearMarks(MalformedInput):
    """Marks that can be taken in no way, or in more than one; `part` is the piece that is to blame."""

    def __init__(self, part: str, reason: str, remedy: str, place: str = "") -> None:
        self.part = part
        self.reason = reason
        self.remedy = remedy
        super().__init__(place, f"'{part}' {reason}; {remedy}")


class UndecidedLetter(UnclearMarks):
    """A letter that several colours claim; the park has to say which of them it means."""

    def __init__(self, letter: str, claimants: Iterable[str], part: str) -> None:
        self.letter = letter
        self.claimants = tuple(claimants)
        meant = " or ".join(self.claimants)
        super().__init__(
            part,
            f"has the letter {letter}, which may be {meant}",
            f"say which letters the park uses, such as {letter}={self.claimants[0]}",
        )


@dataclass(frozen=True, slots=True)
class NotedBand:
    """One band and what is noted of it.

    `band` is `METAL`, a colour's name or `NOT_MADE_OUT`; `engraving` is what is cut into it; `tie` says that
    it is a temporary cable tie, `temporary` that any other band is to come off again, `closed` that it is a
    seamless ring put on a chick; `condition` is worn, faded or nothing.
    """

    band: str
    engraving: str = ""
    tie: bool = False
    closed: bool = False
    condition: str = ""
    temporary: bool = False


@dataclass(frozen=True, slots=True)
class NotedMarks:
    """The sites that were written of, in their fixed order. A site that is missing was not written of."""

    sites: tuple[tuple[str, tuple[NotedBand, ...]], ...] = ()

    @classmethod
    def of(cls, by_site: Mapping[str, Iterable[NotedBand]]) -> NotedMarks:
        """Noted marks from site to bands, from the body outward; an empty site is noted as bare."""
        return cls(tuple((site, tuple(by_site[site])) for site in SITES if site in by_site))

    def at(self, site: str) -> tuple[NotedBand, ...] | None:
        """Bands noted on one site, `()` where it is noted as bare, `None` where nothing was written of it."""
        return dict(self.sites).get(site)

    def metals(self) -> tuple[tuple[str, NotedBand], ...]:
        """Every metal band with its site."""
        return tuple((site, band) for site, bands in self.sites for band in bands if band.band == METAL)

    def as_marks(self, place: str = "") -> Marks:
        """What the bird wears; a site that was not written of is bare.

        Raises:
            UnclearMarks: a band whose colour was not made out, since a record must say what a bird wears.
        """
        for site, bands in self.sites:
            if any(band.band == NOT_MADE_OUT for band in bands):
                raise UnclearMarks(
                    NOT_MADE_OUT,
                    f"leaves a band of the {site} without its colour",
                    "look at the bird again and write the colour",
                    place,
                )
        return Marks.of({site: [band.band for band in bands] for site, bands in self.sites})

    def as_reading(self) -> Reading:
        """What somebody saw; a site that was not written of was not seen."""
        return Reading.of({site: [band.band for band in bands] for site, bands in self.sites})
