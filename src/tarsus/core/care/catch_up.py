"""Which birds to catch in one session, under the limits that the vet sets.

Tarsus proposes. The vet sets the limits, the lead keeper changes the plan and stops the catch, and what
forbids a chase is lifted only by a reason that both have signed.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from tarsus.core.care.catch_choice import choose
from tarsus.core.care.catch_limits import (
    MOULT,
    REST_DAYS,
    CatchLimits,
    Session,
    forbidding,
    lifted,
    minutes_allowed,
    resting_until,
)
from tarsus.core.care.duty import Duty, Urgency

WORTH: Final = {
    Urgency.NOW: 8.0,
    Urgency.TODAY: 5.0,
    Urgency.SOON: 3.0,
    Urgency.WITH_NEXT_HANDLING: 1.0,
}
"""What a duty that needs the hand counts in a plan. Ours; the order is what matters."""

LEAST_WORTH: Final = 2.0
"""A bird is not caught for one tidy thing alone: it waits for a handling that happens anyway."""

TAKEN_OUT: Final = "taken out by the lead"
NOTHING_DUE: Final = "nothing due that needs the hand"


@dataclass(frozen=True)
class Candidate:
    """A bird of the exhibit. `minutes`: how long it will be in hand; `unseen_days`: 0 unless it is missed.

    `duties`: all that is due; those count that need the hand. `rest_days`: of its species, `None` where the
    session's hold.
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
class Changed:
    """What the lead's own wishes cost against the plan that nobody changed.

    `worth_lost`: what that plan settles more. `instead`: birds that are caught only now; `wait`: birds that
    wait for it; the birds that were added or taken out themselves are not repeated.
    """

    worth_lost: float
    minutes_more: float
    instead: tuple[str, ...]
    wait: tuple[str, ...]


@dataclass(frozen=True)
class CatchPlan:
    """A proposal. `forbidden`: what forbids the whole session; empty where nothing does.

    `changed`: what adding and taking out cost, `None` where the lead left the proposal as it was.
    """

    chosen: tuple[Chosen, ...]
    left_out: tuple[LeftOut, ...]
    forbidden: tuple[str, ...]
    lifted: tuple[str, ...]
    minutes: float
    minutes_allowed: float
    worth: float
    changed: Changed | None = None


def plan_catch_up(
    candidates: Sequence[Candidate],
    session: Session,
    limits: CatchLimits,
    *,
    added: Collection[int] = (),
    taken_out: Collection[int] = (),
) -> CatchPlan:
    """Choose the birds of one session: the most that can be settled within the limits.

    Args:
        candidates: every bird of the exhibit, with or without something due.
        session: when, how warm, what nests there are, which limits were lifted.
        limits: the vet's.
        added: birds that the lead wants caught whatever is due, their mates with them. What bars a bird bars
            it still, and the minutes hold.
        taken_out: birds that the lead does not want caught; their mates stay out as well.

    Returns:
        Who is in and why, who is out and why, and what the lead's changes cost; nobody at all where the
        session itself is forbidden or the birds that were added do not fit.

    Source:
        The choice by `catch_choice.choose`; docs/science/catch-up.md.
    """
    proposal = _planned(candidates, session, limits, frozenset(), frozenset())
    if not added and not taken_out:
        return proposal
    wanted = frozenset(added) - frozenset(taken_out)
    plan = _planned(candidates, session, limits, wanted, frozenset(taken_out))
    return replace(plan, changed=_changed(proposal, plan, {*wanted, *taken_out}))


@dataclass(frozen=True)
class Price:
    """What it costs to add a bird that is out of the plan, or to take out one that is in."""

    bird: int
    name: str
    chosen: bool
    changed: Changed


def prices(candidates: Sequence[Candidate], session: Session, limits: CatchLimits) -> tuple[Price, ...]:
    """What each single change of the proposal would cost, before the lead makes it.

    Args:
        candidates: as in `plan_catch_up`, and
        session: likewise, and
        limits: likewise.

    Returns:
        One price a bird that may be caught; a bird that is barred, or does not fit with its mate even
        alone, has none.

    Source:
        docs/science/catch-up.md.
    """
    proposal = _planned(candidates, session, limits, frozenset(), frozenset())
    inside = {chosen.bird for chosen in proposal.chosen}
    found = []
    for c in candidates:
        only = frozenset({c.bird})
        wanted, out = (frozenset[int](), only) if c.bird in inside else (only, frozenset[int]())
        plan = _planned(candidates, session, limits, wanted, out)
        if c.bird in inside or any(chosen.bird == c.bird for chosen in plan.chosen):
            found.append(Price(c.bird, c.name, c.bird in inside, _changed(proposal, plan, only)))
    return tuple(found)


