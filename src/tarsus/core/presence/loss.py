"""How fast birds leave, and what a run of misses says when a bird's ease of being seen is known.

Closed forms; the filter of `filtering` and the fold of `fold` agree with them where they apply.
"""

from __future__ import annotations

from typing import Final

from tarsus.core.errors import WrongValue

DAYS_A_YEAR: Final = 365.25


def daily_loss(gone_per_year: float) -> float:
    """Turn the share of birds that vanish in a year into a chance for one day.

    Args:
        gone_per_year: chance, 0 up to below 1, that a bird of this flock vanishes unnoticed within a year.

    Returns:
        The chance for one day that gives this share over a year.

    Raises:
        WrongValue: the share is no chance below 1.

    Assumes:
        The hazard is the same every day. A storm, a broken net or a fox is not.

    Source:
        docs/science/presence.md, eq. 3.
    """
    if not 0.0 <= gone_per_year < 1.0:
        raise WrongValue(
            "gone_per_year", f"{gone_per_year!r} is no chance from 0 up to below 1; 0.05 is usual"
        )
    return float(-((1.0 - gone_per_year) ** (1.0 / DAYS_A_YEAR) - 1.0))


def still_here_after_misses(prior: float, detection: float, misses: int) -> float:
    """Weigh a prior chance of being here against a run of misses.

    Args:
        prior: chance that the bird is here before the misses.
        detection: chance of seeing it in one round if it is here.
        misses: rounds in which it was looked for and not seen.

    Returns:
        The chance that it is still here.

    Source:
        Bayes' rule; docs/science/presence.md, eq. 1.
    """
    missed = prior * (1.0 - detection) ** misses
    return missed / (1.0 - prior + missed)


def gone_after_misses(loss: float, detection: float, misses: int) -> float:
    """Weigh a daily hazard against daily misses since a certain sighting.

    Args:
        loss: chance of leaving on one day.
        detection: chance of seeing it in one round if it is here.
        misses: daily rounds since the sighting in which it was not seen.

    Returns:
        The chance that it has gone.

    Source:
        Bayes' rule over the day on which it left; docs/science/presence.md, eq. 2.
    """
    stays_unseen = (1.0 - loss) * (1.0 - detection)
    gone = sum(loss * stays_unseen**day for day in range(misses))
    return gone / (gone + stays_unseen**misses) if gone else 0.0
