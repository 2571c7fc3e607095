"""Facts that wait for another one, or were refused when its turn came: for a person to look at."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from tarsus.core.deeds.register import DEEDS
from tarsus.queries.told_deeds import in_words
from tarsus.records.models import Person, SetAside, Waiting


@dataclass(frozen=True, slots=True)
class WaitingFact:
    """A fact that is kept and counts for nothing yet.

    `why` is a sentence: what it waits for, or why it was refused when that came. `refused`: it will not be
    written by itself any more; somebody has to tell it anew or set it aside.
    """

    id: UUID
    title: str
    told: str
    by: str
    happened_at: datetime
    received_at: datetime
    device: str
    refused: bool
    why: str


def waiting_facts() -> tuple[WaitingFact, ...]:
    """Everything that waits, what was refused first, then the longest waiting."""
    rows = list(_open().order_by("received_at", "id"))
    people = dict(Person.objects.values_list("pk", "display_name"))
    told = [_told(row, people) for row in rows]
    return tuple(sorted(told, key=lambda one: (not one.refused, one.received_at, str(one.id))))


def refused_late(device: str) -> list[dict[str, str]]:
    """The facts of one phone that were answered ``written`` and refused when their turn came."""
    rows = _open().filter(device=device).exclude(reason="").order_by("received_at", "id")
    return [{"id": str(row.pk), "reason": row.reason} for row in rows]


def how_many_refused() -> int:
    """How many facts were refused after they had been answered, and wait for somebody to look."""
    return _open().exclude(reason="").count()


def _open() -> QuerySet[Waiting]:
    return Waiting.objects.exclude(pk__in=SetAside.objects.values("waiting"))


def _told(row: Waiting, people: dict[int, str]) -> WaitingFact:
    deed = DEEDS.get(row.kind)
    return WaitingFact(
        id=row.pk,
        title=deed.title if deed else row.kind,
        told=in_words(deed, row.contents) if deed else "",
        by=_name(row.contents.get("by"), people),
        happened_at=datetime.fromisoformat(row.contents["at"]),
        received_at=row.received_at,
        device=row.device,
        refused=bool(row.reason),
        why=row.reason or _waits_for(row.contents),
    )


def _name(person: Any, people: dict[int, str]) -> str:
    return people.get(person, "somebody unknown") if isinstance(person, int) else "somebody unknown"


_LEANS: tuple[tuple[str, str], ...] = (
    ("corrects", "the fact that it corrects"),
    ("sighting", "the sighting that it belongs to"),
    ("report", "the report that it answers"),
    ("round", "the start of its round"),
)


def _waits_for(contents: dict[str, Any], leans: Iterable[tuple[str, str]] = _LEANS) -> str:
    for key, what in leans:
        if contents.get(key):
            return (
                f"It waits for {what}, which is still on a phone: open Tarsus there in reach of the network."
            )
    return "It waits for another fact, which is still on a phone: open Tarsus there in reach of the network."
