"""Keeping what somebody shares of their practice, and forgetting it when they take it back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from tarsus.actions.known import known_exhibit, known_person
from tarsus.core.errors import WrongValue
from tarsus.core.marks.marks import Marks, Reading
from tarsus.core.readings.teaching import MOST_PRACTICE
from tarsus.records.models import SharedPractice, ToldDeed


@transaction.atomic
def set_sharing(*, by: int, on: bool, at: datetime) -> bool:
    """Switch the sharing of one's own practice on or off; off deletes all that was shared.

    Args:
        by: whose practice it is.
        on: whether it is shared.
        at: when they chose so. What they chose later stands: a phone without signal tells late.

    Returns:
        Whether it holds; not where something else was chosen later.

    Raises:
        Unknown: no such person.
    """
    person = known_person(by)
    if _chosen_after(by, at):
        return False
    person.shares_practice = on
    person.save(update_fields=["shares_practice"])
    if not on:
        SharedPractice.objects.filter(person_id=by).delete()
    return True


@transaction.atomic
def share_practice(
    *,
    by: int,
    exhibit_id: int,
    lookalike: str,
    ready: bool,
    answers: Sequence[tuple[Reading, Marks]],
    at: datetime,
) -> bool:
    """Keep how ready somebody is for one flock, in place of what they shared before.

    Args:
        by: whose practice it is.
        exhibit_id: where.
        lookalike: of which flock.
        ready: whether they are.
        answers: what they read of whom, the latest last.
        at: when they practised; what was kept later than that stays.

    Returns:
        Whether it was kept. Nothing is while its owner does not share: a phone may not know that yet. Nor is
        what is older than the moment when they took everything back.

    Raises:
        Unknown: no such exhibit or person.
        WrongValue: more answers than practice may weigh.
    """
    if len(answers) > MOST_PRACTICE:
        raise WrongValue("answers", f"has {len(answers)} entries; share the latest {MOST_PRACTICE}")
    known_exhibit(exhibit_id)
    if not known_person(by).shares_practice or not all(_chosen_after(by, at)):
        return False
    row = SharedPractice.objects.filter(person_id=by, exhibit_id=exhibit_id, lookalike=lookalike).first()
    if row is not None and row.shared_at > at:
        return True
    row = row or SharedPractice(person_id=by, exhibit_id=exhibit_id, lookalike=lookalike)
    row.ready, row.shared_at = ready, at
    row.answers = [{"read": read.as_mapping(), "worn": worn.as_mapping()} for read, worn in answers]
    row.save()
    return True


def _chosen_after(by: int, at: datetime) -> list[bool]:
    """What somebody chose after a moment, by the ledger: whether they share."""
    later = ToldDeed.objects.filter(kind="practice_sharing", by_id=by, happened_at__gt=at)
    return [bool(contents.get("on")) for contents in later.values_list("contents", flat=True)]
