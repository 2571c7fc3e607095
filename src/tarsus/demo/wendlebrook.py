"""Wendlebrook Bird Garden put together, whole or small, up to a given day."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from heapq import merge

import numpy as np

from tarsus.core.marks.palette import BUILT_IN, LETTERS
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reader import TRAINED
from tarsus.demo import care, comings, garden, happenings, shore, terrace, waders, wood
from tarsus.demo.calendar import Calendar
from tarsus.demo.chance import SEED, stream
from tarsus.demo.comings import ARRIVED_DAYS_AGO
from tarsus.demo.history import EVENING_ROUNDS_SINCE_DAYS, MORNING, rounds_of
from tarsus.demo.prepared import (
    PreparedBird,
    PreparedNest,
    PreparedPark,
    PreparedRound,
    PreparedSpecies,
)
from tarsus.demo.setting import Setting
from tarsus.demo.species import AVOCET, SPECIES
from tarsus.demo.stories import TRUTH

DAYS = 400
SMALL_DAYS = 20

Makes = Callable[[np.random.Generator, Calendar], list[PreparedBird]]

FLOCKS: tuple[tuple[str, Makes], ...] = (
    ("avocets", waders.avocets),
    ("stilts", waders.stilts),
    ("ruffs", waders.ruffs),
    ("spoonbills", wood.spoonbills),
    ("ibises", wood.ibises),
    ("African penguins", shore.african_penguins),
    ("rockhoppers", shore.rockhoppers),
    ("keas", terrace.keas),
    ("newcomers", comings.newcomers),
    ("no longer here", comings.no_longer_here),
)


def garden_birds(at: Calendar, seed: int) -> list[PreparedBird]:
    """Every bird of the garden, those that left within the history included."""
    birds = [bird for name, make in FLOCKS for bird in make(stream(seed, "birds", name), at)]
    return [care.bands_off_for_moult(bird, at) for bird in [*birds, *comings.chicks(at)]]


def demo_park(
    today: date, *, time_zone: str = garden.TIME_ZONE, seed: int = SEED, days: int = DAYS
) -> PreparedPark:
    """The whole garden with its history up to the evening before `today`."""
    at = Calendar(today, time_zone)
    return _park(at, garden_birds(at, seed), days, seed)


def small_park(today: date, *, time_zone: str = garden.TIME_ZONE, seed: int = SEED) -> PreparedPark:
    """The garden with its avocets and newcomers only, and twenty days of rounds: quick to load, for tests."""
    return part_of_park(today, (AVOCET,), time_zone=time_zone, seed=seed, days=SMALL_DAYS)


def part_of_park(
    today: date,
    kinds: Sequence[PreparedSpecies],
    *,
    time_zone: str = garden.TIME_ZONE,
    seed: int = SEED,
    days: int = SMALL_DAYS,
) -> PreparedPark:
    """The garden with the birds of some species only."""
    at = Calendar(today, time_zone)
    names = {kind.name for kind in kinds}
    return _park(at, [bird for bird in garden_birds(at, seed) if bird.species in names], days, seed)


def planned_rounds(*, small: bool) -> int:
    """How many rounds the garden's history holds, for a progress bar."""
    exhibits, days = (1, SMALL_DAYS) if small else (len(MORNING) - 1, DAYS)
    return exhibits * (days + EVENING_ROUNDS_SINCE_DAYS) + 2 * ARRIVED_DAYS_AGO


def _park(at: Calendar, birds: Sequence[PreparedBird], days: int, seed: int) -> PreparedPark:
    misreading = Misreading.of(TRAINED, BUILT_IN)
    known = {bird.name for bird in birds}
    usual = care.usual_weights(birds, stream(seed, "usual weights"))
    told = care.handlings(birds, usual, misreading, stream(seed, "handlings"), at)
    nests = [nest for nest in happenings.nests(at) if nest.female in known]
    absences = [absence for absence in happenings.absences(at) if absence.bird in known]
    park = PreparedPark(
        name=garden.NAME,
        time_zone=at.time_zone,
        today=at.today,
        metal_side=garden.METAL_SIDE,
        palette=BUILT_IN.as_mapping(),
        letters=LETTERS,
        not_held=garden.NOT_HELD,
        fading=garden.FADING,
        people=garden.PEOPLE,
        exhibits=garden.EXHIBITS,
        species=SPECIES,
        stock=garden.STOCK,
        metal_series=garden.METAL_SERIES,
        birds=tuple(birds),
        pairs=tuple(p for p in [*happenings.wader_pairs(at), *shore.penguin_pairs(at)] if p.female in known),
        nests=tuple(nests),
        weights=tuple(care.weighings(birds, usual, stream(seed, "weights"), at)),
        handlings=tuple(h for h in told if h.bird in known),
        sex_tests=tuple(test for test in happenings.sex_tests(at) if test.bird in known),
        cases=tuple(case for case in happenings.cases(at) if set(case.birds) <= known),
        absences=tuple(absences),
        forecasts=tuple(happenings.forecasts(at)),
        notes=tuple(happenings.notes(at)),
        deaths=tuple(death for death in happenings.deaths(at) if death.bird in known),
        found_bands=tuple(happenings.found_bands(at)),
        rounds=(),
    )
    return replace(park, rounds=_Rounds(park, misreading, days, seed, at))


class _Rounds(Iterable[PreparedRound]):
    """The rounds of all exhibits in order of time, drawn anew each time they are walked."""

    def __init__(
        self, park: PreparedPark, misreading: Misreading, days: int, seed: int, at: Calendar
    ) -> None:
        self.park, self.misreading, self.days, self.seed, self.at = park, misreading, days, seed, at

    def __iter__(self) -> Iterator[PreparedRound]:
        streams = [rounds_of(self._setting(exhibit)) for exhibit in MORNING if self._lived_in(exhibit)]
        return merge(*streams, key=lambda round_: round_.started_at)

    def _lived_in(self, exhibit: str) -> bool:
        return any(stay.exhibit == exhibit for bird in self.park.birds for stay in bird.stays)

    def _setting(self, exhibit: str) -> Setting:
        at_home = [b for b in self.park.birds if any(stay.exhibit == exhibit for stay in b.stays)]
        places = next(e.places for e in self.park.exhibits if e.name == exhibit)
        nests: tuple[PreparedNest, ...] = self.park.nests
        return Setting(
            exhibit=exhibit,
            places=tuple(name for name, _ in places),
            birds=tuple(at_home),
            species={species.name: species for species in self.park.species},
            nests=nests,
            absences=self.park.absences,
            truth=TRUTH,
            misreading=self.misreading,
            days=self.days,
            seed=self.seed,
            at=self.at,
        )
