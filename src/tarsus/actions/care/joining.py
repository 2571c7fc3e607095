"""A concern told of a bird that is with the vet for the same thing already joins that case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final
from uuid import UUID, uuid5

from tarsus.actions.telling import Told, write_once
from tarsus.records.models import Case, CaseNote
from tarsus.records.standing import standing

_JOINS: Final = "joins the case"


def note_of(concern_id: UUID) -> UUID:
    """The id of the note by which a concern joins an open case."""
    return uuid5(concern_id, _JOINS)


def join_open_case(told: Told, bird_ids: Sequence[int], seen: Sequence[str], side: str, note: str) -> bool:
    """Write a concern into the open case that is about the same, if there is one.

    The case must be about all of these birds, or more of them, and have one of the words seen: a concern
    about *one of three* does not join the case of one of them, since it may be another bird's.

    Returns:
        Whether there is such a case.
    """
    case = _same(bird_ids, seen)
    if case is None:
        return False
    words = ", ".join(word for word in (*seen, side) if word)
    text = f"Told again: {words}.{f' {note}' if note else ''}"
    write_once(CaseNote, replace(told, id=note_of(told.id)), {"case_id": case.pk, "text": text})
    return True


def _same(bird_ids: Sequence[int], seen: Sequence[str]) -> Case | None:
    cases = Case.objects.filter(closed_at__isnull=True).select_related("concern").prefetch_related("birds")
    for case in cases.order_by("opened_at", "pk"):
        about = {bird.pk for bird in case.birds.all()}
        words = {*case.about.split(", "), *(case.concern.seen if case.concern else ())}
        if set(bird_ids) <= about and words & set(seen):
            return case
    return None


def spoken_in(case: Case) -> bool:
    """Whether anybody said more in a case than what opened it: a note, another concern, the vet's word.

    Such a case is for the vet to close, whatever becomes of what opened it.
    """
    return any(standing(rows.all()).exists() for rows in (case.notes, case.instructions, case.treatments))
