"""Which letter stands for which band: the park's own shorthand, and what to ask where it is not known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.marks.marks import METAL
from tarsus.core.marks.palette import BUILT_IN, LETTERS, METAL_LETTER, Palette

_LONGEST: Final = 3


@dataclass(frozen=True)
class Lettering:
    """Pairs of a letter (one to three characters) and the band it stands for."""

    letters: tuple[tuple[str, str], ...]

    @classmethod
    def of(cls, by_band: Mapping[str, str], palette: Palette = BUILT_IN) -> Lettering:
        """A lettering from band to letter; metal is `m` unless it is given.

        Raises:
            UnknownWord: a band that is neither metal nor a colour of the palette.
            WrongValue: a letter that is no letter, or that stands for two bands.
        """
        known = (METAL, *palette.names)
        chosen = dict(by_band)
        chosen.setdefault(METAL, METAL_LETTER)
        taken: dict[str, str] = {}
        for band, letter in chosen.items():
            if band not in known:
                raise UnknownWord("letters", band, "colour of the palette", known)
            if not (letter.isalpha() and len(letter) <= _LONGEST):
                raise WrongValue(f"letters[{band!r}]", f"'{letter}' is no letter; write one to three letters")
            if letter in taken:
                both = f"{taken[letter]} and {band}"
                raise WrongValue("letters", f"{letter} stands for {both}; give each its own letter")
            taken[letter] = band
        return cls(tuple(taken.items()))

    @cached_property
    def band_of(self) -> Mapping[str, str]:
        """The band each letter stands for."""
        return dict(self.letters)

    @cached_property
    def letter_of(self) -> Mapping[str, str]:
        """The letter of each band."""
        return {band: letter for letter, band in self.letters}

    @cached_property
    def _whatever_case(self) -> Mapping[str, str]:
        """Letters without regard to case; empty where the park tells two bands apart by case alone."""
        folded = {letter.casefold(): band for letter, band in self.letters}
        return folded if len(folded) == len(self.letters) else {}

    def bands_of(self, piece: str) -> str | None:
        """The band that one letter stands for, `None` if it stands for none."""
        return self.band_of.get(piece) or self._whatever_case.get(piece.casefold())

    def spellings(self, word: str) -> tuple[tuple[str, ...], ...]:
        """Every way to read a word as a string of letters: each a tuple of bands in the order written."""
        if not word:
            return ((),)
        return tuple(
            (band, *rest)
            for length in range(1, min(_LONGEST, len(word)) + 1)
            if (band := self.bands_of(word[:length])) is not None
            for rest in self.spellings(word[length:])
        )


WADER: Final = Lettering.of({**LETTERS, METAL: METAL_LETTER})
"""The published convention of wader ringers (see `palette.LETTERS`)."""


def claimants(letter: str, palette: Palette = BUILT_IN) -> tuple[str, ...]:
    """The bands that a letter may well stand for: those that begin with it, and the wader convention's.

    Returns:
        Names in the palette's order, metal last.
    """
    folded = letter.casefold()
    by_convention = WADER.bands_of(letter)
    return tuple(
        name
        for name in (*palette.names, METAL)
        if name.casefold().startswith(folded) or name == by_convention
    )


def undisputed(palette: Palette = BUILT_IN) -> Lettering:
    """The letters that need not be asked about, since only one band of the palette claims them."""
    sure: dict[str, str] = {METAL: METAL_LETTER}
    for name in palette.names:
        letter = name[0].upper()
        if letter.isalpha() and claimants(letter, palette) == (name,):
            sure[name] = letter
    return Lettering.of(sure, palette)


def lettering_from(pairs: Iterable[str], palette: Palette = BUILT_IN) -> Lettering:
    """A lettering written as `B=black`, on top of the undisputed letters.

    Raises:
        WrongValue: a pair that is not of this form, or a letter given twice.
        UnknownWord: a colour that the palette does not have.
    """
    said: dict[str, str] = {}
    for pair in pairs:
        letter, equals, band = (part.strip() for part in pair.partition("="))
        if not (letter and equals and band):
            raise WrongValue("letters", f"'{pair}' says no letter; write it as B=black")
        if band in said:
            raise WrongValue("letters", f"{band} is given two letters; leave one out")
        said[band] = letter
    taken = {letter.casefold() for letter in said.values()}
    for letter, band in undisputed(palette).letters:
        if band not in said and letter.casefold() not in taken:
            said[band] = letter
    return Lettering.of(said, palette)
