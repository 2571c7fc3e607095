"""The waders of Shingle Aviary: avocets marked by hand, stilts and ruffs by the two habits of the garden."""

from __future__ import annotations

from typing import Final

import numpy as np

from tarsus.core.marks.marks import METAL, Marks
from tarsus.core.marks.sites import LEFT_LEG, LEFT_TIBIA, RIGHT_LEG, RIGHT_TIBIA
from tarsus.demo.calendar import Calendar
from tarsus.demo.garden import SHINGLE_AVIARY
from tarsus.demo.making import Line, ages, bird_of, engravings
from tarsus.demo.marking import farthest, metal_and_pair, next_free
from tarsus.demo.names import RUFFS, STILTS
from tarsus.demo.prepared import PreparedBird
from tarsus.demo.species import AVOCET, RUFF, STILT

FEMALE_AVOCETS: Final = {
    "Sedge": "yellow green",
    "Marram": "yellow blue",
    "Samphire": "red white",
    "Thrift": "pink blue",
    "Pebble": "white yellow",
    "Tansy": "green yellow",
    "Fennel": "red black",
    "Dulse": "black white",
    "Kelp": "yellow lime",
    "Wrack": "blue pink",
    "Limpet": "white black",
    "Cockle": "red pale_blue",
    "Whelk": "orange blue",
    "Shale": "red orange",
}
MALE_AVOCETS: Final = {
    "Chert": "yellow green",
    "Flint": "red blue",
    "Marl": "white red",
    "Loam": "blue yellow",
    "Spindle": "green white",
    "Teasel": "pink white",
    "Burdock": "white pink",
    "Sorrel": "black yellow",
    "Yarrow": "orange black",
    "Bramble": "red pink",
    "Alder": "blue green",
    "Rowan": "pale_blue white",
}
YOUNG_AVOCETS: Final = {"Osier": "red yellow", "Bracken": "white blue", "Hazel": "green red"}

STILT_COLOURS: Final = ("white", "blue", "yellow", "black", "green", "orange", "lime")
RUFF_COLOURS: Final = ("white", "red", "blue", "black", "green", "pale blue", "lime")


def _pair(words: str) -> tuple[str, ...]:
    return tuple(word.replace("_", " ") for word in words.split())


def avocets(rng: np.random.Generator, at: Calendar) -> list[PreparedBird]:
    """Twenty-nine avocets, 12.14.3; Sedge wears WB 20417."""
    by_sex = (("F", FEMALE_AVOCETS), ("M", MALE_AVOCETS))
    numbers = engravings(20417)
    birds = []
    for sex, flock in by_sex:
        for age, (name, colours) in zip(ages(rng, len(flock), 700, 3200), flock.items(), strict=True):
            marks = metal_and_pair(sex, _pair(colours), LEFT_TIBIA, RIGHT_TIBIA)
            birds.append(bird_of(Line(name, sex, marks, age), AVOCET, SHINGLE_AVIARY, numbers, rng, at))
    for age, (name, colours) in zip(ages(rng, 3, 300, 390), YOUNG_AVOCETS.items(), strict=True):
        marks = metal_and_pair("U", _pair(colours), LEFT_TIBIA, RIGHT_TIBIA)
        line = Line(name, "U", marks, age, dam="Marram", sire="Flint")
        birds.append(bird_of(line, AVOCET, SHINGLE_AVIARY, numbers, rng, at))
    return birds


def stilts(rng: np.random.Generator, at: Calendar) -> list[PreparedBird]:
    """Twenty-one stilts, 10.11.0: the elder two thirds by *next free combination*."""
    sexes = ["M" if i % 2 else "F" for i in range(len(STILTS))]
    old = next_free(sexes[:14], STILT_COLOURS, LEFT_TIBIA, RIGHT_TIBIA)
    marks = old + farthest(sexes[14:], old, STILT_COLOURS, LEFT_TIBIA, RIGHT_TIBIA)
    numbers = engravings(31101)
    lines = map(Line, STILTS, sexes, marks, ages(rng, len(STILTS), 420, 2900))
    return [bird_of(line, STILT, SHINGLE_AVIARY, numbers, rng, at) for line in lines]


def ruffs(rng: np.random.Generator, at: Calendar) -> list[PreparedBird]:
    """Fourteen ruffs, 7.4.3: the young ones wear one colour a leg until they are sexed."""
    sexes = list("FMMFMMFMMFM")
    old = next_free(sexes[:6], RUFF_COLOURS, LEFT_LEG, RIGHT_LEG)
    grown = old + farthest(sexes[6:], old, RUFF_COLOURS, LEFT_LEG, RIGHT_LEG)
    young = farthest("UUU", grown, RUFF_COLOURS, LEFT_LEG, RIGHT_LEG)
    numbers = engravings(40233)
    years = ages(rng, 11, 450, 2400) + ages(rng, 3, 310, 380)
    lines = map(Line, RUFFS, [*sexes, *"UUU"], grown + young, years)
    return [bird_of(line, RUFF, SHINGLE_AVIARY, numbers, rng, at) for line in lines]


SEDGE_WEARS: Final = Marks.of({LEFT_TIBIA: [METAL], RIGHT_TIBIA: ["yellow", "green"]})
TEASEL_WEARS: Final = Marks.of({LEFT_TIBIA: ["pink", "white"], RIGHT_TIBIA: [METAL]})
