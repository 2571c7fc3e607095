"""What a bird wears, and what somebody saw of it, as plain frozen values.

`Marks` maps a site to its bands from the body outward (top to bottom); a site that is missing is bare.
`Reading` looks alike and means something else: a site that is missing was *not seen* and carries no evidence,
a site with no bands was *seen to be bare*, `NOT_MADE_OUT` stands for a band whose colour stayed unclear, and
`OPEN_END` for any number of bands that were not made out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from tarsus.core.errors import UnknownWord
from tarsus.core.marks.sites import MIRROR, SITES

METAL: Final = "metal"
NOT_MADE_OUT: Final = "?"
OPEN_END: Final = "*"
SWAP: Final = "swap"
"""Key beside the sites of a reading, where it says how sure its sides are."""
PLUMAGE: Final = "plumage"
"""Key beside the sites of a reading, where it says whether the bird looked young or grown."""

Bands = tuple[str, ...]
"""Bands of one site from the body outward: `METAL`, a colour's name, or in a reading `NOT_MADE_OUT` and
`OPEN_END`."""


def _in_order(by_site: Mapping[str, Iterable[str]]) -> tuple[tuple[str, Bands], ...]:
    for site in by_site:
        if site not in SITES:
            raise UnknownWord("", site, "site", SITES)
    return tuple((site, tuple(by_site[site])) for site in SITES if site in by_site)


@dataclass(frozen=True, slots=True)
class Marks:
    """All the bands one bird wears. Equal marks are equal values; they can be keys."""

    sites: tuple[tuple[str, Bands], ...] = ()

    @classmethod
    def of(cls, by_site: Mapping[str, Iterable[str]]) -> Marks:
        """Marks from a mapping of site to bands; bare sites are left out."""
        return cls(tuple((site, bands) for site, bands in _in_order(by_site) if bands))

    def at(self, site: str) -> Bands:
        """Bands on one site, `()` where it is bare."""
        return dict(self.sites).get(site, ())

    def mirrored(self) -> Marks:
        """The same marks with left and right exchanged."""
        return Marks.of({MIRROR[site]: bands for site, bands in self.sites})

    def as_mapping(self) -> dict[str, list[str]]:
        """A plain mapping, as documents carry it."""
        return {site: list(bands) for site, bands in self.sites}


@dataclass(frozen=True, slots=True)
class Reading:
    """What somebody saw of one bird. A site that is not here was not seen.

    `swap`, where told, is the chance that left and right are exchanged in this reading, in place of the
    reader's. `plumage`, where told, is ``young`` or ``grown``.
    """

    sites: tuple[tuple[str, Bands], ...] = ()
    swap: float | None = None
    plumage: str = ""

    @classmethod
    def of(cls, told: Mapping[str, Any]) -> Reading:
        """A reading from a mapping of site to bands; `None` is not seen, an empty list is seen to be bare.

        Beside the sites, ``swap`` and ``plumage`` may be told.
        """
        beside = (SWAP, PLUMAGE)
        seen = {site: bands for site, bands in told.items() if bands is not None and site not in beside}
        return cls(_in_order(seen), told.get(SWAP), told.get(PLUMAGE, ""))

    def at(self, site: str) -> Bands | None:
        """Bands read on one site, `()` where it was seen to be bare, `None` where it was not seen."""
        return dict(self.sites).get(site)

    def mirrored(self) -> Reading:
        """The same reading as it would be with left and right mixed up."""
        return replace(self, sites=_in_order({MIRROR[site]: bands for site, bands in self.sites}))

    def as_mapping(self) -> dict[str, Any]:
        """A plain mapping of the sites that were seen, and of what was told beside them; `of` takes it."""
        seen: dict[str, Any] = {site: list(bands) for site, bands in self.sites}
        if self.swap is not None:
            seen[SWAP] = self.swap
        return {**seen, PLUMAGE: self.plumage} if self.plumage else seen
