"""Keep a catch-up, drop it, say that it was done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from django.db import transaction
from django.utils import timezone

from tarsus.actions.known import known, known_bird, known_exhibit, known_person
from tarsus.core.errors import WrongValue
from tarsus.records.models import CatchUp, CatchUpBird


@transaction.atomic
def keep_catch_up(
    *,
    exhibit_id: int,
    planned_for: date,
    chosen: Mapping[int, Sequence[str]],
    limits: Mapping[str, float],
    by: int,
) -> int:
    """Keep a catch-up as it was proposed; one that was kept for the same exhibit and day before is dropped.

    Args:
        exhibit_id: where.
        planned_for: the day.
        chosen: the birds, each with its reasons in words.
        limits: the vet's limits as they stood, to be read beside the plan later.
        by: who kept it.

    Returns:
        The catch-up's number.

    Raises:
        Unknown: no such exhibit, bird or person.
        WrongValue: nobody is to be caught.
    """
    known_exhibit(exhibit_id)
    known_person(by)
    if not chosen:
        raise WrongValue("birds", "names nobody; a catch-up is kept for at least one bird")
    for bird in chosen:
        known_bird(bird)
    before = CatchUp.objects.filter(
        exhibit_id=exhibit_id, planned_for=planned_for, dropped_at__isnull=True, done_at__isnull=True
    )
    before.update(dropped_at=timezone.now())
    row = CatchUp.objects.create(
        exhibit_id=exhibit_id, planned_for=planned_for, limits=dict(limits), planned_by_id=by
    )
    CatchUpBird.objects.bulk_create(
        CatchUpBird(catch_up=row, bird_id=bird, why=list(why)) for bird, why in chosen.items()
    )
    return row.pk


@transaction.atomic
def drop_catch_up(*, catch_up_id: int, by: int) -> bool:
    """Drop a catch-up that was kept. It stays on record as dropped.

    Returns:
        Whether it was dropped now.

    Raises:
        Unknown: no such catch-up or person.
    """
    known_person(by)
    row = known(CatchUp, catch_up_id, "catch-up")
    if row.dropped_at is not None or row.done_at is not None:
        return False
    row.dropped_at = timezone.now()
    row.save(update_fields=["dropped_at"])
    return True


@transaction.atomic
def finish_catch_up(*, catch_up_id: int, by: int) -> bool:
    """Say that a catch-up is over; who was in hand is told by the handlings.

    Returns:
        Whether it was said now.

    Raises:
        Unknown: no such catch-up or person.
    """
    known_person(by)
    row = known(CatchUp, catch_up_id, "catch-up")
    if row.done_at is not None:
        return False
    row.done_at = timezone.now()
    row.save(update_fields=["done_at"])
    return True
