"""How well each bird of a flock explains each reading."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.marks import Bands, Marks, Reading
from tarsus.core.marks.sites import SITES
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.stacks import Stacks, alike_stack_chances, stack_chances

_REMEMBERED: Final = 4096
_AT_ONCE: Final = 64


class Likelihoods:
    """A flock's marks made ready for many readings by one observer.

    Tables over stacks are kept by what was read, since the readings of a round repeat; those of the stacks
    that are worn, which most readings are, can be made beforehand (`make_ready`).
    """

    def __init__(self, misreading: Misreading, marks: Sequence[Marks]) -> None:
        self.misreading = misreading
        self.stacks = Stacks.of(misreading, marks)
        self._tables: dict[Bands, NDArray[np.float64]] = {}

    def make_ready(self, worn: Iterable[Bands]) -> None:
        """Make the tables of these readings of a site, many at once."""
        by_length: dict[int, list[Bands]] = {}
        for read in worn:
            by_length.setdefault(len(read), []).append(read)
        for reads in by_length.values():
            for start in range(0, len(reads), _AT_ONCE):
                some = reads[start : start + _AT_ONCE]
                tables = alike_stack_chances(self.misreading, some, self.stacks)
                self._tables.update(zip(some, tables, strict=True))

    def table(self, read: Bands) -> NDArray[np.float64]:
        """``(U,)`` chance of reading so on one site, by the stack that is worn there."""
        known = self._tables.get(read)
        if known is None:
            if len(self._tables) >= _REMEMBERED:
                self._tables.clear()
            known = self._tables[read] = stack_chances(self.misreading, read, self.stacks)
        return known

    def sides(self, reading: Reading) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Say how probable one reading is together with how its sides were read, for every bird.

        Args:
            reading: what was seen; sites that were not seen carry no evidence.

        Returns:
            ``(B,)`` with the sides read right, ``(B,)`` with left and right mixed up; their sum is the
            likelihood.
        """
        stacks = self.stacks
        swap = self.misreading.swap_of(reading)
        straight = np.full(stacks.codes.shape[1], 1.0 - swap)
        crossed = np.full(stacks.codes.shape[1], swap)
        for site, read in reading.sites:
            at, table = SITES.index(site), self.table(read)
            straight *= table[stacks.codes[at]]
            crossed *= table[stacks.mirrored[at]]
        return straight, crossed

    def of(self, reading: Reading) -> NDArray[np.float64]:
        """``(B,)`` chance of one reading, for every bird."""
        straight, crossed = self.sides(reading)
        return straight + crossed


def likelihoods(
    misreading: Misreading, readings: Sequence[Reading], marks: Sequence[Marks]
) -> NDArray[np.float64]:
    """Say how probable each reading is if it is of each bird.

    Args:
        misreading: the observer.
        readings: R readings; sites that were not seen carry no evidence.
        marks: what each of B birds wears.

    Returns:
        ``(R, B)`` float64; `Misreading.reading_chance` of each reading and bird.

    Raises:
        UnknownWord: a band that is no metal and no colour of the palette.

    Source:
        docs/science/reading.md, eq. 1 and 2.
    """
    prepared = Likelihoods(misreading, marks)
    if not readings:
        return np.zeros((0, len(marks)))
    return np.stack([prepared.of(reading) for reading in readings])
