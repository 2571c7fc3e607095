"""The vet's cases, notes, and the reasons that lift a limit."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from tarsus.actions.care.treatment import open_case_of
from tarsus.actions.known import known, known_bird, known_exhibit, known_person, known_round
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import UnknownWord, WrongValue
from tarsus.records.models import Case, CaseNote, Exhibit, Note, SignedReason
from tarsus.records.models.words import Role, Ruled


@transaction.atomic
def open_case(*, about: str, bird_ids: Sequence[int], by: int, at: datetime) -> int:
    """Open a case about a bird, or about one of several; it stays open until somebody closes it.

    Returns:
        The case's id.

    Raises:
        Unknown: no such bird.
        WrongValue: no bird, or not said what about.
    """
    known_person(by)
    if not about.strip():
        raise WrongValue("about", "is empty; say what the case is about")
    if not bird_ids:
        raise WrongValue("birds", "is empty; name the bird, or all that it may be")
    birds = [known_bird(bird_id, "birds") for bird_id in bird_ids]
    case = Case.objects.create(about=about.strip(), opened_by_id=by, opened_at=at)
    case.birds.set(birds)
    return case.pk


@transaction.atomic
def note_in_case(*, told: Told, case_id: int, text: str, see_again_on: date | None = None) -> bool:
    """Write into an open case what was seen, decided or given.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such case.
        AlreadySo: it is closed.
        WrongValue: nothing was written.
    """
    open_case_of(case_id)
    if not text.strip():
        raise WrongValue("text", "is empty; write something")
    return write_once(
        CaseNote, told, {"case_id": case_id, "text": text.strip(), "see_again_on": see_again_on}
    )


@transaction.atomic
def close_case(*, case_id: int, because: str, by: int) -> bool:
    """Close a case, saying why.

    Returns:
        Whether it was written now; `False` when it was closed before.

    Raises:
        Unknown: no such case.
        WrongValue: no reason was given.
    """
    case = known(Case, case_id, "case")
    known_person(by)
    if not because.strip():
        raise WrongValue("because", "is empty; say how it ended")
    if case.closed_at is not None:
        return False
    case.closed_at, case.closed_by_id, case.closed_because = timezone.now(), by, because.strip()
    case.save(update_fields=["closed_at", "closed_by", "closed_because"])
    return True


@transaction.atomic
def write_note(
    *,
    told: Told,
    text: str,
    bird_id: int | None = None,
    exhibit_id: int | None = None,
    round_id: UUID | None = None,
) -> bool:
    """Write a plain note about a bird, an exhibit or a round.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird or exhibit.
        UnknownRound: no such round.
        WrongValue: nothing was written, or about nothing.
    """
    if not text.strip():
        raise WrongValue("text", "is empty; write something")
    if bird_id is None and exhibit_id is None and round_id is None:
        raise WrongValue("bird", "is missing; say what the note is about")
    if bird_id is not None:
        known_bird(bird_id)
    if exhibit_id is not None:
        known_exhibit(exhibit_id)
    if round_id is not None:
        known_round(round_id)
    columns = {"text": text.strip(), "bird_id": bird_id, "exhibit_id": exhibit_id, "round_id": round_id}
    return write_once(Note, told, columns)


@transaction.atomic
def sign_reason(
    *, ruled: str, exhibit_id: int, for_day: date, reason: str, by: int, bird_id: int | None = None
) -> bool:
    """Sign a reason that lifts a limit for one day, as vet or as lead. It holds when both have signed it.

    Returns:
        Whether it holds now.

    Raises:
        Unknown: no such exhibit, bird or person.
        UnknownWord: no such limit.
        WrongValue: no reason, or the person is neither vet nor lead.
    """
    known_exhibit(exhibit_id)
    if bird_id is not None:
        known_bird(bird_id)
    # One signature after the other: two at once would each write a row that only they have signed.
    Exhibit.objects.select_for_update().get(pk=exhibit_id)
    person = known_person(by)
    if ruled not in Ruled.values:
        raise UnknownWord("ruled", ruled, "limit", Ruled.values)
    if not reason.strip():
        raise WrongValue("reason", "is empty; say why the limit is lifted")
    if person.role not in (Role.VET, Role.LEAD):
        raise WrongValue("by", f"{person} is neither vet nor lead; let both of them sign")
    asked = SignedReason(
        ruled=ruled, exhibit_id=exhibit_id, bird_id=bird_id, for_day=for_day, reason=reason.strip()
    )
    of_bird = Q(bird__isnull=True) if bird_id is None else Q(bird_id=bird_id)
    same = SignedReason.objects.filter(
        of_bird, ruled=ruled, exhibit_id=exhibit_id, for_day=for_day, reason=asked.reason
    )
    row = same.first() or asked
    if person.role == Role.VET and row.vet_id is None:
        row.vet, row.vet_at = person, timezone.now()
    elif person.role == Role.LEAD and row.lead_id is None:
        row.lead, row.lead_at = person, timezone.now()
    row.save()
    return row.vet_id is not None and row.lead_id is not None
