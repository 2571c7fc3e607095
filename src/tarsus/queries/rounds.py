"""Roll calls out of the tables, as the fold of `core.rounds` answers: whichever of its rounds is named.

Two phones without signal may each have started a round of the same exhibit. Such rounds, open at the same
time, are one roll call: everything here is asked of the roll call.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q
from django.utils import timezone

from tarsus.core.errors import NoAnswer
from tarsus.core.rounds.call import RollCall
from tarsus.core.rounds.facts import Closed
from tarsus.core.rounds.fold import roll_calls, to_join
from tarsus.core.rounds.span import RoundSpan
from tarsus.queries.days import day_begins, day_ends, day_of, park_zone
from tarsus.queries.round_facts import course_facts, facts_of_rounds, rounds_begun
from tarsus.records.models import Round, RoundClosed, RoundStarted
from tarsus.records.standing import standing


class NoSuchRound(NoAnswer):
    """No round has this id."""

    def __init__(self, round_id: UUID) -> None:
        self.round_id = round_id
        super().__init__(f"no round {round_id} is in this register; start the round anew")


def calls_between(exhibit_id: int, first: datetime, last: datetime, now: datetime) -> tuple[RollCall, ...]:
    """The roll calls of an exhibit begun from one moment until another; the oldest first."""
    told = facts_of_rounds(rounds_begun(first, last, [exhibit_id]))
    return roll_calls(told[exhibit_id], park_zone(), now)


def open_round(exhibit_id: int, now: datetime) -> UUID | None:
    """The round to join in an exhibit: of today's open ones the one that was started first.

    A round that was left open on an earlier day, or too long ago, is no longer going on.
    """
    zone = park_zone()
    day = day_of(now, zone)
    begun = rounds_begun(day_begins(day, zone), day_ends(day, zone), [exhibit_id])
    found: UUID | None = to_join(roll_calls(course_facts({"round__in": begun})[exhibit_id], zone, now))
    return found


def roll_call(round_id: UUID, now: datetime) -> RollCall:
    """The roll call to which a round belongs, in a constant number of queries.

    Raises:
        NoSuchRound: the register has no round of this id.
    """
    row = Round.objects.filter(pk=round_id).first()
    if row is None:
        raise NoSuchRound(round_id)
    zone = park_zone()
    day = day_of(_begun_at(round_id, zone), zone)
    same_day = rounds_begun(day_begins(day, zone), day_ends(day, zone), [row.exhibit_id])
    told = facts_of_rounds(Round.objects.filter(Q(pk__in=same_day.values("pk")) | Q(pk=round_id)))
    calls = roll_calls(told[row.exhibit_id], zone, now)
    return next(call for call in calls if any(span.round == round_id for span in call.rounds))


def round_span(round_id: UUID, now: datetime) -> RoundSpan:
    """One round by itself.

    Raises:
        NoSuchRound: the register has no round of this id.
    """
    return next(span for span in roll_call(round_id, now).rounds if span.round == round_id)


def _begun_at(round_id: UUID, zone: ZoneInfo) -> datetime:
    """When a round was begun; where its start does not stand, the earliest word about it says so."""
    started = standing(RoundStarted.objects.filter(round_id=round_id))
    at = started.values_list("happened_at", flat=True).first()
    if at is not None:
        return at
    told = facts_of_rounds(Round.objects.filter(pk=round_id))
    calls = [call for facts in told.values() for call in roll_calls(facts, zone, timezone.now())]
    if not calls:
        raise NoSuchRound(round_id)
    return calls[0].begun_at


def closed_version(round_id: UUID, now: datetime) -> dict[str, Any] | None:
    """What a round held when it was closed, as it was kept then; nothing while it is open."""
    versions = _versions(round_span(round_id, now).closings)
    return versions[0] if versions else None


def earlier_versions(round_id: UUID, now: datetime) -> tuple[dict[str, Any], ...]:
    """What a round held at each closing after which it was opened again, the first first."""
    return _versions(round_span(round_id, now).earlier)


def _versions(closings: Iterable[Closed]) -> tuple[dict[str, Any], ...]:
    rows = RoundClosed.objects.filter(pk__in=[closing.id for closing in closings])
    return tuple(rows.order_by("recorded_at", "pk").values_list("version", flat=True))
