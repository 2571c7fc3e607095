"""Keep a catch-up, drop it, tell who was not handled, sign it off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from django.db import transaction
from django.utils import timezone

from tarsus.actions.known import known, known_bird, known_exhibit, known_person
from tarsus.actions.refusals import AlreadySo
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.core.words.numbers import in_a_row
from tarsus.queries.kept_catch_ups import kept_plan, plans_now
from tarsus.records.models import CatchUp, CatchUpBird, NotHandled
from tarsus.records.models.words import NotHandledHow


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
    row = known(CatchUp, catch_up_id, "catch_up")
    if row.dropped_at is not None or row.done_at is not None:
        return False
    row.dropped_at = timezone.now()
    row.save(update_fields=["dropped_at"])
    return True


@transaction.atomic
def tell_not_handled(*, told: Told, catch_up_id: int, bird_id: int, outcome: str, because: str) -> bool:
    """Say that a bird of a catch-up was not handled, and why: it was not caught, or let go again.

    What was planned for it stays due. A handling of that day counts before this, in any order of arrival.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such catch-up or bird.
        UnknownWord: no such outcome.
        WrongValue: the bird is not in that catch-up, or no reason was given.
    """
    catch_up = known(CatchUp, catch_up_id, "catch_up")
    bird = known_bird(bird_id)
    if not catch_up.birds.filter(bird=bird, chosen=True).exists():
        raise WrongValue("bird", f"{bird} is not in this catch-up; choose one that is")
    if outcome not in NotHandledHow.values:
        raise UnknownWord("outcome", outcome, "outcome", NotHandledHow.values)
    if not because.strip():
        raise WrongValue("because", "is empty; say why it was not handled")
    columns = {"catch_up_id": catch_up_id, "bird_id": bird_id, "outcome": outcome, "because": because.strip()}
    return write_once(NotHandled, told, columns)


@transaction.atomic
def finish_catch_up(*, catch_up_id: int, by: int) -> bool:
    """Sign a catch-up off; who was in hand is told by the handlings. What was not done stays due.

    Returns:
        Whether it was said now.

    Raises:
        Unknown: no such catch-up or person.
        AlreadySo: it was dropped.
        WrongValue: nobody told yet what became of one of its birds.
    """
    known_person(by)
    row = known(CatchUp, catch_up_id, "catch_up")
    if row.done_at is not None:
        return False
    if row.dropped_at is not None:
        raise AlreadySo("catch_up", "it was dropped; keep a plan anew")
    plan = kept_plan(catch_up_id)
    assert plan is not None, "it was found above"
    (now,) = plans_now([plan], {})
    if now.untold:
        who = in_a_row(now.untold)
        raise WrongValue(
            "catch_up", f"tells nothing of {who} yet; take them in hand, or say why they were not handled"
        )
    row.done_at = timezone.now()
    row.save(update_fields=["done_at"])
    return True
