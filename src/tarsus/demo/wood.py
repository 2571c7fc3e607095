"""The spoonbills and ibises of Heron Wood."""

from __future__ import annotations

from typing import Final

import numpy as np

from tarsus.core.marks.sites import LEFT_LEG, RIGHT_LEG
from tarsus.demo.calendar import Calendar
from tarsus.demo.garden import HERON_WOOD
from tarsus.demo.making import Line, ages, bird_of, engravings
from tarsus.demo.marking import farthest, next_free
from tarsus.demo.names import IBISES, SPOONBILLS
from tarsus.demo.prepared import PreparedBird
from tarsus.demo.species import IBIS, SPOONBILL

SPOONBILL_COLOURS: Final = ("white", "red", "blue", "yellow", "green", "orange", "pale blue", "lime")
IBIS_COLOURS: Final = ("white", "blue", "yellow", "green", "orange", "pale blue", "lime")


def _sexes(number: int, unsexed: int) -> list[str]:
    grown = ["M" if i % 2 else "F" for i in range(number - unsexed)]
    return grown + ["U"] * unsexed


def spoonbills(rng: np.random.Generator, at: Calendar) -> list[PreparedBird]:
    """Thirty-eight spoonbills, 18.19.1."""
    sexes = _sexes(len(SPOONBILLS), 1)
    old = next_free(sexes[:22], SPOONBILL_COLOURS, LEFT_LEG, RIGHT_LEG)
    marks = old + farthest(sexes[22:], old, SPOONBILL_COLOURS, LEFT_LEG, RIGHT_LEG)
    numbers = engravings(72008)
    years = ages(rng, 37, 420, 5200) + ages(rng, 1, 300, 380)
    lines = map(Line, SPOONBILLS, sexes, marks, years)
    return [bird_of(line, SPOONBILL, HERON_WOOD, numbers, rng, at) for line in lines]


def ibises(rng: np.random.Generator, at: Calendar) -> list[PreparedBird]:
    """Fifty ibises, 24.24.2."""
    sexes = _sexes(len(IBISES), 2)
    old = next_free(sexes[:30], IBIS_COLOURS, LEFT_LEG, RIGHT_LEG)
    marks = old + farthest(sexes[30:], old, IBIS_COLOURS, LEFT_LEG, RIGHT_LEG)
    numbers = engravings(81500)
    years = ages(rng, 48, 420, 6200) + ages(rng, 2, 300, 390)
    lines = map(Line, IBISES, sexes, marks, years)
    return [bird_of(line, IBIS, HERON_WOOD, numbers, rng, at) for line in lines]
