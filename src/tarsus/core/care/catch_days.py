"""Which of the coming days a catch-up could be on: one word a day, for a strip of a fortnight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from tarsus.core.care import catch_limits
from tarsus.core.care.catch_limits import CatchLimits, Session, forbids, minutes_allowed, resting_until
from tarsus.core.care.catch_up import LEAST_WORTH, Candidate, plan_catch_up

OPEN: Final = "open"
NEST: Final = "nest"
WARM: Final = "too warm"
COLD: Final = "too cold"
RESTING: Final = "resting"
NONE_MAY: Final = "none may be caught"
CAN_WAIT: Final = "can wait"
NOBODY: Final = "nobody due"
_WORDS: Final = {catch_limits.NEST: NEST, catch_limits.COLD: COLD, catch_limits.HEAT: WARM}


@dataclass(frozen=True, slots=True)
class CatchDay:
    """One day of the strip. `state`: one of the words above; `birds`: how many a plan would take.

    `early`: on an open day the catch is cut short by heat, written or feared (no forecast yet).
    """

    day: date
    state: str
    birds: int = 0
    early: bool = False


def catch_day(candidates: Sequence[Candidate], session: Session, limits: CatchLimits) -> CatchDay:
    """Say of one day whether a catch-up could be on it.

    Args:
        candidates: the birds, with what is due for them.
        session: of that day.
        limits: the vet's.

    Returns:
        The day's word: what forbids the session first, then whether everybody with work rests still, then
        whether work that does not wait is on birds in moult, missed, or takes too many minutes.

    Source:
        The limits are the vet's; docs/science/catch-up.md.
    """
    forbidden = forbids(session, limits)
    if forbidden:
        return CatchDay(session.day, _WORDS[forbidden[0][0]])
    plan = plan_catch_up(candidates, session, limits)
    if plan.chosen:
        return CatchDay(
            session.day, OPEN, len(plan.chosen), minutes_allowed(session, limits) < limits.minutes
        )
    resting = any(
        one.worth
        and one.last_handled_on is not None
        and resting_until(session, limits, one.last_handled_on, one.rest_days) is not None
        for one in candidates
    )
    if resting:
        return CatchDay(session.day, RESTING)
    most = max((one.worth for one in candidates), default=0.0)
    return CatchDay(session.day, NONE_MAY if most >= LEAST_WORTH else CAN_WAIT if most else NOBODY)
