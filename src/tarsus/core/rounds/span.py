"""One round: when it was begun, how it ended, whether it was opened again, and which groups it called."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, tzinfo
from typing import Final, Literal

from tarsus.core.rounds.facts import (
    Closed,
    Counted,
    FactId,
    Grouped,
    NotDone,
    Reopened,
    RoundFact,
    Sighted,
    Started,
    in_time,
)
from tarsus.core.rounds.naming import clears

STALE_HOURS: Final = 14
"""A round that nobody closed is taken for an open one so long, and no longer than its own day of the park."""

Phase = Literal["open", "left open", "closed", "not done"]
GroupState = Literal["not called", "not done", "begun", "called"]

FIRMER: Final[dict[GroupState, int]] = {"not called": 0, "not done": 1, "begun": 2, "called": 3}
"""Of two rounds of one roll call the firmer word stands: not done is said only where no round called the
group.
"""


@dataclass(frozen=True, slots=True)
class RoundSpan:
    """One round as it stands.

    `ended_at` is empty while it is open or was left open. `closings` are those that stand; `earlier` are
    closings after which it was opened again: their versions stay on record. `spells`: when it was open.
    """

    round: FactId
    begun_at: datetime
    begun_by: int
    day: date
    phase: Phase
    ended_at: datetime | None
    ended_by: int | None
    because: str
    closings: tuple[Closed, ...]
    earlier: tuple[Closed, ...]
    spells: tuple[tuple[datetime, datetime], ...]


@dataclass(slots=True)
class RoundTold:
    """What was told of one round, while it is gathered."""

    round: FactId
    started: list[Started] = field(default_factory=list)
    ends: list[Closed | NotDone] = field(default_factory=list)
    reopened: list[Reopened] = field(default_factory=list)
    not_done: list[NotDone] = field(default_factory=list)
    counts: list[Counted] = field(default_factory=list)
    groups: list[Grouped] = field(default_factory=list)
    sightings: list[Sighted] = field(default_factory=list)
    unsure: list[Sighted] = field(default_factory=list)
    observed: set[int] = field(default_factory=set)
    words: dict[str, list[datetime]] = field(default_factory=dict)
    """When something was said of a look-alike group that calls it: a count, a sure name."""

    def take_in(self, fact: RoundFact) -> None:
        """Sort one standing fact to its kind."""
        match fact:
            case Sighted():
                self.sightings.append(fact)
                if fact.bird is not None and clears(fact.bird, fact.how, fact.chance):
                    self.observed.add(fact.bird)
                    self.words.setdefault(fact.lookalike, []).append(fact.happened_at)
                else:
                    self.unsure.append(fact)
            case Counted():
                self.counts.append(fact)
                self.words.setdefault(fact.lookalike, []).append(fact.happened_at)
            case Grouped():
                self.groups.append(fact)
            case Started():
                self.started.append(fact)
            case Closed():
                self.ends.append(fact)
            case Reopened():
                self.reopened.append(fact)
            case NotDone():
                self.not_done.append(fact)
                if not fact.lookalike:
                    self.ends.append(fact)

    def begun(self) -> RoundFact:
        """The fact with which it began: its start, or the earliest word about it where no start stands."""
        if self.started:
            return min(self.started, key=_first_word)
        rest: Iterable[RoundFact] = (
            *self.ends,
            *self.not_done,
            *self.reopened,
            *self.counts,
            *self.groups,
            *self.sightings,
        )
        return min(rest, key=_first_word)


def _first_word(fact: RoundFact) -> tuple[datetime, int]:
    return fact.happened_at, fact.by


def joinable(begun_at: datetime, moment: datetime, zone: tzinfo) -> bool:
    """Whether a round that nobody ended is still the one to join, or to open again, at a moment."""
    same_day = begun_at.astimezone(zone).date() == moment.astimezone(zone).date()
    return same_day and moment < begun_at + timedelta(hours=STALE_HOURS)


def span_of(told: RoundTold, zone: tzinfo, now: datetime) -> RoundSpan:
    """Say how one round stands.

    Args:
        told: its facts.
        zone: the park's.
        now: the moment of asking; a round left open is stale by it or not.

    Returns:
        The round. An opening after its end counts on its own day only; one that was never closed again lapses
        with the day, and then the closing before it stands.
    """
    begun = told.begun()
    spells, turns = _course(told, begun.happened_at, zone)
    still = joinable(begun.happened_at, now, zone)
    if not turns[-1] and len(turns) > 1 and not still:
        turns = turns[:-1]
    *before, ends = turns
    closings = tuple(end for end in ends if isinstance(end, Closed))
    given_up = [end for end in ends if isinstance(end, NotDone)]
    phase: Phase = "closed" if closings else "not done" if given_up else "open" if still else "left open"
    return RoundSpan(
        round=told.round,
        begun_at=begun.happened_at,
        begun_by=begun.by,
        day=begun.happened_at.astimezone(zone).date(),
        phase=phase,
        ended_at=ends[0].happened_at if ends else None,
        ended_by=ends[0].by if ends else None,
        because=given_up[0].because if given_up else "",
        closings=closings,
        earlier=tuple(end for past in before for end in past if isinstance(end, Closed)),
        spells=spells,
    )


Ends = list[Closed | NotDone]


def _course(
    told: RoundTold, begun_at: datetime, zone: tzinfo
) -> tuple[tuple[tuple[datetime, datetime], ...], list[Ends]]:
    """When the round was open, and the ends told after each opening: the last is empty while it is open."""
    stale_at = begun_at + timedelta(hours=STALE_HOURS)
    spells: list[tuple[datetime, datetime]] = []
    opened: datetime | None = begun_at
    ends: list[Ends] = [[]]
    # At one and the same moment a round ends before it is opened again.
    turns = sorted(
        [*told.ends, *told.reopened], key=lambda one: (one.happened_at, isinstance(one, Reopened), one.id)
    )
    for turn in turns:
        if not isinstance(turn, Reopened):
            ends[-1].append(turn)
            if opened is not None:
                spells.append((opened, max(opened, min(turn.happened_at, stale_at))))
                opened = None
        elif opened is None and joinable(begun_at, turn.happened_at, zone):
            ends.append([])
            opened = turn.happened_at
    if opened is not None:
        spells.append((opened, max(opened, stale_at)))
    return tuple(spells), ends


def groups_of(told: RoundTold, span: RoundSpan) -> dict[str, tuple[GroupState, str]]:
    """How far each look-alike group was called in one round, and why not where somebody said so.

    Returns:
        Group -> state and reason; one of which nothing was told but part readings, doubtful and inferred
        names is left out: without a count and without a sure name it was not called. A later *not done*
        takes back what was begun; what was begun is called once the round was closed after it.
    """
    words = told.words
    given_up: dict[str, NotDone] = {}
    for fact in sorted(told.not_done, key=in_time):
        for lookalike in (fact.lookalike,) if fact.lookalike else (*words, *given_up):
            given_up[lookalike] = fact
        if not fact.lookalike:
            given_up[""] = fact
    cut = max((closing.happened_at for closing in span.closings), default=None)
    return {
        lookalike: _group(words.get(lookalike, []), given_up.get(lookalike), cut)
        for lookalike in {**words, **given_up}
    }


def _group(words: list[datetime], given_up: NotDone | None, cut: datetime | None) -> tuple[GroupState, str]:
    since = [at for at in words if given_up is None or at > given_up.happened_at]
    if not since:
        return "not done", given_up.because if given_up else ""
    return ("called" if cut is not None and min(since) <= cut else "begun"), ""
