"""What a keeper is told about one bird, with floors that no model can lift.

Decision 0030.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

PRESENT: Final = "present"
LOOK_AGAIN: Final = "look again"
SEARCH: Final = "search"

ADVICE: Final = (PRESENT, LOOK_AGAIN, SEARCH)
"""From the least worried to the most; a state keeps the position."""


@dataclass(frozen=True)
class Caution:
    """How likely gone a bird must be before anybody is sent. Ours; a park sets its own."""

    look_again: float = 0.05
    search: float = 0.5


DEFAULT_CAUTION: Final = Caution()

WHAT_A_LIMIT_COSTS: Final = (
    "Whatever any model says. Vet and lead choose: in simulated flocks a limit of 2 days sends somebody out "
    "12 to 17 times a year for each bird that is there, and a bird that has gone is searched for within a "
    "day; 3 days: 4 to 8 times, within two days; 5 days: 1 to 3 times, within five; 7 days: about once, "
    "within six."
)
"""Printed by benchmarks/watch_changes.py, in full in docs/science/presence.md."""


def advised(gone: float, missed: int, unseen_days: int, max_unseen_days: int, caution: Caution) -> str:
    """Advise on one bird.

    Args:
        gone: chance that it has gone, 0 to 1.
        missed: rounds since its last observed sighting in which it was looked for.
        unseen_days: days since that sighting, whether anybody looked or not; those on which it was known to
            be elsewhere left out.
        max_unseen_days: the species' limit; reaching it is *search* whatever the model says.
        caution: the park's thresholds.

    Returns:
        One of `ADVICE`.
    """
    if unseen_days >= max_unseen_days:
        return SEARCH
    if missed == 0:
        return PRESENT
    if gone >= caution.search:
        return SEARCH
    return LOOK_AGAIN if gone >= caution.look_again else PRESENT


def more_worried(one: str, other: str) -> str:
    """The more worried of two advices."""
    return max(one, other, key=ADVICE.index)


def worry(
    search: bool, by_count: float, advice: str, still_here: float, name: str
) -> tuple[bool, float, int, float, str]:
    """What birds that were not seen are sorted by, the most worrying first.

    Those on *search* come first, then by the chance of being missing from a short count, then by the advice,
    then the likeliest gone. The phone's twin is `moreWorrying` in web/static/shared/missing.js.
    """
    return (not search, -by_count, -ADVICE.index(advice), still_here, name)
