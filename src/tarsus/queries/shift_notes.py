"""Notes from one shift to the next: those that wait for somebody, and those of the last fortnight."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q

from tarsus.queries.since import LONGEST
from tarsus.records.models import ShiftNote, ToldDeed
from tarsus.records.standing import standing


@dataclass(frozen=True, slots=True)
class NoteLeft:
    """One note. `people` are the colleagues it mentions; `seen_by` those of them who have seen it since.

    `for_you`: it mentions whoever asks, and they have not seen it.
    """

    note_id: UUID
    text: str
    exhibit: str
    exhibit_id: int | None
    by: str
    at: datetime
    people: tuple[str, ...]
    seen_by: tuple[str, ...]
    for_you: bool


def notes_for(person_id: int, looked: datetime) -> tuple[NoteLeft, ...]:
    """What waits for somebody: notes that mention them and that they have not seen, however old, and those
    for whoever comes that others left since they looked; those that mention them first, then the latest.

    Args:
        person_id: who asks.
        looked: until when they have seen what is new.
    """
    told = [note for note in _notes(person_id, looked, mine_too=False) if note.for_you or not note.people]
    return tuple(sorted(told, key=lambda note: (not note.for_you, -note.at.timestamp())))


def notes_left(person_id: int, now: datetime) -> tuple[NoteLeft, ...]:
    """All notes of the last fortnight, the latest first, one's own and those for others too."""
    return tuple(_notes(person_id, now - LONGEST, mine_too=True))


def notes_open_to_all(exhibit_id: int, after: datetime) -> tuple[NoteLeft, ...]:
    """Notes that mention nobody, about an exhibit or about none, since a moment, the latest first."""
    rows = standing(ShiftNote.objects.filter(recorded_at__gt=after, people__isnull=True))
    told = rows.filter(Q(exhibit=exhibit_id) | Q(exhibit__isnull=True)).select_related(
        "recorded_by", "exhibit"
    )
    return tuple(_note(row, 0, {}) for row in told.order_by("-recorded_at", "pk"))


def _notes(person_id: int, after: datetime, *, mine_too: bool) -> list[NoteLeft]:
    rows = standing(ShiftNote.objects.all())
    wanted = rows.filter(Q(recorded_at__gt=after) | Q(people__person_id=person_id))
    if not mine_too:
        wanted = wanted.exclude(recorded_by_id=person_id)
    told = list(
        wanted.distinct()
        .select_related("recorded_by", "exhibit")
        .prefetch_related("people__person")
        .order_by("-recorded_at", "pk")
    )
    looks = _looks({one.person_id for row in told for one in row.people.all()})
    notes = [_note(row, person_id, looks) for row in told]
    return [note for note in notes if note.for_you or note.at > after]


def _looks(people: Iterable[int]) -> dict[int, datetime]:
    """Until when each of these people said that they had seen what is new; those who never did are left
    out."""
    until: dict[int, datetime] = {}
    rows = ToldDeed.objects.filter(kind="today_seen", by__in=set(people)).values_list("by", "contents")
    for by, contents in rows:
        moment = datetime.fromisoformat(contents["until"])
        until[by] = max(moment, until.get(by, moment))
    return until


def _note(row: ShiftNote, person_id: int, looks: dict[int, datetime]) -> NoteLeft:
    people = sorted((one.person.display_name, one.person_id) for one in row.people.all())
    seen = {person: person in looks and looks[person] >= row.recorded_at for _, person in people}
    return NoteLeft(
        note_id=row.pk,
        text=row.text,
        exhibit=row.exhibit.name if row.exhibit else "",
        exhibit_id=row.exhibit_id,
        by=row.recorded_by.display_name,
        at=row.recorded_at,
        people=tuple(name for name, _ in people),
        seen_by=tuple(name for name, person in people if seen[person]),
        for_you=seen.get(person_id) is False,
    )
