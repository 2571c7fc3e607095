"""A roll call as it stands: what was called, counted and seen in it, and who is asked for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from tarsus.core.rounds.counting import Counts
from tarsus.core.rounds.facts import FactId, Sighted, heard_after, in_time
from tarsus.core.rounds.naming import INFERRED, shares
from tarsus.core.rounds.span import GroupState, Phase, RoundSpan


@dataclass(frozen=True, slots=True)
class InView:
    """Birds in view together: no bird is in a group twice."""

    group: FactId
    round: FactId
    size: int
    place: int | None
    flew: bool
    at: datetime
    by: int


@dataclass(frozen=True, slots=True)
class OnRoll:
    """A bird that counts on the roll of a look-alike group; `excused` says why it is not looked for."""

    bird: int
    lookalike: str
    excused: str = ""


@dataclass(frozen=True, slots=True)
class Answered:
    """How a roll call answers a roll, birds in the roll's order.

    `seen`: somebody saw and named them. `unseen`: asked for and not seen, the doubtful and inferred ones
    among them. `not_asked`: excused, or of a group that was not called.
    """

    seen: tuple[int, ...]
    unseen: tuple[int, ...]
    not_asked: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class RollCall:
    """One roll call: every round that belongs to it, taken together; withdrawn facts are left out.

    `groups`: state and reason of each look-alike group of which something was told; ask `group_state` of
    any. `observed`: birds that somebody saw and named surely. `likely`: the chance that each other bird
    that a doubtful or inferred name or a part reading speaks of was seen.
    """

    rounds: tuple[RoundSpan, ...]
    groups: Mapping[str, tuple[GroupState, str]]
    counts: Mapping[str, Counts]
    in_view: tuple[InView, ...]
    sightings: tuple[Sighted, ...]
    observed: frozenset[int]
    likely: Mapping[int, float]

    @property
    def begun_at(self) -> datetime:
        """When the first of its rounds was begun."""
        return self.rounds[0].begun_at

    @property
    def day(self) -> date:
        """The park's day to which it belongs."""
        return self.rounds[0].day

    @property
    def phase(self) -> Phase:
        """How the whole of it stands: open while any of its rounds is; closed if any was closed."""
        phases = {span.phase for span in self.rounds}
        return next(phase for phase in _IN_TURN if phase in phases)

    @property
    def ended_at(self) -> datetime | None:
        """When the last of its rounds ended; empty while it is open or where it was left open."""
        ends = [span.ended_at for span in self.rounds if span.ended_at is not None]
        return max(ends) if ends and self.phase != "open" else None

    @property
    def inferred(self) -> frozenset[int]:
        """Birds that were only inferred. They are still unseen."""
        named = {seen.bird for seen in self.sightings if seen.bird is not None and seen.how == INFERRED}
        return frozenset(named) - self.observed

    @property
    def doubtful(self) -> frozenset[int]:
        """Birds that were named by readings, none of them sure enough. They are still unseen."""
        named = {seen.bird for seen in self.sightings if seen.bird is not None and seen.how != INFERRED}
        return frozenset(named) - self.observed

    @property
    def late(self) -> frozenset[FactId]:
        """Sightings that were heard after their round was closed: they stand beside the version it keeps."""
        closings = {span.round: span.closings for span in self.rounds}
        return frozenset(
            seen.id
            for seen in self.sightings
            if (told := closings[seen.round]) and all(heard_after(seen, closing) for closing in told)
        )

    @property
    def called(self) -> frozenset[str]:
        """The look-alike groups that were called to the end: who was not seen of them was missed."""
        return frozenset(name for name, (state, _) in self.groups.items() if state == "called")

    def group_state(self, lookalike: str) -> tuple[GroupState, str]:
        """How far a look-alike group was called, and why it was not where somebody said so."""
        known = self.groups.get(lookalike) or self.groups.get("")
        return ("not called", "") if known is None else known

    def answer(self, roll: Iterable[OnRoll]) -> Answered:
        """Say of each bird of a roll whether it was seen, or asked for in vain, or not asked for."""
        seen: list[int] = []
        unseen: list[int] = []
        not_asked: list[int] = []
        for one in roll:
            asked = not one.excused and self.group_state(one.lookalike)[0] in ("begun", "called")
            into = seen if one.bird in self.observed else unseen if asked else not_asked
            into.append(one.bird)
        return Answered(tuple(seen), tuple(unseen), tuple(not_asked))


_IN_TURN: tuple[Phase, ...] = ("open", "closed", "not done", "left open")


def likely_among(unsure: Iterable[Sighted], observed: frozenset[int]) -> dict[int, float]:
    """The chance that a bird was seen at least once by sightings that clear nobody.

    Args:
        unsure: part readings, doubtful and inferred names.
        observed: birds that others cleared; they are left out.

    Source:
        docs/science/presence.md, eq. 12.
    """
    missed: dict[int, float] = {}
    for fact in sorted(unsure, key=in_time):
        for bird, share in shares(fact):
            missed[bird] = missed.get(bird, 1.0) * (1.0 - share)
    return {bird: 1.0 - chance for bird, chance in sorted(missed.items()) if bird not in observed}
