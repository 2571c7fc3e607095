"""Which birds to catch in one session, under the limits that the vet sets.

Tarsus proposes. The vet sets the limits, the lead keeper stops the catch, and what forbids a chase is
lifted only by a reason that both have signed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

import numpy as np

from tarsus.core.care.duty import Duty, Urgency

NEST: Final = "nest or brood"
MOULT: Final = "moult"
REST_DAYS: Final = "rest days"
HEAT: Final = "heat"

WORTH: Final = {
    Urgency.NOW: 8.0,
    Urgency.TODAY: 5.0,
    Urgency.SOON: 3.0,
    Urgency.WITH_NEXT_HANDLING: 1.0,
}
"""What a duty that needs the hand counts in a plan. Ours; the order is what matters."""

LEAST_WORTH: Final = 2.0
"""A bird is not caught for one tidy thing alone: it waits for a handling that happens anyway."""

ANOTHER_MINUTE: Final = 1e-3
"""Of two plans worth the same the shorter one is taken."""


@dataclass(frozen=True)
class CatchLimits:
    """The vet's limits. Minutes run from the start of the chase until the last bird is let go."""

    minutes: float
    rest_days: int
    too_hot_c: float
    until_hour: float
    mates_together: bool = True


@dataclass(frozen=True)
class Signed:
    """A limit lifted by vet and lead together, for the whole exhibit or for one bird, and why."""

    ruled: str
    reason: str
    bird: int | None = None


@dataclass(frozen=True)
class Session:
    """One catch-up of one exhibit. `high_c` is the forecast somebody wrote down, `None` where nobody did.

    `chase_minutes`: how long the chase itself is expected to take. `nests`: the nests or broods that forbid
    it, in words.
    """

    day: date
    starts_hour: float
    high_c: float | None
    chase_minutes: float
    nests: tuple[str, ...] = ()
    signed: tuple[Signed, ...] = ()


@dataclass(frozen=True)
class Candidate:
    """A bird of the exhibit. `minutes`: how long it will be in hand; `unseen_days`: 0 unless it is missed.

    `rest_days`: of its species, `None` where the session's hold.
    """

    bird: int
    name: str
    duties: tuple[Duty, ...]
    minutes: float
    last_handled_on: date | None = None
    mate: int | None = None
    moulting: bool = False
    unseen_days: int = 0
    rest_days: int | None = None

    @property
    def worth(self) -> float:
        """What catching it would settle."""
        return sum(WORTH[duty.urgency] for duty in self.duties if duty.in_hand)


@dataclass(frozen=True)
class Chosen:
    """A bird to catch, why, and how long it takes."""

    bird: int
    name: str
    reasons: tuple[str, ...]
    minutes: float


@dataclass(frozen=True)
class LeftOut:
    """A bird that is not caught this time, and why not."""

    bird: int
    name: str
    because: str


@dataclass(frozen=True)
class CatchPlan:
    """A proposal. `forbidden`: what forbids the whole session; empty where nothing does."""

    chosen: tuple[Chosen, ...]
    left_out: tuple[LeftOut, ...]
    forbidden: tuple[str, ...]
    lifted: tuple[str, ...]
    minutes: float
    minutes_allowed: float
    worth: float


def plan_catch_up(candidates: Sequence[Candidate], session: Session, limits: CatchLimits) -> CatchPlan:
    """Choose the birds of one session: the most that can be settled within the limits.

    Args:
        candidates: every bird of the exhibit, with or without something due.
        session: when, how warm, what nests there are, which limits were lifted.
        limits: the vet's.

    Returns:
        Who is in and why, who is out and why; nobody at all where the session itself is forbidden.

    Source:
        Integer programme solved by HiGHS (`scipy.optimize.milp`); docs/science/catch-up.md.
    """
    forbidden = _forbidden(session, limits)
    allowed = minutes_allowed(session, limits)
    barred = {c.bird: why for c in candidates if (why := _barred(c, session, limits))}
    if limits.mates_together:
        barred |= _barred_with_mate(candidates, barred)
    free = [] if forbidden else [c for c in candidates if c.bird not in barred]
    taken = _best(free, allowed - session.chase_minutes, limits.mates_together)
    chosen = tuple(
        Chosen(c.bird, c.name, tuple(d.what for d in c.duties if d.in_hand) or (_with_mate(c),), c.minutes)
        for c in free
        if c.bird in taken
    )
    because = barred | {c.bird: _not_taken(c, allowed) for c in free}
    return CatchPlan(
        chosen,
        tuple(
            LeftOut(c.bird, c.name, because.get(c.bird, "nobody is caught"))
            for c in candidates
            if c.bird not in taken
        ),
        forbidden,
        tuple(f"{signed.ruled}: {signed.reason}" for signed in session.signed),
        session.chase_minutes + sum(c.minutes for c in chosen) if chosen else 0.0,
        allowed,
        sum(c.worth for c in free if c.bird in taken),
    )


