"""Who could be seen and who was: each bird and each round has its own ease of being seen.

logit detection = the bird's ease + the round's, as in the presence model (docs/science/presence.md).
Axes: R rounds, B birds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.actions.loading.prepared import PreparedAbsence, PreparedBird, PreparedNest
from tarsus.demo.calendar import Calendar
from tarsus.demo.stories import Truth

USUAL_EASE: Final = {"Shingle Aviary": 2.7, "Heron Wood": 2.0, "Cold Shore": 2.9, "Kea Terrace": 3.4}
SPREAD_OF_BIRDS: Final = 0.6
SPREAD_OF_ROUNDS: Final = 0.4
FOG: Final = -2.0
FOGGY: Final = 0.035
ON_A_NEST: Final = -1.2
IN_MOULT: Final = -0.6


@dataclass(frozen=True)
class Visit:
    """One planned round of an exhibit, so many days ago at this hour of the clock."""

    days_ago: int
    clock: str
    at: datetime


@dataclass(frozen=True)
class Attendance:
    """``there[r, b]``: the bird was in the exhibit and alive. ``seen[r, b]``: the round met it."""

    there: NDArray[np.bool_]
    seen: NDArray[np.bool_]


def attendance(
    exhibit: str,
    birds: Sequence[PreparedBird],
    visits: Sequence[Visit],
    truth: Truth,
    nests: Sequence[PreparedNest],
    absences: Sequence[PreparedAbsence],
    at: Calendar,
    rng: np.random.Generator,
) -> Attendance:
    """Draw who each round of one exhibit met."""
    there = np.array([[_there(bird, visit, exhibit, truth, at) for bird in birds] for visit in visits])
    ease = USUAL_EASE[exhibit] + SPREAD_OF_BIRDS * rng.standard_normal(len(birds))
    for i, bird in enumerate(birds):
        ease[i] = truth.ease.get(bird.name, ease[i])
    rounds = SPREAD_OF_ROUNDS * rng.standard_normal(len(visits))
    rounds += FOG * (rng.random(len(visits)) < FOGGY)
    logit = ease[None, :] + rounds[:, None] + _hindered(birds, visits, nests, absences, at)
    seen = rng.random(logit.shape) < 1.0 / (1.0 + np.exp(-logit))
    for name, (days_ago, clock) in truth.gone.items():
        seen |= _met_for_the_last_time(name, days_ago, clock, birds, visits)
    return Attendance(there, seen & there)


def _there(bird: PreparedBird, visit: Visit, exhibit: str, truth: Truth, at: Calendar) -> bool:
    if bird.exhibit_on(at.day(visit.days_ago)) != exhibit:
        return False
    if bird.name not in truth.gone:
        return True
    days_ago, clock = truth.gone[bird.name]
    return (visit.days_ago, clock) > (days_ago, visit.clock)


def _met_for_the_last_time(
    name: str, days_ago: int, clock: str, birds: Sequence[PreparedBird], visits: Sequence[Visit]
) -> NDArray[np.bool_]:
    """The last round before a bird went did meet it: the story says since when it is gone."""
    met = np.zeros((len(visits), len(birds)), dtype=bool)
    before = [r for r, v in enumerate(visits) if (v.days_ago, clock) > (days_ago, v.clock)]
    where = [b for b, bird in enumerate(birds) if bird.name == name]
    if before and where:
        met[before[-1], where[0]] = True
    return met


def _hindered(
    birds: Sequence[PreparedBird],
    visits: Sequence[Visit],
    nests: Sequence[PreparedNest],
    absences: Sequence[PreparedAbsence],
    at: Calendar,
) -> NDArray[np.float64]:
    """How much harder a bird is to meet on its nest, and in moult."""
    harder = np.zeros((len(visits), len(birds)))
    of = {bird.name: i for i, bird in enumerate(birds)}
    spans = [
        (nest.since, nest.ended_on, name, ON_A_NEST) for nest in nests for name in (nest.female, nest.male)
    ]
    spans += [(a.since, a.until, a.bird, IN_MOULT) for a in absences]
    days = [at.day(visit.days_ago) for visit in visits]
    for since, until, name, change in spans:
        if name in of:
            on = [since <= day and (until is None or day < until) for day in days]
            harder[on, of[name]] += change
    return harder