def _planned(
    candidates: Sequence[Candidate],
    session: Session,
    limits: CatchLimits,
    added: frozenset[int],
    taken_out: frozenset[int],
) -> CatchPlan:
    allowed = minutes_allowed(session, limits)
    barred = {c.bird: why for c in candidates if (why := _barred(c, session, limits))}
    barred |= {bird: TAKEN_OUT for bird in taken_out if bird not in barred}
    if limits.mates_together:
        barred |= _barred_with_mate(candidates, barred)
    free = [c for c in candidates if c.bird not in barred]
    forbidden = forbidding(session, limits)
    taken = frozenset[int]()
    if not forbidden:
        best = _best(free, allowed - session.chase_minutes, limits.mates_together, added)
        taken = taken if best is None else best
        forbidden = (_too_many(free, session, allowed, added),) if best is None else ()
    chosen = tuple(Chosen(c.bird, c.name, _reasons(c, added), c.minutes) for c in free if c.bird in taken)
    because = barred | {c.bird: _not_taken(c, allowed) for c in free}
    return CatchPlan(
        chosen,
        tuple(
            LeftOut(
                c.bird, c.name, "nobody is caught" if forbidden and c.bird not in barred else because[c.bird]
            )
            for c in candidates
            if c.bird not in taken
        ),
        forbidden,
        tuple(f"{signed.ruled}: {signed.reason}" for signed in session.signed),
        session.chase_minutes + sum(c.minutes for c in chosen) if chosen else 0.0,
        allowed,
        sum(c.worth for c in free if c.bird in taken),
    )


def _changed(proposal: CatchPlan, plan: CatchPlan, asked: Collection[int]) -> Changed:
    before = {chosen.bird for chosen in proposal.chosen}
    now = {chosen.bird for chosen in plan.chosen}
    return Changed(
        proposal.worth - plan.worth,
        plan.minutes - proposal.minutes,
        tuple(c.name for c in plan.chosen if c.bird not in before and c.bird not in asked),
        tuple(c.name for c in proposal.chosen if c.bird not in now and c.bird not in asked),
    )


def _barred(candidate: Candidate, session: Session, limits: CatchLimits) -> str:
    """Why this bird may not be caught at all, empty where it may."""
    if candidate.moulting and not lifted(session, MOULT, candidate.bird):
        return "in moult"
    last = candidate.last_handled_on
    if last is not None and not lifted(session, REST_DAYS, candidate.bird):
        ready = resting_until(session, limits, last, candidate.rest_days)
        if ready is not None:
            return f"in hand on {last:%-d %B}; rests until {ready:%-d %B}"
    if candidate.unseen_days:
        return f"unseen for {candidate.unseen_days} days: search first"
    return ""


def _barred_with_mate(candidates: Sequence[Candidate], barred: Mapping[int, str]) -> dict[int, str]:
    return {
        c.bird: "its mate may not be caught, and mates are caught together"
        for c in candidates
        if c.mate in barred and c.bird not in barred
    }


def _best(
    free: Sequence[Candidate], room: float, mates_together: bool, added: frozenset[int]
) -> frozenset[int] | None:
    """The birds worth most that fit; `None` where those that were added do not."""
    row_of = {c.bird: row for row, c in enumerate(free)}
    mates = [(row, row_of[c.mate]) for row, c in enumerate(free) if mates_together and c.mate in row_of]
    together = [c.worth for c in free]
    for one, other in mates:
        together[one] = free[one].worth + free[other].worth
    must = {row for row, c in enumerate(free) if c.bird in added}
    must |= {other for one, other in mates if one in must}
    tidy = {row for row, worth in enumerate(together) if worth < LEAST_WORTH and row not in must}
    taken = choose([c.worth for c in free], [c.minutes for c in free], room, mates, must=must, never=tidy)
    return None if taken is None else frozenset(free[row].bird for row in taken)


def _too_many(free: Sequence[Candidate], session: Session, allowed: float, added: frozenset[int]) -> str:
    mates = {c.mate for c in free if c.bird in added}
    minutes = session.chase_minutes + sum(c.minutes for c in free if c.bird in added or c.bird in mates)
    return f"The birds that were added take {minutes:.0f} minutes with catching; {allowed:.0f} are allowed."


def _reasons(candidate: Candidate, added: frozenset[int]) -> tuple[str, ...]:
    due = tuple(duty.what for duty in candidate.duties if duty.in_hand)
    if candidate.bird in added:
        return (*due, "Added by the lead.")
    return due or (f"With its mate; nothing of its own is due for {candidate.name}.",)


def _not_taken(candidate: Candidate, allowed: float) -> str:
    if candidate.worth == 0.0:
        return NOTHING_DUE
    if candidate.worth < LEAST_WORTH:
        return "only one tidy thing due: it waits for a handling that happens anyway"
    return f"does not fit into {allowed:.0f} minutes beside those chosen"


MINUTES_IN_HAND: Final = 2.0
MINUTES_FOR: Final = {
    "weigh": 0.0,  # part of the usual look
    "weigh again": 0.0,
    "health check": 2.0,
    "band worn": 2.0,
    "band faded": 2.0,
    "band unreadable": 2.0,
    "band tight": 3.0,
    "band missing": 2.0,
    "band wearing out": 2.0,
    "temporary band to replace": 2.0,
    "marks to fit": 3.0,
    "metal on the other side": 3.0,
    "two metals on a leg": 3.0,
    "too alike": 3.0,
    "sex result to act on": 2.0,
    "sex sample": 2.0,
}
"""Minutes in hand for each duty beside the usual look, weight and nails. Ours, to plan with."""


def minutes_in_hand(duties: Sequence[Duty]) -> float:
    """How long a bird will be in hand for what is due.

    Source:
        Minutes of ours, to plan with; docs/science/catch-up.md.
    """
    return MINUTES_IN_HAND + sum(MINUTES_FOR.get(duty.kind, 1.0) for duty in duties if duty.in_hand)
