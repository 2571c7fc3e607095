"""How many more looks would settle whether a bird has gone."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from tarsus.core.presence.flock_state import FlockState
from tarsus.core.presence.fold import RoundRules
from tarsus.core.presence.habits import seen_as
from tarsus.core.presence.lattice import ORDINARY

SETTLED_GONE: Final = 0.95
MOST_LOOKS: Final = 60


def looks_needed(state: FlockState, rules: RoundRules) -> tuple[int | None, ...]:
    """Count the further daily misses in ordinary rounds after which each bird is almost surely gone.

    One observed sighting settles the opposite at once.

    Args:
        state: what is known now.
        rules: the hazard.

    Returns:
        One number a bird, 0 never: `None` where it is settled already, or more than `MOST_LOOKS` would be
        needed.

    Source:
        docs/science/presence.md, eq. 1.
    """
    still_here = state.still_here()
    here, gone_now = seen_as(state.ease_if_here()) * still_here[:, None], 1.0 - still_here
    answer: list[int | None] = [None] * len(state.birds)
    waiting = (gone_now < SETTLED_GONE) & (state.missed > 0)
    for look in range(1, MOST_LOOKS + 1):
        if not waiting.any():
            break
        left = here * rules.loss
        gone_now = gone_now + left.sum(axis=1)
        here = (here - left) * (1.0 - ORDINARY)
        share = gone_now / (gone_now + here.sum(axis=1))
        for row in np.flatnonzero(waiting & (share >= SETTLED_GONE)):
            answer[row] = look
            waiting[row] = False
    return tuple(answer)


def still_here_if_missed(state: FlockState, rules: RoundRules) -> NDArray[np.float64]:
    """``(B,)`` chance that each bird is still here, should an ordinary round of the next day miss it too.

    Source:
        docs/science/presence.md, eq. 1 and 12.
    """
    still_here = state.still_here()
    here = seen_as(state.ease_if_here()) * (still_here * (1.0 - rules.loss))[:, None]
    here_then = (here * (1.0 - ORDINARY)).sum(axis=1)
    gone_then = 1.0 - still_here * (1.0 - rules.loss)
    share: NDArray[np.float64] = here_then / (here_then + gone_then)
    return share
