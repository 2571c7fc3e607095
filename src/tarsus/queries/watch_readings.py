"""On how many independent readings each bird of a roll call, or of a casual sighting, rests."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from tarsus.core.presence.witnesses import APART, CLEARS, Look, witnesses
from tarsus.core.rounds.facts import Sighted
from tarsus.core.rounds.naming import BY_SIGHT, clears

Looks = Mapping[tuple[date, int], Sequence[Look]]


def independent_readings(calls: Iterable[tuple[date, Sequence[Sighted]]]) -> list[dict[int, int]]:
    """Count the independent readings of birds that readings alone named.

    A colleague who reads the bird too need not do so in the same round: readings of the same day that lie
    less than half an hour from those of a call count beside them. What lies further apart is for the watch,
    which remembers a first reading.

    Args:
        calls: of one exhibit, each with its day and its sightings.

    Returns:
        For each call bird -> readings, fewer than `CLEARS`; a bird that somebody knew by sight, or that
        enough readings name, is left out.
    """
    told = list(calls)
    looks: dict[tuple[date, int], list[Look]] = defaultdict(list)
    for day, sightings in told:
        for bird, mine in _looks(sightings).items():
            looks[day, bird] += mine
    return [_of_call(day, sightings, looks) for day, sightings in told]


def _of_call(day: date, sightings: Sequence[Sighted], looks: Looks) -> dict[int, int]:
    known = {fact.bird for fact in sightings if fact.how == BY_SIGHT}
    counted = {
        bird: witnesses(_beside(mine, looks[day, bird]))
        for bird, mine in _looks(sightings).items()
        if bird not in known
    }
    return {bird: count for bird, count in counted.items() if count < CLEARS}


def _looks(sightings: Iterable[Sighted]) -> dict[int, list[Look]]:
    found: dict[int, list[Look]] = defaultdict(list)
    for fact in sightings:
        if fact.bird is not None and fact.how != BY_SIGHT and clears(fact.bird, fact.how, fact.chance):
            found[fact.bird].append(Look(fact.happened_at, fact.by, False, fact.photographed))
    return found


def _beside(mine: Sequence[Look], others: Sequence[Look]) -> list[Look]:
    """A call's own looks and those close to one of them; a photograph draws none to it."""
    read = [one.at for one in mine if not one.photographed]
    return [look for look in others if look in mine or any(abs(look.at - at) < APART for at in read)]
