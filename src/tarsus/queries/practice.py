"""Who is ready for an exhibit, as far as they share it: for whoever leads, and never in an order of merit."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from tarsus.core.deeds.rights import KEEPER, RECORDS, passes_for
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.readings.error_paths import Check
from tarsus.records.models import Person, SharedPractice


@dataclass(frozen=True, slots=True)
class Readiness:
    """One person: the flocks that they are ready for and those that they are not yet, as they shared it.

    Both are empty where they share nothing; then nothing else is known of them here.
    """

    name: str
    ready: tuple[str, ...]
    not_yet: tuple[str, ...]
    shared_at: datetime | None


def readiness_for(exhibit_id: int) -> tuple[Readiness, ...]:
    """Everybody who calls rolls, by name, with what they share of their practice here; in two queries."""
    people = [
        (pk, name)
        for pk, name, role in Person.objects.filter(is_active=True)
        .order_by("display_name", "id")
        .values_list("id", "display_name", "role")
        if passes_for(role, KEEPER, RECORDS)
    ]
    rows = list(SharedPractice.objects.filter(exhibit_id=exhibit_id, person__shares_practice=True))
    return tuple(_of(name, [row for row in rows if row.person_id == pk]) for pk, name in people)


def _of(name: str, rows: list[SharedPractice]) -> Readiness:
    return Readiness(
        name,
        tuple(sorted(row.lookalike for row in rows if row.ready)),
        tuple(sorted(row.lookalike for row in rows if not row.ready)),
        max((row.shared_at for row in rows), default=None),
    )


def shares_practice(person_id: int) -> bool:
    """Whether somebody shares their practice."""
    return Person.objects.filter(pk=person_id, shares_practice=True).exists()


def practice_shared() -> dict[int, list[Check]]:
    """What everybody who shares it read of drawings, by person, the latest last; in one query."""
    found: dict[int, list[Check]] = defaultdict(list)
    rows = SharedPractice.objects.filter(person__shares_practice=True).order_by("shared_at", "id")
    for row in rows:
        found[row.person_id] += [Check(Reading.of(one["read"]), Marks.of(one["worn"])) for one in row.answers]
    return dict(found)
