"""The keas of Kea Terrace: no bands, since parrots chew them. They are told by marks of their own."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from tarsus.core.marks.marks import Marks
from tarsus.demo.calendar import Calendar
from tarsus.demo.garden import KEA_TERRACE
from tarsus.demo.making import Line, ages, bird_of, engravings
from tarsus.demo.names import KEAS
from tarsus.demo.prepared import NaturalMark, PreparedBird
from tarsus.demo.species import KEA

# Per bird two marks: words, where on the outline (0 to 100, facing left), noted and to review in days ago.
_MARKS: Final = {
    "Tussock": (
        ("upper bill long, little curved at the tip", 22, 30, 125, -240),
        ("yellow edge round the eye, open behind", 31, 22, 125, -60),
    ),
    "Ridge": (
        ("dark spot on the cere, its left", 26, 24, 209, -156),
        ("pale nail, inner toe, left foot", 52, 92, 209, -156),
    ),
    "Matai": (
        ("one grey feather on the nape", 42, 26, 39, -92),
        ("green edge broad on the upper wing, left", 58, 52, 39, -92),
    ),
    "Fuchsia": (
        ("two pale coverts, left wing", 60, 50, 457, 92),
        ("dark scale on the shank, right", 55, 84, 457, 92),
    ),
    "Rata": (
        ("notch in the lower bill, its right", 21, 35, 70, -295),
        ("third primary short, right wing", 78, 66, 70, -110),
    ),
    "Kowhai": (
        ("cere yellow all round, a young bird", 25, 23, 66, -25),
        ("tail feather with a white tip, left", 92, 78, 66, -25),
    ),
    "Schist": (
        ("crease over the right eye", 33, 18, 160, -205),
        ("outer toe straight, right foot", 58, 93, 160, -205),
    ),
    "Gneiss": (
        ("bill tip crossed to its left", 18, 34, 98, -267),
        ("orange under the wing pale at the edge", 64, 60, 98, -267),
    ),
    "Saddle": (
        ("crown feathers parted behind", 40, 15, 30, -150),
        ("nail missing, hind toe, left foot", 50, 95, 30, -335),
    ),
    "Cornice": (
        ("blue gloss on the outer wing broad", 72, 58, 140, -225),
        ("small bill, a female's", 23, 31, 140, -225),
    ),
    "Bivvy": (
        ("eye ring thin and broken in front", 30, 22, 55, -125),
        ("breast barred dark, both sides", 40, 55, 55, -125),
    ),
    "Totara": (
        ("largest bird, bill longest of all", 20, 31, 190, -175),
        ("grey claw, middle toe, right foot", 57, 94, 190, -175),
    ),
}
_MALES: Final = frozenset(("Tussock", "Matai", "Schist", "Gneiss", "Saddle", "Totara"))


def keas(rng: np.random.Generator, at: Calendar) -> list[PreparedBird]:
    """Twelve keas, 6.6.0, each with two natural marks and a transponder."""
    birds = []
    for name, age in zip(KEAS, ages(rng, len(KEAS), 700, 6000), strict=True):
        line = Line(name, "M" if name in _MALES else "F", Marks(), age)
        bird = bird_of(line, KEA, KEA_TERRACE, engravings(0), rng, at)
        marks = tuple(
            NaturalMark(text, x, y, at.day(noted), at.day(review))
            for text, x, y, noted, review in _MARKS[name]
        )
        birds.append(replace(bird, natural_marks=marks))
    return birds
