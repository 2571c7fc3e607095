"""Where birds live: beginning and ending stays, for the deeds that move, bring and lose birds."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID

from django.db.models import QuerySet
from django.utils import timezone

from tarsus.actions.refusals import AlreadySo, NotThere, OutOfOrder
from tarsus.queries.days import day_of, park_zone
from tarsus.records.models import Bird, Missing, Stay
from tarsus.records.models.words import Whereabouts
from tarsus.records.standing import standing


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


def end_by_death(bird: Bird, on: date, by: int, through: UUID) -> None:
    """End the stay of a bird that was found dead on a day, possibly long before this is written.

    One presumed dead has no home any more: it died when it was found, if that was earlier.

    Raises:
        NotThere: it did not live here on that day.
        OutOfOrder: it was moved, or left, after that day.
    """
    stay = _stays(bird).select_related("exhibit", "bird").order_by("-from_on", "-pk").first()
    presumed = stay is not None and _presumed_dead(stay) is not None
    if stay is None or (stay.to_on is not None and stay.to_on <= on and not presumed):
        raise NotThere("bird", f"{bird} did not live here on {on}; choose another bird")
    if stay.from_on > on:
        raise OutOfOrder("bird", f"{bird} came to {stay.exhibit} on {stay.from_on}, so it lived after {on}")
    if stay.to_on is not None and stay.to_on > on and not presumed:
        raise OutOfOrder("bird", f"{bird} left {stay.exhibit} on {stay.to_on}, so it lived after {on}")
    if stay.to_on is None or stay.to_on > on:
        end_stay(stay, on, by, through)


def _presumed_dead(stay: Stay) -> Missing | None:
    """The presumption of death that ended a stay, if one did and still stands."""
    told = (
        standing(Missing.objects.filter(bird=stay.bird)).order_by("happened_at", "recorded_at", "pk").last()
    )
    return told if told is not None and told.state == Whereabouts.PRESUMED_DEAD else None


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
        presumed = _presumed_dead(ended)
        if presumed is not None:
            end_stay(ended, day_of(presumed.happened_at, park_zone()), presumed.recorded_by_id, presumed.pk)


def park_day(at: datetime) -> date:
    """The park's day of a moment."""
    return day_of(at, park_zone())


def _stays(bird: Bird) -> QuerySet[Stay]:
    return Stay.objects.filter(bird=bird, taken_back_at__isnull=True)
