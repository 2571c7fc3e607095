"""What checks taught of one reader, and how it is carried to other colours and down from park to person.

A lesson is kept as a change: by which factor the odds of each error differ from what was thought. So it holds
for an exhibit whose reds have faded further, and a person's lesson is a change of the park's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.marks.palette import Palette
from tarsus.core.readings.colour_hypotheses import CAUSES
from tarsus.core.readings.earning import FIRST, evidence
from tarsus.core.readings.error_paths import Check
from tarsus.core.readings.fitting import Fitter
from tarsus.core.readings.misreading import Misreading

Real = NDArray[np.float64]

MOST_PRACTICE: Final = 20
"""No practice outweighs so many real checks: it teaches as so many of them would."""

_CHANCES = ("swap", "flip", "overlook")


@dataclass(frozen=True)
class Lesson:
    """What checks taught of a reader.

    `before` is the observer as thought, `after` as it serves now; `earned` whether it may serve; `nats` the
    evidence for it. `causes` names what colours suffer from, with its chance; `faded` the chance that each
    colour's bands look older than new ones do. `start` is the observer that these checks began with: for a
    person, as the others' checks had taught; `before` where none is given. `practised`: with
    their practice their checks were foretold better, and it is part of the lesson.
    """

    before: Misreading
    after: Misreading
    checks: int
    nats: float
    earned: bool
    causes: tuple[tuple[str, float], ...] = ()
    faded: tuple[tuple[str, float], ...] = ()
    start: Misreading | None = None
    practised: bool = False

    def as_plain(self) -> dict[str, Any]:
        """Plain values that a row keeps."""
        return {
            "words": list(self.before.words),
            "before": _plain(self.before),
            "after": _plain(self.after),
            "start": _plain(self.start or self.before),
            "checks": self.checks,
            "nats": self.nats,
            "earned": self.earned,
            "causes": [list(one) for one in self.causes],
            "faded": [list(one) for one in self.faded],
            "practised": self.practised,
        }

    @classmethod
    def of_plain(cls, kept: Mapping[str, Any]) -> Lesson:
        """A lesson as a row kept it."""
        words = tuple(kept["words"])
        return cls(
            _of_plain(kept["before"], words),
            _of_plain(kept["after"], words),
            kept["checks"],
            kept["nats"],
            kept["earned"],
            tuple((cause, chance) for cause, chance in kept["causes"]),
            tuple((colour, chance) for colour, chance in kept["faded"]),
            _of_plain(kept.get("start", kept["before"]), words),
            kept.get("practised", False),
        )


def lesson(
    checks: Sequence[Check], before: Misreading, palette: Palette, practice: Sequence[Check] = ()
) -> Lesson:
    """Say what checks teach of a reader.

    Args:
        checks: confirmed readings, in the order in which they were made.
        before: the observer as it was thought to be.
        palette: the colours as their names mean them.
        practice: what was read of drawings; it teaches like checks, and proves nothing.

    Returns:
        The lesson; it changes nothing where there are no checks.
    """
    fitter = Fitter(before, palette)
    fitted, told = fitter.fitted([*practice, *checks]), evidence(checks, fitter, practice)
    causes: dict[str, float] = {}
    for cause, chance in zip(CAUSES, fitted.colours.causes.tolist(), strict=False):
        causes[cause.words] = causes.get(cause.words, 0.0) + chance
    older = 1.0 - fitted.colours.faded[0]
    return Lesson(
        before,
        told.in_use(before, fitted.misreading) if checks else before,
        len(checks),
        told.nats,
        told.earned,
        tuple(sorted(causes.items(), key=lambda one: -one[1])),
        tuple(zip(before.words[1:], older[1:].tolist(), strict=True)),
    )


def taught(base: Misreading, learned: Lesson | None) -> Misreading:
    """Carry a lesson over to an observer of the same colours, as they look somewhere else.

    Args:
        base: the observer as thought there.
        learned: what checks taught; nothing changes where it has not earned its use, or where the colours
            are others by now.

    Returns:
        The observer with the odds of every error changed by the factor that was learned.

    Source:
        docs/science/learning.md, "When it is used": factors on odds.
    """
    if learned is None or not learned.earned or learned.before.words != base.words:
        return base
    chances: dict[str, Any] = {
        name: _chance(
            _odds(getattr(base, name)) * _factor(getattr(learned.before, name), getattr(learned.after, name))
        )
        for name in _CHANCES
    }
    was, now, here = (_table_odds(one) for one in (learned.before, learned.after, base))
    # What was thought never to happen is taken over as it was learned.
    changed = np.where(was > 0.0, here * now / np.where(was > 0.0, was, 1.0), here + now)
    table = changed / (1.0 + changed.sum(axis=1, keepdims=True))
    np.fill_diagonal(table, 1.0 - table.sum(axis=1))
    rows = tuple(tuple(float(chance) for chance in row) for row in table)
    return replace(base, **chances, confusion=rows)


def person_lesson(
    own: Sequence[Check],
    others: Sequence[Check],
    person: Misreading,
    park: Misreading,
    palette: Palette,
    practice: Sequence[Check] = (),
) -> Lesson:
    """Say what a person's checks teach beyond what the others' teach of the park.

    Args:
        own: the person's checks.
        others: those of everybody else here; so nobody's checks count twice.
        person: the person as thought: trained or not, with their eyes.
        park: the park's reader as thought.
        palette: the colours as their names mean them.
        practice: what the person read of drawings, the latest last; the latest `MOST_PRACTICE` count.

    Returns:
        A lesson from the person as thought to the person as they serve. Practice is part of it where the
        person's real checks, each foretold before it was taught, were foretold better with it than without,
        and well enough to earn the lesson's use; by itself it serves nobody.

    Source:
        docs/science/learning.md, "Practice".
    """
    start = taught(person, lesson(others, park, palette))
    learned, latest = lesson(own, start, palette), practice[-MOST_PRACTICE:]
    if latest and len(own) > FIRST:
        with_it = lesson(own, start, palette, latest)
        if with_it.earned and with_it.nats > learned.nats:
            learned = replace(with_it, practised=True)
    return replace(learned, before=person, start=start)


def _plain(misreading: Misreading) -> dict[str, Any]:
    told = {name: getattr(misreading, name) for name in (*_CHANCES, "lost")}
    return {**told, "confusion": [list(row) for row in misreading.confusion]}


def _of_plain(kept: Mapping[str, Any], words: tuple[str, ...]) -> Misreading:
    rows = tuple(tuple(row) for row in kept["confusion"])
    return Misreading(kept["swap"], kept["flip"], kept["overlook"], kept["lost"], words, rows)


def _odds(chance: float) -> float:
    return chance / max(1.0 - chance, 1e-9)


def _chance(odds: float) -> float:
    return odds / (1.0 + odds)


def _factor(was: float, now: float) -> float:
    return _odds(now) / max(_odds(was), 1e-9)


def _table_odds(misreading: Misreading) -> Real:
    table = misreading.table
    odds = table / np.maximum(np.diagonal(table)[:, None], 1e-9)
    np.fill_diagonal(odds, 0.0)
    return np.asarray(odds)
