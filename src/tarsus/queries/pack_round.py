"""What was told of an exhibit's roll calls, as facts: a phone folds them with its own to the call as it
stands.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q

from tarsus.core.rounds.facts import (
    Closed,
    Counted,
    Fact,
    Grouped,
    NotDone,
    Reopened,
    Sighted,
    Started,
    Withdrawn,
    in_time,
)
from tarsus.queries.days import day_begins, day_of
from tarsus.queries.round_facts import course_facts, facts_of_rounds, rounds_begun
from tarsus.records.models import (
    Concern,
    Count,
    Group,
    Round,
    RoundClosed,
    RoundLight,
    RoundNotDone,
    RoundReopened,
    RoundStarted,
    Sighting,
)
from tarsus.records.models.facts import FieldFact
from tarsus.records.standing import standing, withdrawals_of

Json = dict[str, Any]

REMEMBERED: Final = timedelta(days=2)
"""So long a phone is told how rounds ended: it may hold one of them and have been away."""

_TABLES: Final = (
    *(RoundStarted, RoundClosed, RoundReopened, RoundLight, RoundNotDone),
    *(Count, Group, Sighting),
)
_KINDS: Final = {
    Started: "round_started",
    Closed: "round_closed",
    Reopened: "round_reopened",
    NotDone: "round_not_done",
    Counted: "count",
    Grouped: "group",
    Sighted: "sighting",
}


def told_of_rounds(exhibit_id: int, now: datetime, zone: ZoneInfo) -> list[Json]:
    """What phones have told of an exhibit's roll calls, in order of time; constant in queries.

    Returns:
        Of rounds begun today everything that stands, whether they are open or over, with the concerns about
        its sightings; of those of the last days how they began and ended; and what was withdrawn of either.
    """
    begins = day_begins(day_of(now, zone), zone)
    today = rounds_begun(begins, now + REMEMBERED, [exhibit_id])
    before = rounds_begun(now - REMEMBERED, begins, [exhibit_id])
    facts = [*facts_of_rounds(today)[exhibit_id], *course_facts({"round__in": before})[exhibit_id]]
    told = [_as_told(fact, exhibit_id, zone) for fact in sorted(facts, key=in_time)]
    seen = [fact.id for fact in facts if isinstance(fact, Sighted)]
    rounds = Round.objects.filter(Q(pk__in=today.values("pk")) | Q(pk__in=before.values("pk")))
    return [*told, *_lights(today, zone), *_concerns(seen, zone), *_withdrawn(rounds, zone)]


def _said(moment: datetime, zone: ZoneInfo) -> str:
    return moment.astimezone(zone).isoformat()


def _told(kind: str, row: FieldFact, zone: ZoneInfo) -> Json:
    return {"id": str(row.pk), "kind": kind, "at": _said(row.happened_at, zone), "by": row.recorded_by_id}


def _as_told(fact: Fact, exhibit_id: int, zone: ZoneInfo) -> Json:
    assert not isinstance(fact, Withdrawn)
    told = {
        "id": str(fact.id),
        "kind": _KINDS[type(fact)],
        "at": _said(fact.happened_at, zone),
        "by": fact.by,
        "heard": None if fact.recorded_at is None else _said(fact.recorded_at, zone),
        "round": str(fact.round),
    }
    match fact:
        case Started():
            return {**told, "exhibit": exhibit_id}
        case NotDone():
            return {
                **told,
                "exhibit": exhibit_id,
                "because": fact.because,
                "lookalike": fact.lookalike or None,
            }
        case Counted():
            return {**told, "lookalike": fact.lookalike, "counted": fact.counted}
        case Grouped():
            said = {"group": str(fact.group), "place": fact.place, "size": fact.size, "flew": fact.flew}
            return {**told, **said}
        case Sighted():
            return {**told, "exhibit": exhibit_id, **_seen(fact)}
    return told


def _seen(fact: Sighted) -> Json:
    """What a sighting says. Of a named one the chance of its own bird is enough for whoever did not name
    it.
    """
    candidates = fact.candidates if fact.bird is None else ((fact.bird, fact.chance),)
    return {
        "bird": fact.bird,
        "lookalike": fact.lookalike or None,
        "how": fact.how if fact.bird is not None else None,
        "reading": None if fact.reading is None else fact.reading.as_mapping(),
        "candidates": [{"bird": bird, "chance": chance} for bird, chance in candidates],
        "none_of_these": fact.none_of_these,
        "group": None if fact.group is None else str(fact.group),
        "position": fact.position,
        "place": fact.place,
        "photographed": fact.photographed,
    }


def _lights(rounds: Any, zone: ZoneInfo) -> list[Json]:
    rows = standing(RoundLight.objects.filter(round__in=rounds)).order_by("happened_at", "pk")
    return [
        {**_told("round_light", row, zone), "round": str(row.round_id), "light": row.light, "mud": row.mud}
        for row in rows
    ]


def _concerns(seen: Iterable[UUID], zone: ZoneInfo) -> list[Json]:
    rows = standing(Concern.objects.filter(sighting_id__in=list(seen))).prefetch_related("birds")
    return [
        {
            **_told("concern", row, zone),
            "sighting": str(row.sighting_id),
            "birds": sorted(about.bird_id for about in row.birds.all()),
            "seen": list(row.seen),
            "side": row.side or None,
            "note": row.note,
            "tell_vet": row.tell_vet,
        }
        for row in rows.order_by("happened_at", "pk")
    ]


def _withdrawn(rounds: Any, zone: ZoneInfo) -> list[Json]:
    """What was taken back, and what of it was brought back: a phone that holds the fact itself learns it
    here.
    """
    facts = Q()
    for table in _TABLES:
        facts |= Q(withdraws__in=table._default_manager.filter(round__in=rounds).values("pk"))
    return [
        {**_told("withdrawn", row, zone), "corrects": str(row.withdraws), "because": row.because}
        for row in withdrawals_of(facts)
    ]
