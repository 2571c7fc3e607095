"""What is known before a file is read: the register, as an import must know it, and how files are written."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Final

from tarsus.core.marks.lettering import Lettering, undisputed
from tarsus.core.marks.marks import Marks
from tarsus.core.marks.noted import Level
from tarsus.core.marks.palette import BUILT_IN, Palette
from tarsus.core.marks.runs import Runs
from tarsus.core.marks.shorthand import Notation, TMeans
from tarsus.tables.dates import SlashOrder
from tarsus.tables.park_words import LANGUAGES, short_forms

LEVELS: Final[Mapping[str, Level]] = {"legs": "leg", "tall": "tibia", "wings": "wing", "told": "leg"}
"""The form in which a species is drawn, and where its birds wear bands."""

_ARTICLES: Final = ("the", "der", "die", "das", "le", "la", "les", "el", "los", "las", "de", "het")
ALIKE: Final = 0.88
FAINTLY_ALIKE: Final = 0.6


@dataclass(frozen=True, slots=True)
class SpeciesKnown:
    """What an import must know of a species."""

    name: str
    form: str
    lookalike: str
    sites: tuple[str, ...]
    excluded: tuple[str, ...] = ()
    is_new: bool = False


@dataclass(frozen=True, slots=True)
class BirdKnown:
    """A bird that is in the register already."""

    bird_id: int
    name: str
    number: str
    species: str
    lookalike: str
    exhibit: str
    marks: Marks


@dataclass(frozen=True)
class RegisterKnown:
    """The register as an import must know it. Keys of `metals` are engravings without blanks, in capitals."""

    species: tuple[SpeciesKnown, ...] = ()
    exhibits: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    palette: Palette = BUILT_IN
    female_side: str = ""
    male_side: str = ""
    bands_per_leg: int = 2
    birds: tuple[BirdKnown, ...] = ()
    metals: Mapping[str, str] = field(default_factory=dict)
    transponders: Mapping[str, str] = field(default_factory=dict)
    rows_in: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Writing:
    """How one file is written, as the park said when it was brought in.

    `runs` and `exhibits` are answers: what a run of letters stands for (in small letters; none: not to be
    read), which exhibit a spelling means, and by field what cells mean that were not understood. `languages`
    are those of its headings.
    """

    today: date
    lettering: Lettering = field(default_factory=undisputed)
    t_means: TMeans = ""
    slashes: SlashOrder = ""
    southern: bool = False
    exhibit: str = ""
    forms: Mapping[str, str] = field(default_factory=dict)
    runs: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    small_letters: bool = False
    exhibits: Mapping[str, str] = field(default_factory=dict)
    cells: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    languages: tuple[str, ...] = ("en",)

    def notation(self, species: SpeciesKnown, palette: Palette, most: int = 2) -> Notation:
        """How marks of one species are to be taken; runs of more than `most` bands are asked."""
        others = tuple(code for code in LANGUAGES if code not in self.languages)
        runs = Runs(
            self.runs,
            short_forms(self.languages),
            short_forms(others),
            most,
            small_letters=self.small_letters,
        )
        return Notation(palette, self.lettering, LEVELS[species.form], self.t_means, runs)


def engraving_key(text: str) -> str:
    """An engraving as the register compares it: capitals, no blanks."""
    return "".join(text.split()).upper()


def name_key(text: str) -> str:
    """A name as it is compared: without case and doubled blanks."""
    return " ".join(text.casefold().split())


def loose_key(text: str) -> str:
    """A name without case, article and punctuation: two names alike by it are asked about."""
    plain = "".join(letter if letter.isalnum() else " " for letter in text.casefold())
    return " ".join(word for word in plain.split() if word not in _ARTICLES) or plain.strip()


def nearly(text: str, names: Iterable[str], cutoff: float = ALIKE) -> str:
    """A name that a text is nearly, and probably means; names that differ by a number are different names."""
    folded = {name_key(name): name for name in names}
    for near in difflib.get_close_matches(name_key(text), folded, n=3, cutoff=cutoff):
        if re.findall(r"\d+", near) == re.findall(r"\d+", text):
            return folded[near]
    return ""
