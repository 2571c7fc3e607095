"""How well each bird of a flock explains each reading."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.marks import Bands, Marks, Reading
from tarsus.core.marks.sites import SITES
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.stacks import Stacks, stack_chances

_REMEMBERED: Final = 4096


class Likelihoods:
    """A flock's marks made ready for many readings by one observer.

    Tables over stacks are kept by what was read, since the readings of a round repeat.
    """

    def __init__(self, misreading: Misreading, marks: Sequence[Marks]) -> None:
        self.misreading = misreading
        self.stacks = Stacks.of(misreading, marks)
        self._tables: dict[Bands, NDArray[np.float64]] = {}
        # Both ways of reading the sides side by side, so that one look-up serves both.
        both = np.concatenate([self.stacks.codes, self.stacks.mirrored], axis=1)
        self._both = dict(zip(SITES, both, strict=True))
        told_apart = np.full(len(marks), 1.0 - misreading.swap)
        self._start = np.concatenate([told_apart, np.full(len(marks), misreading.swap)])

    def table(self, read: Bands) -> NDArray[np.float64]:
        """``(U,)`` chance of reading so on one site, by the stack that is worn there."""
        known = self._tables.get(read)
        if known is None:
            if len(self._tables) >= _REMEMBERED:
                self._tables.clear()
            known = self._tables[read] = stack_chances(self.misreading, read, self.stacks)
        return known

    def both_ways(self, reading: Reading) -> NDArray[np.float64]:
        """Chance of one reading together with how its sides were read, for every bird.

        Args:
            reading: what was seen; sites that were not seen carry no evidence.

        Returns:
            ``(2 B,)``: for every bird with the sides read right, then for every bird with left and right
            mixed up.
        """
        chances = self._start.copy()
        for site, read in reading.sites:
            chances *= self.table(read).take(self._both[site])
        return chances

    def sides(self, reading: Reading) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """`both_ways` as two ``(B,)`` arrays; their sum is the likelihood."""
        chances = self.both_ways(reading)
        birds = len(chances) // 2
        return chances[:birds], chances[birds:]

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
