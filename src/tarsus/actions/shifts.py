"""Leaving a note for the next shift, and saying that one has seen what came."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from tarsus.actions.known import known_exhibit
from tarsus.actions.refusals import Unknown
from tarsus.actions.telling import CLOCK_TRUSTED, Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.records.models import Person, ShiftNote, ShiftNoteFor


@transaction.atomic
def leave_note(
    *, told: Told, text: str, exhibit_id: int | None = None, person_ids: Sequence[int] = ()
) -> bool:
    """Leave a note for the next shift, or for colleagues by name.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such exhibit, or a colleague who is not there or has left.
        WrongValue: nothing was written.
    """
    if not text.strip():
        raise WrongValue("text", "is empty; write what the next keeper should know")
    if exhibit_id is not None:
        known_exhibit(exhibit_id)
    people = sorted(set(person_ids))
    here = Person.objects.filter(pk__in=people, is_active=True).values_list("pk", flat=True)
    strangers = set(people) - set(here)
    if strangers:
        raise Unknown("people", "person", min(strangers))
    columns = {"exhibit_id": exhibit_id, "text": text.strip()}
    if not write_once(ShiftNote, told, columns, beside={"people": people}):
        return False
    ShiftNoteFor.objects.bulk_create(ShiftNoteFor(note_id=told.id, person_id=one) for one in people)
    return True


def refuse_unseen(*, until: datetime) -> None:
    """Refuse to have seen what nobody has written down yet; the look itself is kept by the ledger alone.

    Raises:
        WrongValue: the moment has not come.
    """
    if until > timezone.now() + CLOCK_TRUSTED:
        raise WrongValue("until", "has not come yet; say until when the page was made that you looked at")
