"""One simulated season of a flock: rounds, readings, lost bands, and how the birds were named.

docs/science/study.md tells what is played and what is not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.free_marks import random_free
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.marks.rules import MarkRule
from tarsus.core.marks.sites import MIRROR, SITES
from tarsus.core.readings.band_losses import BandLosses
from tarsus.core.readings.identification import Flock
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.simulation import simulate_reading
from tarsus.core.readings.worn_as_read import fits

BY_MODEL: Final = "model"
BY_LIST: Final = "list"
UNNAMED: Final = -1
UNRESOLVED: Final = -2


@dataclass(frozen=True, slots=True)
class Season:
    """How a season goes.

    `rounds` roll calls, `days_between` them; each bird is `seen` with this chance a round, then on
    `one_side` only with this chance; a band's colour stays `unclear` with this chance.
    `bands_lost_per_year` is each band's chance to fall off within a year; it is not replaced within the
    season. A name is given when the model is `sure`.
    """

    rounds: int = 60
    days_between: float = 1.0
    seen: float = 0.9
    one_side: float = 0.15
    unclear: float = 0.02
    bands_lost_per_year: float = 0.025
    sure: float = 0.95


@dataclass(frozen=True)
class SeasonTask:
    """One season of one scheme, whole and by itself, so that any worker can play it.

    `marks` are those that the birds wear; None draws free ones by `rule` and `colours` anew for each
    season. The same `seed` brings the same birds before the same observer in every scheme.
    """

    birds: tuple[Bird, ...]
    marks: tuple[Marks, ...] | None
    reader: Misreading
    observer: Misreading
    season: Season
    seed: np.random.SeedSequence
    naming: str = BY_MODEL
    strangers: float = 0.001
    rule: MarkRule = field(default_factory=MarkRule)
    colours: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SeasonPlayed:
    """What came of a season: readings by how they were named, and the round by which every bird had been
    named rightly at least once (None: not within the season)."""

    readings: int
    right: int
    misnamed: int
    unnamed: int
    unresolved: int
    rounds_to_see_all: int | None


def play_season(task: SeasonTask) -> SeasonPlayed:
    """Play one season.

    Args:
        task: the flock, its marks, who reads and who names.

    Returns:
        The counts; the same task always gives the same.

    Assumes:
        Rounds are independent given the flock; nobody joins or leaves; the keeper names each reading by
        itself.

    Source:
        docs/science/study.md.
    """
    # A stream of its own for who is seen, so that schemes meet the same birds on the same days.
    attending, reading, marking, losing = (np.random.default_rng(seed) for seed in task.seed.spawn(4))
    marks = task.marks
    if marks is None:
        marks = random_free(task.rule, [bird.sex for bird in task.birds], task.colours, marking)
    flock = [replace(bird, marks=worn) for bird, worn in zip(task.birds, marks, strict=True)]
    namer = _Namer(flock, task)
    observer = replace(task.observer, lost=0.0)  # losses are played out below and last
    losses = BandLosses(marks, task.season.bands_lost_per_year, losing)
    sides = _sides(marks)
    outcomes: dict[str, int] = {"right": 0, "misnamed": 0, "unnamed": 0, "unresolved": 0}
    unseen = set(range(len(flock)))
    all_seen: int | None = None
    for number in range(1, task.season.rounds + 1):
        shown, part, left = attending.random((3, len(flock)))
        day = number * task.season.days_between
        for at in np.flatnonzero(shown < task.season.seen).tolist():
            side = sides[0] if part[at] >= task.season.one_side else sides[1 if left[at] < 0.5 else 2]
            read = simulate_reading(
                reading, losses.worn(at, day), observer, sites=side, unclear=task.season.unclear
            )
            named = namer.name(read)
            outcomes[_outcome(named, at)] += 1
            if named == at:
                unseen.discard(at)
        if not unseen and all_seen is None:
            all_seen = number
    return SeasonPlayed(sum(outcomes.values()), **outcomes, rounds_to_see_all=all_seen)


def _outcome(named: int, bird: int) -> str:
    if named == UNNAMED:
        return "unnamed"
    if named == UNRESOLVED:
        return "unresolved"
    return "right" if named == bird else "misnamed"


def _sides(marks: Sequence[Marks]) -> tuple[list[str], list[str], list[str]]:
    """Sites that a reading of this flock is about: all of them, those on the left, those on the right."""
    worn = {site for each in marks for site, _ in each.sites}
    every = [site for site in SITES if site in worn or MIRROR[site] in worn]
    left = [site for site in every if site.startswith("left")]
    return every, left, [MIRROR[site] for site in left]


class _Namer:
    """Names a reading, the same one alike each time."""

    def __init__(self, flock: Sequence[Bird], task: SeasonTask) -> None:
        self.flock, self.sure, self.by_list = flock, task.season.sure, task.naming == BY_LIST
        self.prepared = Flock(flock, task.reader, strangers=task.strangers)
        self.known: dict[Reading, int] = {}

    def name(self, reading: Reading) -> int:
        """The bird's place in the flock, `UNNAMED` or `UNRESOLVED`."""
        named = self.known.get(reading)
        if named is None:
            named = self._looked_up(reading) if self.by_list else self._weighed(reading)
            self.known[reading] = named
        return named

    def _looked_up(self, reading: Reading) -> int:
        fitting = [at for at, bird in enumerate(self.flock) if fits(reading, bird.marks)]
        if not fitting:
            return UNNAMED
        return fitting[0] if len(fitting) == 1 else UNRESOLVED

    def _weighed(self, reading: Reading) -> int:
        posterior = self.prepared.posterior(reading)
        if posterior.none_of_these >= 0.5:
            return UNNAMED
        best = int(posterior.birds.argmax())
        return best if posterior.birds[best] >= self.sure else UNRESOLVED
