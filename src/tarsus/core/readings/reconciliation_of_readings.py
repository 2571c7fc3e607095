"""From the readings of a round to the weights that are reconciled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tarsus.core.marks.birds import Bird
from tarsus.core.marks.marks import Reading
from tarsus.core.readings.identification import NEVER, STRANGERS, Chances, Flock
from tarsus.core.readings.misreading import Misreading
from tarsus.core.readings.reconciliation import MOST_CELLS, GroupOfReadings, RoundChances, reconciled
from tarsus.core.readings.reconciliation_in_states import StatesChances, reconciled_in_states


@dataclass(frozen=True, slots=True)
class SeenInView:
    """One bird of a group in view: what was read of it, and its look-alike group where that was plain."""

    reading: Reading
    lookalike: str | None = None


def reconciled_readings(
    birds: Sequence[Bird],
    misreading: Misreading,
    groups: Sequence[Sequence[SeenInView]],
    *,
    strangers: float = STRANGERS,
    most_cells: int = MOST_CELLS,
) -> RoundChances:
    """Weigh the readings of one round together.

    Args:
        birds: the flock, B birds with their prior weights.
        misreading: the observer.
        groups: birds that were in view together, so that within a group each reading is of a different one.
        strangers: prior chance that a bird in view is none of the flock, 0 to 1.
        most_cells: products the exact sums may take.

    Returns:
        For each bird the chance that it was seen at least once, and for each reading the chance of each bird
        and of none of them.

    Raises:
        ImpossibleReading: a group's readings cannot all be of different birds.
        UnknownWord: a band that is no metal and no colour of the palette.

    Source:
        docs/science/reconciliation.md.
    """
    return reconciled(_weighed(birds, misreading, groups, strangers), len(birds), most_cells)


def reconciled_readings_in_states(
    birds: Sequence[Bird],
    observers: Sequence[Misreading],
    prior: Chances,
    groups: Sequence[Sequence[SeenInView]],
    *,
    strangers: float = STRANGERS,
    most_cells: int = MOST_CELLS,
) -> StatesChances:
    """Weigh the readings of one round together, in a light and mud that nobody knows for certain.

    Args:
        birds: the flock, B birds with their prior weights.
        observers: the observer in each of S states.
        prior: ``(S,)`` how likely each state was before.
        groups: as `reconciled_readings` takes them.
        strangers: prior chance that a bird in view is none of the flock, 0 to 1.
        most_cells: products the exact sums may take.

    Raises:
        ImpossibleReading: a group's readings cannot all be of different birds, in any state.
        UnknownWord: a band that is no metal and no colour of the palette.

    Source:
        docs/science/reconciliation.md, eqs. 8 to 10.
    """
    weighed = [_weighed(birds, observer, groups, strangers) for observer in observers]
    return reconciled_in_states(weighed, prior, len(birds), most_cells)


def _weighed(
    birds: Sequence[Bird], misreading: Misreading, groups: Sequence[Sequence[SeenInView]], strangers: float
) -> list[GroupOfReadings]:
    """The weights of every reading: how probable it is of each bird, and of none of them."""
    flocks: dict[str | None, tuple[Flock, list[int]]] = {}

    def weights(seen: SeenInView) -> tuple[Chances, float]:
        if seen.lookalike not in flocks:
            at = [k for k, bird in enumerate(birds) if seen.lookalike in (None, bird.lookalike)]
            flocks[seen.lookalike] = Flock([birds[k] for k in at], misreading, strangers=strangers), at
        flock, at = flocks[seen.lookalike]
        posterior = flock.posterior(seen.reading)
        row = np.zeros(len(birds))
        row[at] = posterior.birds
        # Not 1 - sum: where strangers are unlikely, that would leave only rounding.
        worn = len(flock.worn)
        unknown = posterior.straight[worn:].sum() + posterior.crossed[worn:].sum()
        probable = max(posterior.evidence, NEVER)
        return row * probable, float(unknown + posterior.otherwise) * probable

    weighed = []
    for group in groups:
        rows = [weights(seen) for seen in group]
        weighed.append(
            GroupOfReadings(
                np.array([row for row, _ in rows]).reshape(len(rows), len(birds)),
                np.array([unknown for _, unknown in rows]),
            )
        )
    return weighed
