"""In which order to look at places: the most birds found a minute first, walking counted.

Decision 0045. The phone's twin is web/static/shared/search-order.js; both pass
tests/published/search_order_cases.json.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

EXACT_UP_TO: Final = 8
"""So many places are ordered exactly; more by going where most is found a minute, then mended."""

GAIN: Final = 1e-9
"""A way counts as better from here on, so that equal ones stay in the park's own order."""

Minutes = Sequence[float]


def waiting(order: Sequence[int], found: Sequence[float], minutes: Minutes, walk: Sequence[Minutes]) -> float:
    """What an order costs: minutes until each bird is found, weighed with its chance, summed.

    Args:
        order: places as they are looked at, each once.
        found: ``(P,)`` birds expected to be found by looking at a place.
        minutes: ``(P,)`` to look a place over.
        walk: ``(P + 1, P)`` minutes to walk from a place, the last row from where the walk begins.

    Source:
        docs/science/search-order.md, eq. 4.
    """
    at, clock, cost = len(found), 0.0, 0.0
    for place in order:
        clock += walk[at][place] + minutes[place]
        cost += found[place] * clock
        at = place
    return cost


def search_order(
    found: Sequence[float], minutes: Minutes, walk: Sequence[Minutes], exact_up_to: int = EXACT_UP_TO
) -> tuple[int, ...]:
    """The order of places in which missing birds are found soonest.

    Args:
        found: ``(P,)`` birds expected to be found by looking at a place, above 0.
        minutes: ``(P,)`` to look a place over, above 0.
        walk: ``(P + 1, P)`` minutes to walk from a place, the last row from where the walk begins.
        exact_up_to: so many places are ordered exactly, more by a heuristic.

    Returns:
        Indices of places, the first to look at first.

    Assumes:
        A bird stays where it is while it is looked for, and the whole walk is made. Both ways of a path take
        as long as `walk` says.

    Source:
        Without walking it is the order by found a minute: W. E. Smith, Various optimizers for single-stage
        production (1956), and L. D. Stone, Theory of Optimal Search (1975), for search by places. With
        walking it is the travelling repairman's problem with weights; docs/science/search-order.md.
    """
    if len(found) <= exact_up_to:
        return _exact(found, minutes, walk)
    return _mended(_greedy(found, minutes, walk), found, minutes, walk)


def _exact(found: Sequence[float], minutes: Minutes, walk: Sequence[Minutes]) -> tuple[int, ...]:
    """The best order by dynamic programming over the places looked at and the last of them.

    Each step is charged to all that is still to be found: so its cost needs no clock.
    """
    size = len(found)
    best: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {(0, size): (0.0, ())}
    for looked in range(1 << size):
        left = sum(found[place] for place in range(size) if not looked >> place & 1)
        for at in range(size + 1):
            cost, order = best.get((looked, at), (None, ()))
            if cost is None:
                continue
            for place in range(size):
                if looked >> place & 1:
                    continue
                then = cost + left * (walk[at][place] + minutes[place])
                key = (looked | 1 << place, place)
                if key not in best or then < best[key][0] - GAIN:
                    best[key] = (then, (*order, place))
    whole = (1 << size) - 1
    ends = [best[whole, at] for at in range(size)] if size else [(0.0, ())]
    chosen = ends[0]
    for end in ends[1:]:
        if end[0] < chosen[0] - GAIN:
            chosen = end
    return chosen[1]


def _greedy(found: Sequence[float], minutes: Minutes, walk: Sequence[Minutes]) -> list[int]:
    """Always on to where most is found a minute from here."""
    at, order, left = len(found), [], list(range(len(found)))
    while left:
        chosen = left[0]
        for place in left[1:]:
            here, there = walk[at][chosen] + minutes[chosen], walk[at][place] + minutes[place]
            if found[place] / there > found[chosen] / here + GAIN:
                chosen = place
        order.append(chosen)
        left.remove(chosen)
        at = chosen
    return order


def _mended(
    order: list[int], found: Sequence[float], minutes: Minutes, walk: Sequence[Minutes]
) -> tuple[int, ...]:
    """The order with the best move made, until none is better."""
    cost = waiting(order, found, minutes, walk)
    while True:
        better, least = None, cost
        for other in _moves(order):
            then = waiting(other, found, minutes, walk)
            if then < least - GAIN:
                better, least = other, then
        if better is None:
            return tuple(order)
        order, cost = better, least


def _moves(order: list[int]) -> list[list[int]]:
    """Every order that one move makes: a run turned round; one to three places put elsewhere."""
    size, moves = len(order), []
    for first in range(size):
        for last in range(first + 1, size):
            moves.append([*order[:first], *reversed(order[first : last + 1]), *order[last + 1 :]])
    for long in (1, 2, 3):
        for first in range(size - long + 1):
            run, rest = order[first : first + long], [*order[:first], *order[first + long :]]
            moves.extend([*rest[:at], *run, *rest[at:]] for at in range(len(rest) + 1) if at != first)
    return moves
