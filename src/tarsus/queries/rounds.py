"""One roll call as it stands: what was counted, who was seen and how they were named, who was not.

Two phones without signal may each have started a round of the same exhibit. Such rounds, open at the same
time, are one roll call: everything here is asked of the roll call, whichever of its rounds is named.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Prefetch, Q, QuerySet

from tarsus.core.errors import NoAnswer
from tarsus.core.marks.marks import Reading
from tarsus.queries.days import day_begins, day_ends, day_of, park_zone
from tarsus.queries.last_seen import OBSERVED
from tarsus.records.models import Count, Group, Round, RoundClosed, RoundNotDone, RoundStarted, Sighting
from tarsus.records.standing import standing


class NoSuchRound(NoAnswer):
    """No round has this id."""

    def __init__(self, round_id: UUID) -> None:
        self.round_id = round_id
        super().__init__(f"no round {round_id} is in this register; start the round anew")


@dataclass(frozen=True, slots=True)
class RoundSpan:
    """One round: whose, when, and how it ended. `ended_at` is empty while it is open.

    `not_done` says why all of it was not done, `groups_not_done` why single look-alike groups were not.
    """

    round_id: UUID
    exhibit_id: int
    started_at: datetime
    started_by: int
    starter: str
    ended_at: datetime | None
    not_done: str
    groups_not_done: tuple[tuple[str, str], ...]
    heard_closed_at: datetime | None


@dataclass(frozen=True, slots=True)
class Seen:
    """One sighting. `beside` says that it was heard after its round had been closed."""

    sighting_id: UUID
    round_id: UUID | None
    bird_id: int | None
    lookalike: str
    how: str
    reading: Reading | None
    candidates: tuple[tuple[int, float], ...]
    none_of_these: float | None
    chance: float
    group: UUID | None
    position: int | None
    place_id: int | None
    at: datetime
    by: int
    observer: str
    beside: bool


@dataclass(frozen=True, slots=True)
class Counted:
    """The latest count of a look-alike group."""

    lookalike: str
    counted: int
    at: datetime
    by: int


@dataclass(frozen=True, slots=True)
class InView:
    """Birds in view together."""

    group: UUID
    round_id: UUID
    place_id: int | None
    size: int
    flew: bool
    at: datetime


@dataclass(frozen=True, slots=True)
class RollCall:
    """Everything that was said in one roll call, withdrawn facts left out."""

    rounds: tuple[RoundSpan, ...]
    counts: tuple[Counted, ...]
    groups: tuple[InView, ...]
    sightings: tuple[Seen, ...]

    @property
    def exhibit_id(self) -> int:
        """Where the roll was called."""
        return self.rounds[0].exhibit_id

    @property
    def is_open(self) -> bool:
        """Whether any of its rounds is still going on."""
        return any(span.ended_at is None for span in self.rounds)

    @property
    def observed(self) -> frozenset[int]:
        """Birds that somebody saw and named by sight or by reading."""
        return frozenset(s.bird_id for s in self.sightings if s.bird_id is not None and s.how in OBSERVED)

    @property
    def inferred(self) -> frozenset[int]:
        """Birds that were only inferred. They are still unseen."""
        named = {s.bird_id for s in self.sightings if s.bird_id is not None}
        return frozenset(named) - self.observed

    def unseen(self, roll: Iterable[int]) -> tuple[int, ...]:
        """Of the birds on the roll, those nobody saw; an inferred bird is among them."""
        return tuple(bird for bird in roll if bird not in self.observed)


def open_round(exhibit_id: int, now: datetime) -> UUID | None:
    """The round to join in an exhibit: of today's open ones the one that was started first.

    A round that was left open on an earlier day is no longer going on.
    """
    zone = park_zone()
    today = day_begins(day_of(now, zone), zone)
    spans = rounds_between(exhibit_id, today, day_ends(day_of(now, zone), zone))
    return next((span.round_id for span in spans if span.ended_at is None), None)


def roll_call(round_id: UUID) -> RollCall:
    """The roll call to which a round belongs, in a constant number of queries.

    Raises:
        NoSuchRound: the register has no round of this id.
    """
    known = _spans(Round.objects.filter(pk=round_id))
    if not known:
        raise NoSuchRound(round_id)
    spans = _called_together(known[0])
    ids = [span.round_id for span in spans]
    closed = {span.round_id: span.heard_closed_at for span in spans}
    return RollCall(spans, _counts(ids), _groups(ids), _sightings(ids, closed))


def rounds_between(exhibit_id: int, first: datetime, last: datetime) -> tuple[RoundSpan, ...]:
    """The rounds of an exhibit begun, or not done, from one moment until another; the oldest first."""
    started = standing(RoundStarted.objects.filter(happened_at__gte=first, happened_at__lt=last))
    not_done = standing(RoundNotDone.objects.filter(happened_at__gte=first, happened_at__lt=last))
    named = Q(pk__in=started.values("round")) | Q(pk__in=not_done.values("round"), started__isnull=True)
    return _spans(Round.objects.filter(named, exhibit_id=exhibit_id))


def closed_version(round_id: UUID) -> dict[str, Any] | None:
    """What a round held when it was first closed, as it was kept then; nothing while it is open."""
    closings = standing(RoundClosed.objects.filter(round_id=round_id)).order_by("recorded_at", "pk")
    version: dict[str, Any] | None = closings.values_list("version", flat=True).first()
    return version


def _called_together(span: RoundSpan) -> tuple[RoundSpan, ...]:
    """The rounds of the exhibit and day that were open together with this one, directly or through others."""
    zone = park_zone()
    day = day_of(span.started_at, zone)
    begins, ends = day_begins(day, zone), day_ends(day, zone)
    rest = [
        other for other in rounds_between(span.exhibit_id, begins, ends) if other.round_id != span.round_id
    ]
    together = [span]
    grown = True
    while grown:
        joins = [other for other in rest if any(_overlap(other, one, ends) for one in together)]
        rest = [other for other in rest if other not in joins]
        together += joins
        grown = bool(joins)
    return tuple(sorted(together, key=lambda one: (one.started_at, str(one.round_id))))


def _overlap(one: RoundSpan, other: RoundSpan, ends: datetime) -> bool:
    return one.started_at <= (other.ended_at or ends) and other.started_at <= (one.ended_at or ends)


def _spans(rounds: QuerySet[Round]) -> tuple[RoundSpan, ...]:
    rows = (
        rounds.select_related("started__recorded_by")
        .prefetch_related(
            Prefetch("closings", standing(RoundClosed.objects.all())),
            Prefetch("not_done", standing(RoundNotDone.objects.select_related("recorded_by"))),
        )
        .all()
    )
    spans = [_span(row) for row in rows]
    return tuple(sorted(spans, key=lambda span: (span.started_at, str(span.round_id))))


def _span(row: Round) -> RoundSpan:
    closings = sorted(row.closings.all(), key=lambda closing: closing.happened_at)
    not_done = sorted(row.not_done.all(), key=lambda told: told.happened_at)
    given_up = [told for told in not_done if not told.lookalike]
    ends = [*closings[:1], *given_up[:1]]
    begun = row.started if hasattr(row, "started") else not_done[0]
    return RoundSpan(
        round_id=row.pk,
        exhibit_id=row.exhibit_id,
        started_at=begun.happened_at,
        started_by=begun.recorded_by_id,
        starter=begun.recorded_by.display_name,
        ended_at=min((end.happened_at for end in ends), default=None),
        not_done=given_up[0].because if given_up else "",
        groups_not_done=tuple((told.lookalike, told.because) for told in not_done if told.lookalike),
        heard_closed_at=min((closing.recorded_at for closing in closings), default=None),
    )


def _counts(round_ids: list[UUID]) -> tuple[Counted, ...]:
    rows = standing(Count.objects.filter(round_id__in=round_ids)).order_by("happened_at", "pk")
    latest = {
        row.lookalike: Counted(row.lookalike, row.counted, row.happened_at, row.recorded_by_id)
        for row in rows
    }
    return tuple(latest[name] for name in sorted(latest))


def _groups(round_ids: list[UUID]) -> tuple[InView, ...]:
    rows = standing(Group.objects.filter(round_id__in=round_ids)).order_by("happened_at", "pk")
    latest = {
        row.group: InView(row.group, row.round_id, row.place_id, row.size, row.flew, row.happened_at)
        for row in rows
    }
    return tuple(sorted(latest.values(), key=lambda view: (view.at, str(view.group))))


def _sightings(round_ids: list[UUID], closed: dict[UUID, datetime | None]) -> tuple[Seen, ...]:
    rows = standing(Sighting.objects.filter(round_id__in=round_ids)).select_related("recorded_by")
    return tuple(as_seen(row, closed) for row in rows.order_by("happened_at", "pk"))


def as_seen(row: Sighting, closed: dict[UUID, datetime | None]) -> Seen:
    """A row as a plain value; `closed` says when each closed round's closing was heard."""
    heard = closed.get(row.round_id) if row.round_id else None
    return Seen(
        sighting_id=row.pk,
        round_id=row.round_id,
        bird_id=row.bird_id,
        lookalike=row.lookalike,
        how=row.how,
        reading=None if row.reading is None else Reading.of(row.reading),
        candidates=tuple((one["bird"], one["chance"]) for one in row.candidates),
        none_of_these=row.none_of_these,
        chance=row.chance,
        group=row.group,
        position=row.position,
        place_id=row.place_id,
        at=row.happened_at,
        by=row.recorded_by_id,
        observer=row.recorded_by.display_name,
        beside=heard is not None and row.recorded_at > heard,
    )
