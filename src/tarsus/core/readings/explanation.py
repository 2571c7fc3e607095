"""What must have gone wrong, if this reading is of that bird: for the sentence beside a candidate."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from tarsus.core.marks.marks import NOT_MADE_OUT, Bands, Marks, Reading
from tarsus.core.marks.sites import MIRROR
from tarsus.core.readings.misreading import Misreading, orders
from tarsus.core.readings.open_ends import spelled_out


@dataclass(frozen=True, slots=True)
class Missing:
    """A band that the bird wears and the reading lacks; `position` counts from the body outward, from 0."""

    site: str
    position: int
    band: str


@dataclass(frozen=True, slots=True)
class Taken:
    """A band that was taken for another: worn so, read so."""

    site: str
    worn: str
    read: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """The likeliest way in which one bird's marks gave one reading; sites are the bird's own.

    `share` is how much of the chance of that reading this one way has; the rest are other ways.
    """

    share: float
    sides_mixed_up: bool
    missing: tuple[Missing, ...]
    taken: tuple[Taken, ...]
    turned_over: tuple[str, ...]

    @property
    def nothing_wrong(self) -> bool:
        """The bird wears what was read."""
        return not (self.sides_mixed_up or self.missing or self.taken or self.turned_over)

    def words(self) -> tuple[str, ...]:
        """Say it for people, one phrase an error."""
        said = ["left and right were probably mixed up"] if self.sides_mixed_up else []
        said += [f"{m.band} on the {m.site} is probably missing: lost, or not noticed" for m in self.missing]
        said += [f"{t.worn} on the {t.site} was probably read as {t.read}" for t in self.taken]
        said += [f"the order on the {site} was probably turned over" for site in self.turned_over]
        return tuple(said)


def fits(reading: Reading, marks: Marks) -> bool:
    """Say whether a bird wears exactly what was read on the sites that were seen.

    ``?`` fits any band, ``*`` any number of bands.
    """
    return all(_site_fits(read, marks.at(site)) for site, read in reading.sites)


def _site_fits(read: Bands, worn: Bands) -> bool:
    return any(
        len(told) == len(worn) and all(r in (NOT_MADE_OUT, w) for r, w in zip(told, worn, strict=True))
        for told in spelled_out(read, len(worn))
    )


def explanation(misreading: Misreading, reading: Reading, marks: Marks) -> Explanation | None:
    """Find the likeliest way in which a bird's marks gave a reading.

    Args:
        misreading: the observer.
        reading: what was seen.
        marks: what the bird wears.

    Returns:
        The likeliest way, or None where the bird cannot be read so.

    Source:
        docs/science/reading.md, "What a reading misses": the ways of eq. 2 one by one.
    """
    chance = misreading.reading_chance(reading, marks)
    if chance <= 0.0:
        return None
    ways = [
        _way(misreading, reading, marks, mixed_up=False, chance=1.0 - misreading.swap),
        _way(misreading, reading, marks, mixed_up=True, chance=misreading.swap),
    ]
    best = max(ways, key=lambda way: way.share)
    return Explanation(best.share / chance, best.sides_mixed_up, best.missing, best.taken, best.turned_over)


def _way(
    misreading: Misreading, reading: Reading, marks: Marks, *, mixed_up: bool, chance: float
) -> Explanation:
    missing: list[Missing] = []
    taken: list[Taken] = []
    turned: list[str] = []
    for site, read in reading.sites:
        own = MIRROR[site] if mixed_up else site
        worn = marks.at(own)
        way = _site_way(misreading, read, worn)
        chance *= way.share
        missing += [Missing(own, at, band) for at, band in enumerate(worn) if at not in way.kept]
        pairs = [(worn[at], r) for at, r in zip(way.kept, way.order, strict=True)]
        taken += [Taken(own, w, r) for w, r in pairs if r not in (NOT_MADE_OUT, w)]
        turned += [own] if way.turned_over else []
    return Explanation(chance, mixed_up, tuple(missing), tuple(taken), tuple(turned))


@dataclass(frozen=True, slots=True)
class _SiteWay:
    """Chance, bands that showed, the order they were read in, and whether that is turned over."""

    share: float
    kept: tuple[int, ...] = ()
    order: Bands = ()
    turned_over: bool = False


def _site_way(misreading: Misreading, read: Bands, worn: Bands) -> _SiteWay:
    """The likeliest way on one site; what an open end hides may be any band."""
    told = [one for one in spelled_out(read, len(worn)) if len(one) <= len(worn)]
    ways = (way for one in told for way in _ways(misreading, one, worn))
    return max(ways, key=lambda way: way.share, default=_SiteWay(0.0))


def _ways(misreading: Misreading, read: Bands, worn: Bands) -> Iterator[_SiteWay]:
    gone = misreading.gone
    for order, share in orders(read, misreading.flip):
        for kept in combinations(range(len(worn)), len(read)):
            chance = share * gone ** (len(worn) - len(read)) * (1.0 - gone) ** len(read)
            for at, band in zip(kept, order, strict=True):
                chance *= misreading.band_chance(band, worn[at])
            yield _SiteWay(chance, kept, order, order != read)
