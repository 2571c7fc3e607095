"""What a park says about how its file is written, as it is typed, kept and taken up again."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final, TypeVar

from tarsus.core.errors import UnknownWord
from tarsus.core.marks.lettering import WADER, Lettering, lettering_from, undisputed
from tarsus.core.marks.marks import METAL
from tarsus.core.marks.palette import Palette
from tarsus.core.marks.shorthand import TMeans
from tarsus.tables.columns import FIELDS
from tarsus.tables.dates import SlashOrder
from tarsus.tables.known import Writing

FORMS: Final[Mapping[str, str]] = {"leg": "legs", "tibia": "tall", "wing": "wings", "none": "told"}
"""Where the birds of a species wear bands, as it is asked, and the form it gives."""

_SLASHES: Final[tuple[SlashOrder, ...]] = ("", "day first", "month first")
W = TypeVar("W", bound=str)
_T: Final[tuple[TMeans, ...]] = ("", "tibia", "tarsus")


@dataclass(frozen=True)
class Choices:
    """How one file is written. `letters` is `wader`, `park`, pairs such as `B=black`, or empty: ask.

    `species` holds where new species are banded: leg, tibia, wing or none. `runs` holds what a run of
    letters stands for (`gn`: `green`, or `green,black`; `-` leaves its lines out), `exhibits` which exhibit a
    spelling means, `cells` by field what is meant by a text that was not understood (`-`: not known);
    `small_letters` says that small letters stand for a band each as well. `what` says what the file is a list
    of (empty: as its headings tell), `once` by field what holds for every line of such a list.
    """

    letters: str = ""
    t_means: str = ""
    slashes: str = ""
    southern: bool = False
    exhibit: str = ""
    species: Mapping[str, str] = field(default_factory=dict)
    runs: Mapping[str, str] = field(default_factory=dict)
    exhibits: Mapping[str, str] = field(default_factory=dict)
    cells: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    small_letters: bool = False
    what: str = ""
    once: Mapping[str, str] = field(default_factory=dict)

    def as_mapping(self) -> dict[str, Any]:
        """The choices as they are kept with a saved mapping."""
        return {
            "letters": self.letters,
            "t_means": self.t_means,
            "slashes": self.slashes,
            "southern": self.southern,
            "exhibit": self.exhibit,
            "species": dict(self.species),
            "runs": dict(self.runs),
            "exhibits": dict(self.exhibits),
            "cells": {subject: dict(answers) for subject, answers in self.cells.items()},
            "small_letters": self.small_letters,
            "what": self.what,
            "once": dict(self.once),
        }

    @classmethod
    def of(cls, kept: Mapping[str, Any]) -> Choices:
        """The choices that a saved mapping keeps; keys of another time count for nothing."""
        known = cls().as_mapping()
        return cls(**{key: kept[key] for key in known if key in kept})

    def writing(self, today: date, palette: Palette, park: Lettering) -> Writing:
        """The choices as an import takes them.

        Args:
            today: the park's day; no date may lie beyond it.
            palette: the park's colours.
            park: the park's own letters.

        Raises:
            UnknownWord, WrongValue: a choice that is none.
        """
        return Writing(
            today=today,
            lettering=_lettering(self.letters, palette, park),
            t_means=_one_of("t", self.t_means, _T),
            slashes=_one_of("dates", self.slashes, _SLASHES),
            southern=self.southern,
            exhibit=self.exhibit,
            forms={
                name: FORMS[_one_of(f"species[{name!r}]", where, tuple(FORMS))]
                for name, where in self.species.items()
            },
            runs={run.casefold(): _bands(run, said, palette) for run, said in self.runs.items()},
            small_letters=self.small_letters,
            exhibits=self.exhibits,
            cells={_one_of("cell", subject, FIELDS): answers for subject, answers in self.cells.items()},
        )


def _bands(run: str, said: str, palette: Palette) -> tuple[str, ...]:
    """What was said of a run: its bands from the body outward, none for one that is not to be read."""
    if said.strip() == "-":
        return ()
    bands = tuple(part.strip() for part in said.replace(" over ", ",").split(","))
    for band in bands:
        if band not in (*palette.names, METAL):
            raise UnknownWord(f"runs[{run!r}]", band, "colour of the palette", (*palette.names, METAL))
    return bands


def _one_of(place: str, word: str, known: Collection[W]) -> W:
    for one in known:
        if one == word:
            return one
    raise UnknownWord(place, word, "choice", [one for one in known if one])


def _lettering(said: str, palette: Palette, park: Lettering) -> Lettering:
    if not said:
        return undisputed(palette)
    if said == "park":
        return park
    if said == "wader":
        return _within(palette, WADER.letters)
    return lettering_from([pair for pair in said.split(",") if pair.strip()], palette)


def _within(palette: Palette, letters: Iterable[tuple[str, str]]) -> Lettering:
    return Lettering.of(
        {band: letter for letter, band in letters if band in palette.names or band == METAL}, palette
    )
