"""A server does its errands beside its requests. Decision 0052."""

from __future__ import annotations


def begin_errands() -> None:
    """Do errands in a thread of this process; first those that an earlier one may not have come to."""
    # The tables can be named only once Django is set up.
    from tarsus.actions.errands import ERRANDS
    from tarsus.actions.hearing.afterwards import FIRST
    from tarsus.actions.jobs import clear_away

    ERRANDS.begin([*FIRST, clear_away])
