"""The phones on which somebody is told once a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Max

from tarsus.records.models import PhoneNews

_WHAT = (("search", "whom to search for"), ("duties", "what is overdue"), ("backups", "missing backups"))


@dataclass(frozen=True, slots=True)
class PhoneTold:
    """A phone of somebody's: of what it is told, since when, when last; `ended_why` is empty while it is."""

    number: int
    name: str
    what: str
    asked_at: datetime
    last_sent_at: datetime | None
    ended_at: datetime | None
    ended_why: str


def phones_told(person_id: int) -> tuple[PhoneTold, ...]:
    """Every phone on which a person asked, those that are told first, the newest first."""
    rows = PhoneNews.objects.filter(person_id=person_id).annotate(last=Max("letters__sent_at"))
    found = [
        PhoneTold(
            row.pk,
            row.name,
            ", ".join(words for field, words in _WHAT if getattr(row, field)),
            row.asked_at,
            row.last,
            row.ended_at,
            row.ended_why,
        )
        for row in rows.order_by("-pk")
    ]
    return tuple(sorted(found, key=lambda phone: phone.ended_at is not None))
