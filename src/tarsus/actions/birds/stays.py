"""Where birds live: beginning and ending stays, for the deeds that move, bring and lose birds."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID

from django.db.models import QuerySet
from django.utils import timezone

from tarsus.actions.refusals import AlreadySo, NotThere, OutOfOrder
from tarsus.queries.days import day_of, park_zone
from tarsus.records.models import Bird, Stay


def begin_stay(
    bird: Bird, exhibit_id: int, on: date, by: int, *, reason: str = "", through: UUID | None = None
) -> Stay:
    """Let a bird live in an exhibit from a day on.

    Raises:
        AlreadySo: it lives somewhere already.
        OutOfOrder: the day lies within or before an earlier stay.
    """
    open_one = open_stay(bird)
    if open_one is not None:
        raise AlreadySo("bird", f"{bird} lives in {open_one.exhibit} already; move it instead")
    later = _stays(bird).filter(to_on__gt=on).order_by("-to_on").first()
    if later is not None:
        raise OutOfOrder(
            "on", f"{bird} lived in {later.exhibit} until {later.to_on}; choose that day or later"
        )
    return Stay.objects.create(
        bird=bird, exhibit_id=exhibit_id, from_on=on, reason=reason, recorded_by_id=by, begun_through=through
    )


def end_stay(stay: Stay, on: date, by: int, through: UUID | None = None) -> None:
    """Let a stay end on a day: on that day the bird no longer lives there.

    Raises:
        OutOfOrder: before it began.
    """
    if on < stay.from_on:
        raise OutOfOrder(
            "at", f"{stay.bird} lives in {stay.exhibit} only since {stay.from_on}; choose that day or later"
        )
    stay.to_on, stay.ended_by_id, stay.ended_at, stay.ended_through = on, by, timezone.now(), through
    stay.save(update_fields=["to_on", "ended_by", "ended_at", "ended_through"])


def open_stay(bird: Bird) -> Stay | None:
    """Where a bird lives now, or none."""
    return _stays(bird).filter(to_on__isnull=True).select_related("exhibit", "bird").first()


def stay_now(bird: Bird) -> Stay:
    """Where a bird lives now.

    Raises:
        NotThere: it lives nowhere here: it left, or died.
    """
    stay = open_stay(bird)
    if stay is None:
        raise NotThere("bird", f"{bird} lives in no exhibit now; let it arrive first")
    return stay


def undo_stays(fact_id: UUID, by: int, because: str) -> None:
    """Put stays right after the fact that began or ended them was withdrawn.

    What it began is taken back, what it ended goes on.

    Raises:
        OutOfOrder: a later deed leans on it; that one must be taken back first.
    """
    for begun in Stay.objects.filter(begun_through=fact_id, taken_back_at__isnull=True).select_related(
        "bird"
    ):
        if begun.ended_through is not None and begun.ended_through != fact_id:
            raise OutOfOrder("corrects", f"{begun.bird} was moved again since; take that back first")
        begun.taken_back_by_id, begun.taken_back_at, begun.taken_back_because = by, timezone.now(), because
        begun.save(update_fields=["taken_back_by", "taken_back_at", "taken_back_because"])
    for ended in Stay.objects.filter(ended_through=fact_id, taken_back_at__isnull=True).select_related(
        "bird"
    ):
        if open_stay(ended.bird) is not None or _stays(ended.bird).filter(from_on__gt=ended.from_on).exists():
            raise OutOfOrder("corrects", f"{ended.bird} lives elsewhere since; take that back first")
        ended.to_on = ended.ended_by_id = ended.ended_at = ended.ended_through = None
        ended.save(update_fields=["to_on", "ended_by", "ended_at", "ended_through"])


def park_day(at: datetime) -> date:
    """The park's day of a moment."""
    return day_of(at, park_zone())


def _stays(bird: Bird) -> QuerySet[Stay]:
    return Stay.objects.filter(bird=bird, taken_back_at__isnull=True)
