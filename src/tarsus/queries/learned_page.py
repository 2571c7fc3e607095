"""What checks taught of one person, for that person alone; and of the park's colours, for everybody."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Final

import numpy as np

from tarsus.core.marks.palette import Palette
from tarsus.core.readings.learning import interval, learn
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.teaching import Lesson
from tarsus.queries.confirmed import Confirmed, confirmed_readings, of_known_colours
from tarsus.queries.observers import palette_now
from tarsus.records.models import LearnedReader

SHOWN: Final = 6
"""Confusions that a page lists."""

RETIRE: Final = 0.05
"""Chance of being misread from which a colour is named as one to retire. Ours."""

DRAWS: Final = 600
"""Draws from which the bounds are read."""

SEED: Final = 5
OLDER: Final = 0.8
LIKELY: Final = 0.5

_ERRORS: Final = (
    ("swap", "legs swapped, a reading"),
    ("flip", "order swapped, a site"),
    ("overlook", "a band not noticed"),
)


@dataclass(frozen=True, slots=True)
class ErrorTold:
    """One kind of error: how often it was thought to happen, how often it does after the checks, and between
    which bounds the checks alone put it with 95 %."""

    what: str
    thought: float
    now: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Bounds:
    """95 % intervals: of each chance by name; of each cell of the confusion table its `low` and `high`."""

    chances: dict[str, tuple[float, float]]
    low: list[list[float]]
    high: list[list[float]]


@dataclass(frozen=True, slots=True)
class LearnedOfYou:
    """What a person's checks say of them, and what it rests on.

    `serves` says that readings are weighed by it; else `park_serves` says that they are by what the park's
    checks say. `cause` is what colours suffer from, where that is likelier than not. `practised`: what they
    share of their practice counts too.
    """

    in_hand: int
    looked_again: int
    first_at: datetime | None
    last_at: datetime | None
    serves: bool
    park_serves: bool
    errors: tuple[ErrorTold, ...]
    confusions: tuple[ErrorTold, ...]
    cause: str
    practised: bool = False

    @property
    def count(self) -> int:
        """How many readings were checked."""
        return self.in_hand + self.looked_again


@dataclass(frozen=True, slots=True)
class ColourToRetire:
    """A colour that is often misread here: in so many readings of a band, most often as another."""

    colour: str
    misread: float
    taken_for: str
    older: bool


def learned_of(person_id: int) -> LearnedOfYou:
    """What checks taught of one person, in four queries.

    The bounds are drawn, which takes some half a second where the checks are new: this page only asks for
    them, and asking again does not draw anew.
    """
    checks = confirmed_readings(person_id)
    lesson, park = _lesson(person_id), _lesson(None)
    bounds = None if lesson is None else _bounds_of(lesson, checks)
    in_hand = sum(one.in_hand for one in checks)
    return LearnedOfYou(
        in_hand=in_hand,
        looked_again=len(checks) - in_hand,
        first_at=checks[0].at if checks else None,
        last_at=checks[-1].at if checks else None,
        serves=lesson is not None and lesson.earned,
        park_serves=park is not None and park.earned,
        errors=() if bounds is None or lesson is None else _errors(lesson, bounds),
        confusions=() if bounds is None or lesson is None else _confusions(lesson, bounds),
        cause="" if lesson is None else _cause(lesson),
        practised=lesson is not None and lesson.practised,
    )


def colours_to_retire() -> tuple[ColourToRetire, ...]:
    """Colours that the park's checks show to be misread often, the worst first, in one query.

    Returns:
        Nothing until the park's lesson has earned its use.
    """
    lesson = _lesson(None)
    if lesson is None or not lesson.earned:
        return ()
    faded = dict(lesson.faded)
    worst = [_retired(lesson.after, colour, faded) for colour in lesson.after.words[1:]]
    return tuple(sorted((one for one in worst if one.misread >= RETIRE), key=lambda one: -one.misread))


def _lesson(person_id: int | None) -> Lesson | None:
    row = LearnedReader.objects.filter(person=person_id).first()
    return None if row is None else Lesson.of_plain(row.lesson)


def _retired(after: Misreading, colour: str, faded: dict[str, float]) -> ColourToRetire:
    row = dict(zip(after.words, after.confusion[after.code[colour]], strict=True))
    right = row.pop(colour)
    return ColourToRetire(colour, 1.0 - right, max(row, key=lambda word: row[word]), faded[colour] >= OLDER)


def _bounds_of(lesson: Lesson, checks: Sequence[Confirmed]) -> Bounds:
    return _bounds(
        tuple(of_known_colours(checks, lesson.after.words)), lesson.start or lesson.before, palette_now()
    )


@lru_cache(maxsize=32)
def _bounds(checks: tuple[Confirmed, ...], start: Misreading, palette: Palette) -> Bounds:
    drawn = learn(
        [one.check for one in checks], start, np.random.default_rng(SEED), draws=DRAWS, palette=palette
    )
    low, high = drawn.cell_intervals()
    return Bounds({name: interval(drawn.chances[name]) for name, _ in _ERRORS}, low.tolist(), high.tolist())


def _errors(lesson: Lesson, bounds: Bounds) -> tuple[ErrorTold, ...]:
    return tuple(
        ErrorTold(what, getattr(lesson.before, name), getattr(lesson.after, name), *bounds.chances[name])
        for name, what in _ERRORS
    )


def _confusions(lesson: Lesson, bounds: Bounds) -> tuple[ErrorTold, ...]:
    words = lesson.after.words
    before, after = lesson.before.confusion, lesson.after.confusion
    cells = [
        ErrorTold(f"{worn} read as {read}", before[i][j], after[i][j], bounds.low[i][j], bounds.high[i][j])
        for i, worn in enumerate(words)
        for j, read in enumerate(words)
        if i != j
    ]
    return tuple(sorted(cells, key=lambda one: -one.now)[:SHOWN])


def _cause(lesson: Lesson) -> str:
    if not lesson.causes:
        return ""
    words, chance = lesson.causes[0]
    return words if chance > LIKELY and words != "as thought" else ""
