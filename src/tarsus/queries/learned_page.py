"""What checks taught of one person, for that person alone; and of the park's colours, for everybody."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.teaching import Lesson
from tarsus.queries.confirmed import confirmed_readings
from tarsus.records.models import LearnedReader

SHOWN: Final = 6
"""Confusions that a page lists."""

RETIRE: Final = 0.05
"""Chance of being misread from which a colour is named as one to retire. Ours."""

OLDER: Final = 0.8
LIKELY: Final = 0.5

_ERRORS: Final = (
    ("swap", "left and right swapped, a reading"),
    ("flip", "order swapped, a site"),
    ("overlook", "a band not noticed"),
)


@dataclass(frozen=True, slots=True)
class ErrorTold:
    """One kind of error: how often it was thought to happen, and how often it does after the checks."""

    what: str
    thought: float
    now: float


@dataclass(frozen=True, slots=True)
class LearnedOfYou:
    """What a person's checks say of them, and what it rests on.

    `serves` says that readings are weighed by it; else `park_serves` says that they are by what the park's
    checks say. `cause` is what colours suffer from, where that is likelier than not.
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
    """What checks taught of one person, in three queries."""
    checks = confirmed_readings(person_id)
    lesson, park = _lesson(person_id), _lesson(None)
    in_hand = sum(one.in_hand for one in checks)
    return LearnedOfYou(
        in_hand=in_hand,
        looked_again=len(checks) - in_hand,
        first_at=checks[0].at if checks else None,
        last_at=checks[-1].at if checks else None,
        serves=lesson is not None and lesson.earned,
        park_serves=park is not None and park.earned,
        errors=() if lesson is None else _errors(lesson),
        confusions=() if lesson is None else _confusions(lesson),
        cause="" if lesson is None else _cause(lesson),
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


def _errors(lesson: Lesson) -> tuple[ErrorTold, ...]:
    return tuple(
        ErrorTold(what, getattr(lesson.before, name), getattr(lesson.after, name)) for name, what in _ERRORS
    )


def _confusions(lesson: Lesson) -> tuple[ErrorTold, ...]:
    words = lesson.after.words
    cells = [
        ErrorTold(f"{worn} read as {read}", lesson.before.confusion[i][j], lesson.after.confusion[i][j])
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
