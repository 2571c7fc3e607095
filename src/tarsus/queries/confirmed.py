"""Readings whose bird was then known for certain: what readers are learned from."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.readings.error_paths import Check
from tarsus.records.models import ConfirmedReading
from tarsus.records.standing import standing, withdrawn


@dataclass(frozen=True, slots=True)
class Confirmed:
    """One check: who read, when, and whether the bird was then in the hand or looked at again."""

    id: UUID
    reader: int
    at: datetime
    in_hand: bool
    check: Check


def confirmed_readings(person_id: int | None = None) -> tuple[Confirmed, ...]:
    """Every reading that was confirmed, the oldest first, in one query.

    Args:
        person_id: only this person's, where given.

    Returns:
        Readings made before a bird was caught and then checked in the hand; and readings of a bird of a group
        that somebody then named by sight in the same place of the same group, whichever name the reading had.

    Assumes:
        Whoever names a bird by sight after a reading knows it. A second look that was asked for since the
        reading was doubtful counts like any other: readers look a little worse than they are.
    """
    rows = standing(ConfirmedReading.objects.filter(~withdrawn("sighting_id")))
    if person_id is not None:
        rows = rows.filter(reader_id=person_id)
    columns = rows.order_by("happened_at", "id").values_list(
        "id", "reader_id", "happened_at", "handling_id", "read", "worn"
    )
    return tuple(
        Confirmed(pk, reader, at, handling is not None, Check(Reading.of(read), Marks.of(worn)))
        for pk, reader, at, handling, read, worn in columns
    )


def of_known_colours(confirmed: Iterable[Confirmed], known: Collection[str]) -> list[Confirmed]:
    """Those whose bands are all of colours that the park still has."""
    return [one for one in confirmed if has_known_colours(one.check, known)]


def has_known_colours(check: Check, known: Collection[str]) -> bool:
    """Whether the park still has all colours of a check."""
    words = {*known, "?", "*"}
    return all(band in words for site in (*check.read.sites, *check.worn.sites) for band in site[1])
