"""How many more birds fit at a clarity, and which colour makes most room."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.choosing.alikeness import pair_loss
from tarsus.core.choosing.clarity import SURENESS
from tarsus.core.choosing.codes.search import heaviest_set
from tarsus.core.marks.marks import Marks
from tarsus.core.readings.misreading import Misreading

MOST_ON_OFFER: Final = 4_000
STEPS: Final = 4_000
SEED: Final = 7


@dataclass(frozen=True)
class Room:
    """At least `birds` more fit, with these marks; no more than `at_most` can.

    `weighed_all` is false where there were too many marks to weigh: then `birds` is what an even share of
    them gives, and `at_most` speaks of that share only and is no bound.
    """

    birds: int
    at_most: int
    marks: tuple[Marks, ...]
    weighed_all: bool

    @property
    def proven(self) -> bool:
        """Whether no more birds can fit."""
        return self.weighed_all and self.birds == self.at_most


@dataclass(frozen=True)
class ColourValue:
    """What one more colour is worth: so many more birds fit than fit now."""

    colour: str
    more_birds: int
    room: Room


def too_alike(
    misreading: Misreading,
    one: Sequence[Marks],
    other: Sequence[Marks],
    clarity: float,
    sureness: float = SURENESS,
) -> NDArray[np.bool_]:
    """``(A, B)``: pairs of marks whose readings cost more than a park accepts, and equal marks.

    Args:
        misreading: the observer.
        one: marks of A birds.
        other: marks of B birds.
        clarity: what a reading of the two may cost in wrong names, 0 to ½; one left in doubt costs
            1 - `sureness` of one.
        sureness: the chance from which a reading is named.

    Source:
        docs/science/clashes.md, eq. 3.
    """
    numbers = {marks: at for at, marks in enumerate(dict.fromkeys([*one, *other]))}
    ours, theirs = (np.array([numbers[marks] for marks in some], dtype=np.intp) for some in (one, other))
    costly = pair_loss(misreading, one, other, sureness) > clarity
    return np.asarray(costly | (ours[:, None] == theirs[None, :]))


def room_left(
    misreading: Misreading,
    worn: Sequence[Marks],
    on_offer: Sequence[Marks],
    clarity: float,
    sureness: float = SURENESS,
) -> Room:
    """Find how many more birds fit so that every two of the flock stay apart.

    Args:
        misreading: the observer.
        worn: marks of the flock now; they stay.
        on_offer: all marks that the rule allows for the birds to come.
        clarity: as for `too_alike`.
        sureness: likewise.

    Returns:
        The room with marks that use it; the same question has the same answer.

    Assumes:
        Bands in stock suffice; birds already too alike to each other do not matter here (`clashes`).

    Source:
        A largest independent set by tabu search, bounded by a cover with cliques; docs/science/clashes.md.
    """
    rng = np.random.default_rng(SEED)
    weighed_all = len(on_offer) <= MOST_ON_OFFER
    if not weighed_all:
        share = np.sort(rng.permutation(len(on_offer))[:MOST_ON_OFFER])
        on_offer = [on_offer[int(i)] for i in share]
    if worn and on_offer:
        taken = too_alike(misreading, on_offer, worn, clarity, sureness).any(axis=1)
        on_offer = [on_offer[int(i)] for i in np.flatnonzero(~taken)]
    if not on_offer:
        return Room(0, 0, (), weighed_all)
    clash = too_alike(misreading, on_offer, on_offer, clarity, sureness)
    np.fill_diagonal(clash, val=False)
    bound = _cliques_to_cover(clash)
    chosen = heaviest_set(clash, np.ones(len(on_offer), dtype=np.int64), STEPS, bound, rng)
    return Room(len(chosen), bound, tuple(on_offer[int(i)] for i in chosen), weighed_all)


def _cliques_to_cover(clash: NDArray[np.bool_]) -> int:
    """How many sets of mutually clashing marks cover all: of each at most one can be given."""
    left = np.ones(len(clash), dtype=bool)
    cliques = 0
    while left.any():
        # Start where fewest clashes are left; grow by the mark that keeps the clique growing longest.
        degree = np.where(left, clash[:, left].sum(axis=1), len(clash) + 1)
        start = int(np.argmin(degree))
        left[start] = False
        fits = clash[start] & left
        while fits.any():
            within = np.where(fits, clash[:, fits].sum(axis=1), -1)
            joined = int(np.argmax(within))
            left[joined] = False
            fits &= clash[joined] & left
        cliques += 1
    return cliques


def colours_to_order(
    misreading: Misreading,
    worn: Sequence[Marks],
    held: Sequence[str],
    others: Iterable[str],
    on_offer: Callable[[Sequence[str]], Sequence[Marks]],
    clarity: float,
    sureness: float = SURENESS,
) -> tuple[ColourValue, ...]:
    """Rank colours not yet held by how many more birds they make room for.

    Args:
        misreading: the observer; its palette knows all the colours.
        worn: marks of the flock now.
        held: colours the park has.
        others: colours it could order.
        on_offer: the marks that the rule allows with given colours.
        clarity: as for `too_alike`.
        sureness: likewise.

    Returns:
        The best first; equal ones in the order given.
    """
    now = room_left(misreading, worn, on_offer(held), clarity, sureness).birds
    values = []
    for colour in others:
        room = room_left(misreading, worn, on_offer([*held, colour]), clarity, sureness)
        values.append(ColourValue(colour, max(0, room.birds - now), room))
    return tuple(sorted(values, key=lambda value: -value.more_birds))
