"""What programs ask of an exhibit: who lives there, who a reading may be, how its roll call stands."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from tarsus.core.documents.fields import parse_reading
from tarsus.core.documents.identify import RoundIdentified, identified_together
from tarsus.core.documents.lights import NOT_SAID
from tarsus.core.errors import NoAnswer
from tarsus.core.marks.palette import Palette
from tarsus.core.readings.identification import Chances
from tarsus.core.readings.lights import prior_of_states
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.places import place_factors
from tarsus.core.readings.shared_state import FlockInStates
from tarsus.core.readings.times_of_day import part_of_day, time_factors
from tarsus.core.rounds.call import Answered, OnRoll, RollCall
from tarsus.queries.days import day_ends, day_of, park_zone
from tarsus.queries.flock import FlockBird, birds_everywhere, flock_of
from tarsus.queries.last_seen import usual_places, usual_times
from tarsus.queries.observers import observers_of
from tarsus.queries.one_park import one_park
from tarsus.queries.park import park_face
from tarsus.queries.presence import BirdPresence, presence_of_exhibit, presence_of_park
from tarsus.queries.rounds import calls_between
from tarsus.records.models import Park

OVER: Final = timedelta(days=7)
LEAST_PRIOR: Final = 1e-4


class NobodyLivesThere(NoAnswer):
    """An exhibit in which no bird lives today, or none of them all, so no reading is of one."""

    def __init__(self, exhibit_id: int | None) -> None:
        self.exhibit_id = exhibit_id
        where = "any exhibit you ask of" if exhibit_id is None else f"exhibit {exhibit_id}"
        super().__init__(f"no bird lives in {where} today; ask of another exhibit")


@dataclass(frozen=True, slots=True)
class WhoCandidate:
    """A bird of the park that a reading may be of, where it lives, and the chance that it is the one."""

    bird: int
    name: str
    exhibit: int
    p: float


@dataclass(frozen=True, slots=True)
class Who:
    """Who a reading may be, the likeliest first; the other words are those of `Identified`."""

    candidates: tuple[WhoCandidate, ...]
    none_of_these: float
    look_next: str | None
    fits_nobody: bool
    because: tuple[str, ...]


class NoRollCalled(NoAnswer):
    """No roll was called in an exhibit lately."""

    def __init__(self, exhibit_id: int) -> None:
        self.exhibit_id = exhibit_id
        super().__init__(f"no roll was called in exhibit {exhibit_id} in the last seven days; call one first")


def birds_today(exhibit_id: int, now: datetime) -> tuple[FlockBird, ...]:
    """The birds that live in an exhibit today."""
    return flock_of(exhibit_id, day_of(now, park_zone()))


def identified_in(
    exhibit_id: int,
    person_id: int,
    readings: Sequence[Mapping[str, Any]],
    now: datetime,
    place_id: int | None = None,
    light: str = "",
    mud: bool | None = None,
) -> RoundIdentified:
    """Who the birds of some readings may be, among those of an exhibit, in a constant number of queries.

    Args:
        exhibit_id: where they were seen.
        person_id: who read them.
        readings: a site that is null or missing was not seen.
        now: the moment of asking.
        place_id: where the birds stand, where that was told.
        light: of the readings, which are then of one round: one of `LIGHTS`, or `NOT_SAID` where it is to be
            inferred from them; empty where each is read by itself, as in a bright light.
        mud: whether bands are muddy, where that was told.

    Returns:
        One answer a reading, in order; ids are the register's, as text. Prior weights are each bird's chance
        of being still here, and how usual the place and the part of the day are for it.

    Raises:
        WrongValue: a reading with a site or colour that there is not, with its place.
        NobodyLivesThere: the exhibit is empty.
    """
    day = day_of(now, park_zone())
    birds = flock_of(exhibit_id, day)
    if not birds:
        raise NobodyLivesThere(exhibit_id)
    usual = usual_places(exhibit_id, now) if place_id is not None else {}
    factors = place_factors([usual.get(bird.bird_id, {}) for bird in birds], place_id)
    seen, part = usual_times(exhibit_id, now, park_zone()), part_of_day(now.astimezone(park_zone()).hour)
    times = time_factors([seen.get(bird.bird_id, {}) for bird in birds])
    usual_now = [place * time.get(part, 1.0) for place, time in zip(factors, times, strict=True)]
    eyes, by_light = observers_of(person_id, birds, day), bool(light) or mud is not None
    observers = eyes.in_states if by_light else (eyes.person,)
    prior = prior_of_states("" if light == NOT_SAID else light, mud) if by_light else (1.0,)
    told = _identified(birds, presence_of_exhibit(exhibit_id, now), usual_now, readings, observers, prior)
    return told if by_light else RoundIdentified(told.readings)


def identified_across(
    exhibits: Collection[int],
    person_id: int,
    readings: Sequence[Mapping[str, Any]],
    now: datetime,
    *,
    visitor: bool = False,
) -> tuple[Who, ...]:
    """Who the birds of some readings may be, among those of several exhibits together.

    Args:
        exhibits: of which.
        person_id: who read them.
        readings: a site that is null or missing was not seen.
        now: the moment of asking.
        visitor: whether a visitor read them, and the person wrote down what was told.

    Returns:
        One answer a reading, in order. Prior weights are each bird's chance of being still here.

    Raises:
        WrongValue: a reading with a site or colour that there is not, with its place.
        NobodyLivesThere: all of them are empty.
    """
    day = day_of(now, park_zone())
    birds = tuple(bird for bird in birds_everywhere(day) if bird.exhibit_id in exhibits)
    if not birds:
        raise NobodyLivesThere(None)
    named = {str(bird.bird_id): bird for bird in birds}
    observers = observers_of(person_id, birds, day)
    reader = observers.untrained if visitor else observers.person
    found = _identified(birds, presence_of_park(now), [1.0] * len(birds), readings, (reader,), (1.0,))
    return tuple(
        Who(
            tuple(
                WhoCandidate(named[one].bird_id, named[one].name, named[one].exhibit_id, chance)
                for one, chance in told.candidates
            ),
            told.none_of_these,
            told.look_next,
            told.fits_nobody,
            told.because,
        )
        for told in found.readings
    )


def _identified(
    birds: Sequence[FlockBird],
    here: Mapping[int, BirdPresence],
    factors: Sequence[float],
    readings: Sequence[Mapping[str, Any]],
    observers: Sequence[Misreading],
    prior: Sequence[float] | Chances,
) -> RoundIdentified:
    """Who these readings are of, and in which light: one observer a state of it, with its prior chance."""
    palette = Palette.of(park_face().palette)
    read = [parse_reading(told, f"readings[{at}]", palette) for at, told in enumerate(readings)]
    priors = {pk: max(bird.still_here, LEAST_PRIOR) for pk, bird in here.items()}
    flock = FlockInStates(
        [bird.as_core(priors.get(bird.bird_id, 1.0) * f) for bird, f in zip(birds, factors, strict=True)],
        observers,
        strangers=(one_park() or Park()).strangers,
    )
    answers, states = identified_together([(flock, reading) for reading in read], prior)
    return RoundIdentified(answers, states)


def roll_of_exhibit(exhibit_id: int, now: datetime) -> tuple[RollCall, Answered]:
    """The roll call that is open in an exhibit, else its latest of seven days, and how it answers the roll.

    Raises:
        NoRollCalled: there is none.
    """
    zone = park_zone()
    calls = calls_between(exhibit_id, now - OVER, day_ends(day_of(now, zone), zone), now)
    if not calls:
        raise NoRollCalled(exhibit_id)
    call = next((one for one in calls if one.phase == "open"), calls[-1])
    excuses = {pk: bird.excused for pk, bird in presence_of_exhibit(exhibit_id, now).items()}
    roll = (
        OnRoll(bird.bird_id, bird.lookalike, excuses.get(bird.bird_id, ""))
        for bird in flock_of(exhibit_id, call.day)
        if bird.counted
    )
    return call, call.answer(roll)
