"""A walk to the pins of an exhibit's plan: where missing birds may be, and the order to look.

Decision 0045. The phone's twin is web/static/shared/search-walk.js; both pass
tests/published/search_walk_cases.json.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Final

from tarsus.core.presence.search_order import search_order

LEAST_CHANCE: Final = 0.01
"""Nobody is sent to a place where each missing bird is less likely than this."""


@dataclass(frozen=True, slots=True)
class Pin:
    """Where a place is on the plan: `x` of its width from the left, `y` of its height from the top."""

    place: int
    x: float
    y: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Ground:
    """What distances on the plan mean.

    `width_m` is its width in metres, `tall` its height over its width, `metres_a_minute` how fast one walks.
    `entrance` is where the walk begins; without one it begins at the first place.
    """

    width_m: float
    tall: float
    metres_a_minute: float
    entrance: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Missing:
    """A bird that is looked for.

    `places` are the chances that it is at each place, their sum at most 1. `found` is the chance that it is
    found where it is: that it is still here, times the ease with which it is seen.
    """

    bird: int
    found: float
    places: Mapping[int, float]


@dataclass(frozen=True, slots=True)
class Step:
    """One place of the walk: minutes with the way to it, the clock when it is done, and who may be there.

    `likely` are birds with the chance that they are there, the likeliest first; `expected` is their sum.
    """

    place: int
    x: float
    y: float
    minutes: float
    by: float
    likely: tuple[tuple[int, float], ...]
    expected: float


def search_walk(pins: Sequence[Pin], ground: Ground, missing: Sequence[Missing]) -> tuple[Step, ...]:
    """The walk that finds missing birds soonest; places where none of them is likely are left out.

    Args:
        pins: of the plan, in the park's own order.
        ground: what its distances mean.
        missing: the birds that are looked for.

    Assumes:
        The way between two pins is straight; a fence or water between them makes it longer.

    Source:
        docs/science/search-order.md, eqs. 1 to 3.
    """
    likely = {pin.place: _likely(pin.place, missing) for pin in pins}
    asked = [pin for pin in pins if likely[pin.place]]
    chance = {bird.bird: bird.found for bird in missing}
    found = [sum(chance[bird] * share for bird, share in likely[pin.place]) for pin in asked]
    walk = [[_minutes(ground, (at.x, at.y), pin) for pin in asked] for at in asked]
    walk.append([_minutes(ground, ground.entrance, pin) for pin in asked])
    # A bird that is hardly there still any more has its walk too: only the order tells chances apart.
    order = search_order([max(one, 1e-6) for one in found], [pin.minutes for pin in asked], walk)
    steps, at, clock = [], len(asked), 0.0
    for one in order:
        pin, minutes = asked[one], walk[at][one] + asked[one].minutes
        at, clock = one, clock + minutes
        there = likely[pin.place]
        expected = sum(share for _, share in there)
        steps.append(Step(pin.place, pin.x, pin.y, minutes, clock, there, expected))
    return tuple(steps)


def _likely(place: int, missing: Sequence[Missing]) -> tuple[tuple[int, float], ...]:
    there = [(bird.bird, bird.places.get(place, 0.0)) for bird in missing]
    return tuple(sorted((one for one in there if one[1] >= LEAST_CHANCE), key=lambda one: (-one[1], one[0])))


def _minutes(ground: Ground, at: tuple[float, float] | None, pin: Pin) -> float:
    if at is None:
        return 0.0
    metres = hypot((pin.x - at[0]) * ground.width_m, (pin.y - at[1]) * ground.width_m * ground.tall)
    return metres / ground.metres_a_minute
