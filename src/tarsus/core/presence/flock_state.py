"""All that the past says of one flock, in a size that does not grow with the past.

Axes: B birds in the order of their ids, L layers of `habits`, G points of `lattice.EASES`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.presence import habits
from tarsus.core.presence.group import BEFORE_ANY_ROUND, GroupEase
from tarsus.core.presence.habits import Habits, seen_as
from tarsus.core.presence.lattice import EASES, ORDINARY, share_of_eases

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class FlockState:
    """What a day's update starts from.

    `ease`: ``(B, L, G)`` likelihood of all that was told, if the bird is here, against a bird of which
    nothing is known. `gone`: ``(B,)`` odds that it has left. `usual`: ``(B,)`` chance of being seen in an
    ordinary round, as it stood at the last observed sighting. `seen_on`: ``(B,)`` day (ordinal) of that
    sighting, or the day before it was first looked for. `missed`: ``(B,)`` rounds since. `excused_days`:
    ``(B,)`` days since on which it was known to be elsewhere. `excused`: ``(B,)`` whether it was at the
    last round. `vouched_at`: ``(B,)`` moment of a single reading that a standing alarm does not yet
    believe, 0 none. `worst`: ``(B,)`` the most worried advice since (0 present, 1 look again, 2 search).
    `entered`: ``(B,)`` whether it was looked for at all. `day`: ordinal of the last round, 0 before any.
    `round_square` and `round_count`: running sums behind the rounds' spread.
    """

    birds: tuple[str, ...]
    ease: Floats
    gone: Floats
    usual: Floats
    vouched_at: Floats
    seen_on: Whole
    missed: Whole
    excused_days: Whole
    worst: Whole
    entered: Whole
    day: int = 0
    moment: float = 0.0
    group: GroupEase = BEFORE_ANY_ROUND
    habits: Habits = habits.BEFORE_ANY_ROUND
    round_square: float = 0.0
    round_count: float = 0.0

    def still_here(self) -> Floats:
        """``(B,)`` chance that each bird is still here, by all that was told.

        Source:
            docs/science/presence.md, eq. 9.
        """
        share: Floats = 1.0 / (1.0 + self.gone)
        return share

    def unseen_days(self) -> Whole:
        """``(B,)`` days from the last observed sighting to the last round, less those it was elsewhere."""
        days: Whole = np.where(self.entered == 1, self.day - self.seen_on - self.excused_days, 0)
        return days

    def ease_if_here(self) -> Floats:
        """``(B, L, G)`` posterior of each bird's ease if it is here; each bird sums to 1.

        Source:
            docs/science/presence.md, eq. 9.
        """
        weight = self.ease * prior_of(self)
        share: Floats = weight / weight.sum(axis=2).sum(axis=1)[:, None, None]
        return share

    def usual_now(self) -> Floats:
        """``(B,)`` chance of being seen in an ordinary round now, if it is here.

        Source:
            docs/science/presence.md, eq. 4.
        """
        chance: Floats = (seen_as(self.ease_if_here()) * ORDINARY).sum(axis=1)
        return chance


BIRD_COLUMNS: Final = (
    "ease",
    "gone",
    "usual",
    "vouched_at",
    "seen_on",
    "missed",
    "excused_days",
    "worst",
    "entered",
)
"""What a state holds of each bird."""


def prior_of(state: FlockState) -> Floats:
    """``(L, G)`` share of the flock's birds in each layer at each ease; sums to 1.

    Source:
        docs/science/presence.md, eq. 4 and 5.
    """
    shares: Floats = state.habits.layers()[:, None] * share_of_eases(state.group)
    return shares


def empty_flock(group: GroupEase = BEFORE_ANY_ROUND, known: Habits = habits.BEFORE_ANY_ROUND) -> FlockState:
    """A flock without birds and without a past."""
    number, whole = np.zeros(0), np.zeros(0, dtype=np.int64)
    return FlockState(
        birds=(),
        ease=np.zeros((0, habits.LAYERS, len(EASES))),
        gone=number,
        usual=number,
        vouched_at=number,
        seen_on=whole,
        missed=whole,
        excused_days=whole,
        worst=whole,
        entered=whole,
        group=group,
        habits=known,
    )


def with_birds(state: FlockState, birds: Iterable[str]) -> FlockState:
    """The same flock with exactly these birds: newcomers start unknown, and who has left is dropped."""
    wanted = tuple(sorted(set(birds)))
    if wanted == state.birds:
        return state
    row_of = {bird: row for row, bird in enumerate(state.birds)}
    kept = np.array([row_of.get(bird, -1) for bird in wanted], dtype=np.int64)
    columns: dict[str, Any] = {
        name: _rows(getattr(state, name), kept, float(name == "ease")) for name in BIRD_COLUMNS
    }
    return replace(state, birds=wanted, **columns)


def _rows(array: NDArray[Any], kept: Whole, unknown: float) -> NDArray[Any]:
    stranger = np.full((1, *array.shape[1:]), unknown, dtype=array.dtype)
    return np.concatenate([array, stranger])[kept]  # -1 is the stranger
