"""The round that is open in an exhibit, as facts: what phones that join it must know of what others told."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

from tarsus.queries.rounds import RollCall, Seen, open_round, roll_call
from tarsus.records.models import Concern, Count, Group, RoundClosed, RoundNotDone, Sighting, Withdrawal
from tarsus.records.models.facts import FieldFact
from tarsus.records.standing import standing

Json = dict[str, Any]

OVER_FOR: Final = timedelta(days=2)


def open_round_as_told(exhibit_id: int, now: datetime, zone: ZoneInfo) -> Json | None:
    """The open round as the pack carries it, or nothing where none is open; constant in queries."""
    round_id = open_round(exhibit_id, now)
    if round_id is None:
        return None
    call = roll_call(round_id)
    ids = [span.round_id for span in call.rounds]
    first = next(span for span in call.rounds if span.round_id == round_id)
    counts = [_count(row, zone) for row in _rows(Count.objects.filter(round_id__in=ids))]
    return {
        "id": str(round_id),
        "ids": [str(span.round_id) for span in call.rounds if span.ended_at is None],
        "started_at": _said(first.started_at, zone),
        "by": first.started_by,
        "counts": {counted.lookalike: counted.counted for counted in call.counts},
        "count_facts": counts,
        "sightings": [_sighting(seen, exhibit_id, zone) for seen in call.sightings],
        "groups": [_group(row, zone) for row in _rows(Group.objects.filter(round_id__in=ids))],
        "concerns": _concerns(call, zone),
        "withdrawn": _withdrawn(ids, zone),
    }


def rounds_over(exhibit_id: int, now: datetime, zone: ZoneInfo) -> list[Json]:
    """The rounds of the last days that somebody closed or gave up, with who did; the oldest first."""
    since = {"round__exhibit_id": exhibit_id, "happened_at__gt": now - OVER_FOR}
    told = [
        *_rows(RoundClosed.objects.filter(**since)),
        *_rows(RoundNotDone.objects.filter(**since)),
    ]
    told.sort(key=lambda row: (row.happened_at, str(row.pk)))
    return [
        {"id": str(row.round_id), "at": _said(row.happened_at, zone), "by": row.recorded_by_id}
        for row in told
        if not getattr(row, "lookalike", "")
    ]


def _rows(facts: Any) -> list[Any]:
    return list(standing(facts).order_by("happened_at", "pk"))


def _said(moment: datetime, zone: ZoneInfo) -> str:
    return moment.astimezone(zone).isoformat()


def _told(kind: str, row: FieldFact, zone: ZoneInfo) -> Json:
    return {"id": str(row.pk), "kind": kind, "at": _said(row.happened_at, zone), "by": row.recorded_by_id}


def _count(row: Count, zone: ZoneInfo) -> Json:
    told = _told("count", row, zone)
    return {**told, "round": str(row.round_id), "lookalike": row.lookalike, "counted": row.counted}


def _group(row: Group, zone: ZoneInfo) -> Json:
    told = _told("group", row, zone)
    said = {"group": str(row.group), "place": row.place_id, "size": row.size, "flew": row.flew}
    return {**told, "round": str(row.round_id), **said}


def _sighting(seen: Seen, exhibit_id: int, zone: ZoneInfo) -> Json:
    return {
        "id": str(seen.sighting_id),
        "kind": "sighting",
        "at": _said(seen.at, zone),
        "by": seen.by,
        "round": str(seen.round_id),
        "exhibit": exhibit_id,
        "bird": seen.bird_id,
        "lookalike": seen.lookalike or None,
        "how": seen.how if seen.bird_id is not None else None,
        "reading": None if seen.reading is None else seen.reading.as_mapping(),
        "candidates": [{"bird": bird, "chance": chance} for bird, chance in seen.candidates],
        "none_of_these": seen.none_of_these,
        "group": None if seen.group is None else str(seen.group),
        "position": seen.position,
        "place": seen.place_id,
    }


def _concerns(call: RollCall, zone: ZoneInfo) -> list[Json]:
    seen = [sighting.sighting_id for sighting in call.sightings]
    rows = standing(Concern.objects.filter(sighting_id__in=seen)).prefetch_related("birds")
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


def _withdrawn(round_ids: Sequence[UUID], zone: ZoneInfo) -> list[Json]:
    """What was taken back: a phone that holds the fact itself learns here that it stands no longer."""
    facts = Sighting.objects.filter(round_id__in=round_ids).values("pk")
    rows = Withdrawal.objects.filter(withdraws__in=facts).order_by("happened_at", "pk")
    return [
        {**_told("withdrawn", row, zone), "corrects": str(row.withdraws), "because": row.because}
        for row in rows
    ]
