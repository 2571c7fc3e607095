"""Transponders at antennas: codes as the standard writes them, and bursts of reads folded into visits.

Decision 0049.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from tarsus.core.errors import WrongValue, cut

GAP: Final = timedelta(minutes=10)
"""Reads of one code at one antenna that are no farther apart are one visit (ours)."""

LIES: Final = timedelta(hours=3)
"""A visit this long without a pause is no bird at a feeder: the chip lies there, or its bird does (ours)."""

_CODE: Final = re.compile(r"([0-9]{3})([0-9]{12})")
_LARGEST: Final = 2**38 - 1
_TEST: Final = 999


@dataclass(frozen=True, slots=True)
class Reads:
    """Reads of one code at one antenna, as they were told: the first, the last, and how many."""

    code: str
    antenna: str
    first: datetime
    last: datetime
    reads: int = 1
    bird: int | None = None
    exhibit: int = 0


@dataclass(frozen=True, slots=True)
class Visit(Reads):
    """Reads that belong together."""

    @property
    def lies(self) -> bool:
        """Whether it is a chip that does not move rather than a bird that comes and goes."""
        return self.last - self.first >= LIES

    def over(self, now: datetime) -> bool:
        """Whether nothing more can belong to it."""
        return self.last + GAP < now


def code_of(said: str, checksum: str = "") -> str:
    """A transponder's code in fifteen digits.

    Args:
        said: as the reader gives it: three digits of the country or maker, twelve of the animal; blanks,
            points and hyphens between them do not count.
        checksum: the telegram's own, four hexadecimal digits, where the reader gives it.

    Raises:
        WrongValue: it is no such code, is one for trials, or its checksum is another's.

    Source:
        ISO 11784:1996 (38 bits of the animal after 10 of the country or maker; 999 is for tests), ISO 11785
        for the checksum (from memory).
    """
    found = _CODE.fullmatch(number_kept(said))
    if found is None:
        raise WrongValue(
            "code", f"{cut(said)!r} is no code; give its fifteen digits as the reader shows them"
        )
    country, animal = int(found[1]), int(found[2])
    if country == 0 or animal > _LARGEST:
        raise WrongValue("code", f"{found[0]} is a number that no transponder carries; read it again")
    if checksum and _checksum(country, animal) != checksum.strip().lower():
        raise WrongValue("checksum", f"{cut(checksum)!r} is not that of {found[0]}; read it again")
    return found[0]


def number_kept(said: str) -> str:
    """A transponder's number as the register keeps it, so that an antenna's code finds its bird.

    Args:
        said: as somebody wrote it. Between fifteen digits blanks, points and hyphens do not count; a number
            of another kind stays as it is.
    """
    digits = re.sub(r"[\s.\-]", "", said)
    return digits if _CODE.fullmatch(digits) else said


def crc(octets: bytes) -> int:
    """The cyclic redundancy check of a telegram: x¹⁶ + x¹² + x⁵ + 1, least bit first, begun with nothing.

    Source:
        ITU-T V.41; its value for the nine digits *123456789* is 2189 in hexadecimal.
    """
    value = 0
    for octet in octets:
        value ^= octet
        for _ in range(8):
            value = (value >> 1) ^ 0x8408 if value & 1 else value >> 1
    return value


def _checksum(country: int, animal: int) -> str:
    """The checksum of a telegram: 38 bits of the animal, 10 of the country, then the animal flag."""
    return f"{crc((animal | country << 38 | 1 << 63).to_bytes(8, 'little')):04x}"


def visits(reads: Iterable[Reads]) -> tuple[Visit, ...]:
    """Fold bursts: reads of one code at one antenna with no pause longer than `GAP` are one visit.

    Args:
        reads: in any order, told once or twice over.

    Returns:
        By the moment of the last read, then code and antenna.

    Source:
        docs/decisions/0049-a-chip-is-no-bird.md.
    """
    told: dict[tuple[int, str, str], list[Reads]] = defaultdict(list)
    for one in reads:
        told[one.exhibit, one.code, one.antenna].append(one)
    found: list[Visit] = []
    for (exhibit, code, antenna), several in told.items():
        several.sort(key=lambda one: (one.first, one.last))
        begun = several[0]
        first, last, count, bird = begun.first, begun.last, begun.reads, begun.bird
        for one in several[1:]:
            if one.first - last > GAP:
                found.append(Visit(code, antenna, first, last, count, bird, exhibit))
                first, last, count, bird = one.first, one.last, 0, None
            last, count, bird = max(last, one.last), count + one.reads, one.bird or bird
        found.append(Visit(code, antenna, first, last, count, bird, exhibit))
    return tuple(sorted(found, key=lambda one: (one.last, one.code, one.antenna, one.exhibit)))