def minutes_allowed(session: Session, limits: CatchLimits) -> float:
    """Minutes from the start of the chase: the vet's, cut short by the hour when it is or may get hot."""
    if _cool(session, limits) or _lifted(session, HEAT, None):
        return limits.minutes
    return max(0.0, min(limits.minutes, 60.0 * (limits.until_hour - session.starts_hour)))


def _cool(session: Session, limits: CatchLimits) -> bool:
    return session.high_c is not None and session.high_c < limits.too_hot_c


def _lifted(session: Session, ruled: str, bird: int | None) -> bool:
    return any(signed.ruled == ruled and signed.bird in (None, bird) for signed in session.signed)


def _forbidden(session: Session, limits: CatchLimits) -> tuple[str, ...]:
    told = []
    if session.nests and not _lifted(session, NEST, None):
        told.append(f"A nest or brood forbids the chase: {', '.join(session.nests)}.")
    if minutes_allowed(session, limits) <= session.chase_minutes:
        warm = "no forecast is written" if session.high_c is None else f"{session.high_c:.0f} °C is forecast"
        told.append(f"Too late in the day: {warm}, and a catch is over by {limits.until_hour:02.0f}:00.")
    return tuple(told)


def _barred(candidate: Candidate, session: Session, limits: CatchLimits) -> str:
    """Why this bird may not be caught at all, empty where it may."""
    if candidate.moulting and not _lifted(session, MOULT, candidate.bird):
        return "in moult"
    last = candidate.last_handled_on
    if last is not None and not _lifted(session, REST_DAYS, candidate.bird):
        rest = limits.rest_days if candidate.rest_days is None else candidate.rest_days
        ready = last + timedelta(days=rest)
        if session.day < ready:
            return f"in hand on {last:%-d %B}; rests until {ready:%-d %B}"
    if candidate.unseen_days:
        return f"unseen for {candidate.unseen_days} days: search first"
    return ""


def _barred_with_mate(candidates: Sequence[Candidate], barred: dict[int, str]) -> dict[int, str]:
    return {
        c.bird: "its mate may not be caught, and mates are caught together"
        for c in candidates
        if c.mate in barred and c.bird not in barred
    }


def _best(free: Sequence[Candidate], minutes: float, mates_together: bool) -> frozenset[int]:
    """The set worth most that fits; 0 or 1 a bird, one row for the minutes and one a pair of mates."""
    from scipy.optimize import Bounds, LinearConstraint, milp  # heavy: imported where it is used

    row_of = {c.bird: row for row, c in enumerate(free)}
    mates = [
        (row, row_of[c.mate])
        for row, c in enumerate(free)
        if mates_together and c.mate in row_of and c.bird < c.mate
    ]
    paired = {row for pair in mates for row in pair}
    together = {row: sum(free[r].worth for pair in mates if row in pair for r in pair) for row in paired}
    worth = np.array([c.worth for c in free])
    enough = np.array([together.get(row, value) >= LEAST_WORTH for row, value in enumerate(worth)])
    if not enough.any() or minutes <= 0.0:
        return frozenset()
    hours = np.array([c.minutes for c in free])
    rules = [LinearConstraint(hours[None, :], -np.inf, minutes)]
    for one, other in mates:
        row = np.zeros((1, len(free)))
        row[0, one], row[0, other] = 1.0, -1.0
        rules.append(LinearConstraint(row, 0.0, 0.0))
    answer = milp(
        -(worth - ANOTHER_MINUTE * hours),
        integrality=np.ones(len(free), dtype=np.int64),
        bounds=Bounds(np.zeros(len(free)), enough.astype(float)),
        constraints=rules,
        options={"mip_rel_gap": 0.0},
    )
    assert answer.x is not None, "catching nobody always fits"
    return frozenset(c.bird for c, taken in zip(free, answer.x, strict=True) if taken > 0.5)


def _with_mate(candidate: Candidate) -> str:
    return f"With its mate; nothing of its own is due for {candidate.name}."


def _not_taken(candidate: Candidate, allowed: float) -> str:
    if candidate.worth == 0.0:
        return "nothing due that needs the hand"
    if candidate.worth < LEAST_WORTH:
        return "only one tidy thing due: it waits for a handling that happens anyway"
    return f"does not fit into {allowed:.0f} minutes beside those chosen"


MINUTES_IN_HAND: Final = 2.0
MINUTES_FOR: Final = {
    "band worn": 2.0,
    "band faded": 2.0,
    "band unreadable": 2.0,
    "band tight": 3.0,
    "band missing": 2.0,
    "band wearing out": 2.0,
    "temporary band to replace": 2.0,
    "marks to fit": 3.0,
    "metal on the other side": 3.0,
    "too alike": 3.0,
    "sex result to act on": 2.0,
    "sex sample": 2.0,
}
"""Minutes in hand for each duty beside the usual look, weight and nails. Ours, to plan with."""


def minutes_in_hand(duties: Sequence[Duty]) -> float:
    """How long a bird will be in hand for what is due."""
    return MINUTES_IN_HAND + sum(MINUTES_FOR.get(duty.kind, 1.0) for duty in duties if duty.in_hand)
