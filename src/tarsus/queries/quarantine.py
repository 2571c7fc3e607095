"""Whom quarantine holds: from the day a bird comes into it until the vet lets it out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, datetime, time
from typing import Final
from uuid import UUID
from zoneinfo import ZoneInfo

from tarsus.core.marks.marks import Marks
from tarsus.core.marks.wording import in_words
from tarsus.queries.days import day_begins, day_of
from tarsus.queries.kept_marks import WAITS
from tarsus.queries.marks import on_day
from tarsus.records.models import Exhibit, Move, PlannedMarks, QuarantineRelease, Stay
from tarsus.records.models.words import Purpose
from tarsus.records.standing import standing

KEPT_APART: Final = (Purpose.QUARANTINE, Purpose.HOSPITAL)
"""Where a bird in quarantine may go: the hospital does not end it. Common practice."""
_DAY_ALONE: Final = time(12)
"""A form that asks for a day and no hour tells its noon."""


def held_in_quarantine(birds: Sequence[int], at: datetime, zone: ZoneInfo) -> dict[int, date]:
    """Birds that are in quarantine at a moment and that the vet had not released by then, with since when.

    One that went from quarantine to the hospital is held too: it came to the hospital unreleased.

    Args:
        birds: who is asked about.
        at: the moment; what happened later does not count, whenever it was told.
        zone: the park's time zone.
    """
    day = day_of(at, zone)
    apart = Stay.objects.filter(on_day(day), bird_id__in=birds, exhibit__purpose__in=KEPT_APART)
    return held_when_last_here(apart.values_list("bird_id", flat=True), at, zone)


def held_when_last_here(birds: Iterable[int], at: datetime, zone: ZoneInfo) -> dict[int, date]:
    """The same of birds that live nowhere now too: whom quarantine held where they lived last."""
    since = _since(set(birds), day_of(at, zone))
    if not since:
        return {}
    through = [deed for _, deed in since.values() if deed is not None]
    moves = dict(Move.objects.filter(pk__in=through).values_list("pk", "happened_at"))
    released = standing(QuarantineRelease.objects.filter(bird_id__in=since))
    told: dict[int, list[datetime]] = defaultdict(list)
    for bird, happened_at in released.values_list("bird_id", "happened_at"):
        told[bird].append(happened_at)
    held = {}
    for bird, (from_on, deed) in since.items():
        began = moves.get(deed) if deed is not None else None
        began = began or day_begins(from_on, zone)
        if not any(_by(began, one, zone) and _by(one, at, zone) for one in told[bird]):
            held[bird] = from_on
    return held


def _since(birds: Iterable[int], day: date) -> dict[int, tuple[date, UUID | None]]:
    """When each bird's unbroken time in quarantine and hospital began to be quarantine, and by which deed."""
    rows = Stay.objects.filter(bird_id__in=birds, from_on__lte=day, taken_back_at__isnull=True)
    rows = rows.select_related("exhibit").order_by("from_on", "pk")
    stays: dict[int, list[Stay]] = defaultdict(list)
    for row in rows:
        stays[row.bird_id].append(row)
    since: dict[int, tuple[date, UUID | None]] = {}
    for bird, lived in stays.items():
        after: date | None = None
        for stay in reversed(lived):
            if stay.exhibit.purpose not in KEPT_APART or (after is not None and stay.to_on != after):
                break
            if stay.exhibit.purpose == Purpose.QUARANTINE:
                since[bird] = stay.from_on, stay.begun_through
            after = stay.from_on
    return since


def _by(first: datetime, then: datetime, zone: ZoneInfo) -> bool:
    """Whether one moment is no later than another; where one of them is a day alone, whether that day is."""
    if first <= then:
        return True
    days = [moment.astimezone(zone) for moment in (first, then)]
    alone = any(moment.time() == _DAY_ALONE for moment in days)
    return alone and days[0].date() == days[1].date()


def written_and_taken_back(bird_id: int) -> bool:
    """Whether a bird was written into quarantine, that was taken back, and the vet never released it."""
    written = Stay.objects.filter(
        bird_id=bird_id, exhibit__purpose=Purpose.QUARANTINE, taken_back_at__isnull=False
    )
    return written.exists() and not standing(QuarantineRelease.objects.filter(bird_id=bird_id)).exists()


def park_has_quarantine() -> str:
    """The name of the exhibit where newcomers go first; empty where the park has none."""
    open_ones = Exhibit.objects.filter(purpose=Purpose.QUARANTINE, closed_on__isnull=True)
    return open_ones.order_by("order", "name").values_list("name", flat=True).first() or ""


def kept_not_fitted(bird_id: int) -> str:
    """A sentence that names the marks kept for a bird and not on it yet; empty where there are none."""
    kept = PlannedMarks.objects.filter(WAITS, bird_id=bird_id)
    row = kept.select_related("bird").first()
    if row is None:
        return ""
    marks = in_words(Marks.of(row.marks))
    return (
        f"kept for {row.bird} and not fitted yet: {marks}. Without them it joins birds from which it may not "
        "be told apart; fit them before it goes, or drop them at the desk"
    )
