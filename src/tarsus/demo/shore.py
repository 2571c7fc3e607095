"""The penguins of South Strand: mates wear the same colours, she on the right wing, he on the left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from tarsus.core.marks.marks import Marks
from tarsus.core.marks.sites import LEFT_WING, RIGHT_WING
from tarsus.demo.calendar import Calendar
from tarsus.demo.garden import SOUTH_STRAND
from tarsus.demo.making import Line, ages, bird_of, engravings
from tarsus.demo.names import AFRICAN_PAIRS, ROCKHOPPER_PAIRS
from tarsus.demo.prepared import PreparedBird, PreparedPair, PreparedSpecies
from tarsus.demo.species import AFRICAN_PENGUIN, ROCKHOPPER

WING_COLOURS: Final = ("orange", "blue", "yellow", "white", "pink", "green")


def _wing_marks(pairs: int) -> Iterator[tuple[str, ...]]:
    """One band for the eldest pairs, two colours once single ones ran out."""
    singles = [(colour,) for colour in WING_COLOURS]
    number = len(WING_COLOURS)
    yield from singles[:pairs]
    # Each lower colour in turn: what is turned over comes last.
    for step in range(1, number):
        yield from ((WING_COLOURS[i], WING_COLOURS[(i + step) % number]) for i in range(number))


def _penguins(
    couples: Sequence[tuple[str, ...]],
    species: PreparedSpecies,
    rng: np.random.Generator,
    at: Calendar,
) -> list[PreparedBird]:
    birds = []
    years = ages(rng, len(couples), 900, 5400)
    for (her, his), colours, age in zip(couples, _wing_marks(len(couples)), years, strict=False):
        for name, sex, site in ((her, "F", RIGHT_WING), (his, "M", LEFT_WING)):
            line = Line(name, sex, Marks.of({site: colours}), age + (0 if sex == "F" else 41))
            birds.append(bird_of(line, species, SOUTH_STRAND, engravings(0), rng, at))
    return birds


def african_penguins(rng: np.random.Generator, at: Calendar) -> list[PreparedBird]:
    """Forty-six African penguins in pairs."""
    return _penguins(AFRICAN_PAIRS, AFRICAN_PENGUIN, rng, at)


def rockhoppers(rng: np.random.Generator, at: Calendar) -> list[PreparedBird]:
    """Twenty-eight rockhoppers in pairs."""
    return _penguins(ROCKHOPPER_PAIRS, ROCKHOPPER, rng, at)


def penguin_pairs(at: Calendar) -> list[PreparedPair]:
    """Who is mated to whom, since some years."""
    couples = (*AFRICAN_PAIRS, *ROCKHOPPER_PAIRS)
    return [PreparedPair(her, his, at.day(500 + 37 * (i % 11))) for i, (her, his) in enumerate(couples)]
