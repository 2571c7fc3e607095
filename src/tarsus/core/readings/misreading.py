"""How a reading comes about: one observer's errors as exact chances.

The process is that of docs/science/reading.md. On one site each band is independently gone (lost, or there
and not noticed); of those that remain one neighbouring pair, drawn evenly, is turned over with chance
`flip`; each is then read through the confusion table. With chance `swap` every left site is read as the
right one and the other way round.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from tarsus.core.errors import UnknownWord
from tarsus.core.marks.colour_vision import NORMAL, ColourVision
from tarsus.core.marks.confusability import confusability
from tarsus.core.marks.marks import METAL, NOT_MADE_OUT, OPEN_END, Bands, Marks, Reading
from tarsus.core.marks.palette import Palette
from tarsus.core.marks.sites import MIRROR
from tarsus.core.readings.open_ends import completions, open_chances, told_bands
from tarsus.core.readings.reader import Reader

Band = TypeVar("Band")


@dataclass(frozen=True)
class Misreading:
    """One observer's errors over one palette; equal ones are equal values and can be keys.

    `words` are what a band can be or be read as: metal first, then the palette. `confusion[i][j]` is the
    chance that a band that is `words[i]` is read as `words[j]`; every row sums to 1.
    """

    swap: float
    flip: float
    overlook: float
    lost: float
    words: tuple[str, ...]
    confusion: tuple[tuple[float, ...], ...]

    @classmethod
    def of(
        cls, reader: Reader, palette: Palette, *, looks: Palette | None = None, vision: ColourVision = NORMAL
    ) -> Misreading:
        """Spell a reader's errors out over a palette.

        Args:
            reader: the error chances; `confusion`, where given, replaces what is derived from the colours.
            palette: the colours as their names mean them.
            looks: the colours as the bands look now, where some have faded.
            vision: the observer's eyes.

        Returns:
            The observer, with the confusion table in full.
        """
        words = (METAL, *palette.names)
        table = np.eye(len(words))
        if reader.confusion is None:
            table[1:, 1:] = confusability(palette, reader.colour, looks=looks, vision=vision)
        else:
            for worn, row in reader.confusion.items():
                others = {read: chance for read, chance in row.items() if read != worn}
                for read, chance in others.items():
                    table[words.index(worn), words.index(read)] = chance
                at = words.index(worn)
                table[at, at] = 1.0 - sum(others.values())
        rows = tuple(tuple(float(chance) for chance in row) for row in table)
        return cls(reader.swap, reader.flip, reader.overlook, reader.lost, words, rows)

    @cached_property
    def code(self) -> dict[str, int]:
        """Index of each word in `words`."""
        return {word: at for at, word in enumerate(self.words)}

    @cached_property
    def table(self) -> NDArray[np.float64]:
        """``(C, C)`` the confusion table as an array: worn ``i`` read as ``j`` at ``[i, j]``."""
        table = np.array(self.confusion, dtype=np.float64)
        table.setflags(write=False)
        return table

    @cached_property
    def on_average(self) -> dict[str, float]:
        """How often each word is read of a band that is any word with equal chance.

        Source:
            docs/science/reading.md, eq. 7.
        """
        return dict(zip(self.words, self.table.mean(axis=0).tolist(), strict=True))

    @cached_property
    def gone(self) -> float:
        """Chance that one band does not show in a reading: lost, or there and not noticed.

        Source:
            docs/science/reading.md, "One reading".
        """
        return 1.0 - (1.0 - self.lost) * (1.0 - self.overlook)

    def band_chance(self, read: str, worn: str) -> float:
        """Chance that one band that is there and noticed is read so; ``?`` fits any band."""
        if read == NOT_MADE_OUT:
            return 1.0
        return self.confusion[self._code_of(worn)][self._code_of(read)]

    def site_chance(self, read: Bands, worn: Bands) -> float:
        """Say how probable it is that one site is read so.

        Args:
            read: bands read from the body outward; `()` is seen to be bare. With ``*`` it stands for all the
                readings that it can be completed to.
            worn: bands worn there, from the body outward.

        Returns:
            A chance; over all readings of a site without ``?`` and ``*`` it sums to 1. 0 where more was read
            than is worn.

        Raises:
            UnknownWord: a band that is no metal and no colour of the palette.

        Source:
            docs/science/reading.md, eq. 2 and 9: exact, by dynamic programming over the bands.
        """
        if len(told_bands(read)) > len(worn):
            return 0.0
        if OPEN_END in read:
            return self._open_chance(read, worn)
        return sum(share * self._in_order(order, worn) for order, share in orders(read, self.flip))

    def reading_chance(self, reading: Reading, marks: Marks) -> float:
        """Say how probable one reading of one bird is.

        Args:
            reading: what was seen; sites that were not seen carry no evidence.
            marks: what the bird wears.

        Returns:
            A chance, that of reading the sides right plus that of mixing them up.

        Source:
            docs/science/reading.md, eq. 1.
        """
        straight = crossed = 1.0
        for site, read in reading.sites:
            straight *= self.site_chance(read, marks.at(site))
            crossed *= self.site_chance(read, marks.at(MIRROR[site]))
        swap = self.swap_of(reading)
        return (1.0 - swap) * straight + swap * crossed

    def swap_of(self, reading: Reading) -> float:
        """Chance that the sides of this reading are mixed up: its own where it tells one."""
        return self.swap if reading.swap is None else reading.swap

    def _open_chance(self, read: Bands, worn: Bands) -> float:
        kinds = np.array([[self._code_of(band)] for band in worn], dtype=np.intp).reshape(len(worn), 1)
        gone, shown = np.full(kinds.shape, self.gone), (1.0 - self.gone) * self.table.T
        return float(open_chances(completions(read, self.words), shown, kinds, gone, self.flip)[0])

    def _in_order(self, read: Bands, worn: Bands) -> float:
        """Chance of this reading where nothing is turned over: which bands are gone is summed out."""
        gone = self.gone
        # chances[j]: the bands so far gave the first j of the reading.
        chances = [1.0] + [0.0] * len(read)
        for band in worn:
            for at in range(len(read), 0, -1):
                shown = chances[at - 1] * (1.0 - gone) * self.band_chance(read[at - 1], band)
                chances[at] = chances[at] * gone + shown
            chances[0] *= gone
        return chances[-1]

    def _code_of(self, word: str) -> int:
        if word not in self.code:
            raise UnknownWord("", word, "colour of the palette", self.words)
        return self.code[word]


def orders(read: Sequence[Band], flip: float) -> Iterator[tuple[tuple[Band, ...], float]]:
    """The orders in which the bands that were read may really stand, each with its chance.

    Turning a pair over undoes itself, so the error is put on the reading and the worn bands keep their order.

    Source:
        docs/science/reading.md, eq. 2.
    """
    pairs = len(read) - 1
    if pairs < 1 or flip == 0.0:
        yield tuple(read), 1.0
        return
    yield tuple(read), 1.0 - flip
    for at in range(pairs):
        yield (*read[:at], read[at + 1], read[at], *read[at + 2 :]), flip / pairs
