"""Who could be seen and who was: each bird and each round has its own ease of being seen.

logit detection = the bird's ease + the round's, as in the presence model (docs/science/presence.md).
Axes: R rounds, B birds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.demo.garden import HERON_WOOD, KEA_TERRACE, QUARANTINE, SHINGLE_AVIARY, SOUTH_STRAND
from tarsus.demo.prepared import PreparedBird
from tarsus.demo.setting import Setting, Visit

USUAL_EASE: Final = {
    SHINGLE_AVIARY: 2.9,
    HERON_WOOD: 2.5,
    SOUTH_STRAND: 3.0,
    KEA_TERRACE: 3.4,
    QUARANTINE: 6.0,
}
SPREAD_OF_BIRDS: Final = 0.6
SPREAD_OF_ROUNDS: Final = 0.4
FOG: Final = -2.0
FOGGY: Final = 0.035
ON_A_NEST: Final = -2.0
IN_MOULT: Final = -0.6


@dataclass(frozen=True)
class Attendance:
    """``there[r, b]``: the bird was in the exhibit and alive. ``seen[r, b]``: the round met it.

    ``searched[r, b]``: it was met because somebody searched for it, so there was no doubt who it was.
    """

    there: NDArray[np.bool_]
    seen: NDArray[np.bool_]
    searched: NDArray[np.bool_]


def attendance(setting: Setting, visits: Sequence[Visit], rng: np.random.Generator) -> Attendance:
    """Draw who each round of one exhibit met."""
    birds, truth = setting.birds, setting.truth
    there = np.array([[_there(bird, visit, setting) for bird in birds] for visit in visits])
    ease = USUAL_EASE[setting.exhibit] + SPREAD_OF_BIRDS * rng.standard_normal(len(birds))
    for i, bird in enumerate(birds):
        ease[i] = truth.ease.get(bird.name, ease[i])
    rounds = SPREAD_OF_ROUNDS * rng.standard_normal(len(visits))
    rounds += FOG * (rng.random(len(visits)) < FOGGY)
    logit = ease[None, :] + rounds[:, None] + _hindered(setting, visits)
    seen = rng.random(logit.shape) < 1.0 / (1.0 + np.exp(-logit))
    for name, (days_ago, clock) in truth.gone.items():
        seen |= _met_for_the_last_time(name, days_ago, clock, birds, visits)
    seen &= there & np.array([[visit.made] for visit in visits])
    found = _searched_for(there, seen, setting, visits)
    closely, unmet = _looked_for_closely(setting, visits), _told_unmet(setting, visits)
    found = (found | (there & closely)) & ~unmet
    return Attendance(there, found, found & (closely | ~seen))


def _looked_for_closely(setting: Setting, visits: Sequence[Visit]) -> NDArray[np.bool_]:
    """Who was looked for until it was found: the flock that was counted short, in its last three rounds."""
    unmet = setting.truth.unmet_in_last_rounds
    species = {bird.species for bird in setting.birds if bird.name in unmet}
    closely = np.zeros((len(visits), len(setting.birds)), dtype=bool)
    closely[-3:, [bird.species in species for bird in setting.birds]] = True
    return closely


def _told_unmet(setting: Setting, visits: Sequence[Visit]) -> NDArray[np.bool_]:
    """Whom the story leaves unmet in the last rounds, though it was looked for."""
    unmet = np.zeros((len(visits), len(setting.birds)), dtype=bool)
    for b, bird in enumerate(setting.birds):
        rounds = setting.truth.unmet_in_last_rounds.get(bird.name, 0)
        unmet[len(visits) - rounds :, b] = True
    return unmet


def _searched_for(
    there: NDArray[np.bool_], seen: NDArray[np.bool_], setting: Setting, visits: Sequence[Visit]
) -> NDArray[np.bool_]:
    """A bird that comes near its limit of unseen days is searched for, and found if it is there."""
    limits = np.array([setting.species[bird.species].max_unseen_days for bird in setting.birds])
    found = seen.copy()
    last = np.full(len(limits), visits[0].days_ago)
    for r, visit in enumerate(visits):
        if visit.made:
            found[r] |= there[r] & (last - visit.days_ago >= limits - 1)
        last[found[r]] = visit.days_ago
        # Before a bird came, nobody missed it.
        last[~there[: r + 1].any(axis=0)] = visit.days_ago
    return found


def _there(bird: PreparedBird, visit: Visit, setting: Setting) -> bool:
    if bird.exhibit_on(setting.at.day(visit.days_ago)) != setting.exhibit:
        return False
    if bird.name not in setting.truth.gone:
        return True
    days_ago, clock = setting.truth.gone[bird.name]
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


def _hindered(setting: Setting, visits: Sequence[Visit]) -> NDArray[np.float64]:
    """How much harder a bird is to meet on its nest, and in moult."""
    harder = np.zeros((len(visits), len(setting.birds)))
    of = {bird.name: i for i, bird in enumerate(setting.birds)}
    spans = [(n.since, n.ended_on, who, ON_A_NEST) for n in setting.nests for who in (n.female, n.male)]
    spans += [(a.since, a.until, a.bird, IN_MOULT) for a in setting.absences]
    days = [setting.at.day(visit.days_ago) for visit in visits]
    for since, until, name, change in spans:
        if name in of:
            on = [since <= day and (until is None or day < until) for day in days]
            harder[on, of[name]] += change
    return harder
