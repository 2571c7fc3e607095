"""What the vet wants done, body condition, treatments and their rechecks."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from tarsus.actions.known import known, known_bird, one_at_a_time
from tarsus.actions.refusals import AlreadySo, UnknownFact
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.records.models import (
    BodyCondition,
    Case,
    Instruction,
    Park,
    Treatment,
    TreatmentEnded,
    TreatmentRecheck,
)
from tarsus.records.standing import standing


@transaction.atomic
def instruct(*, told: Told, case_id: int, text: str) -> bool:
    """Write down what keepers are to do about the birds of an open case; the latest word stands.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such case.
        AlreadySo: it is closed.
        WrongValue: nothing was written.
    """
    open_case_of(case_id)
    if not text.strip():
        raise WrongValue("text", "is empty; say what the keepers are to do")
    return write_once(Instruction, told, {"case_id": case_id, "text": text.strip()})


@transaction.atomic
def record_body_condition(
    *, told: Told, bird_id: int, score: int, in_hand: bool = False, note: str = ""
) -> bool:
    """Write down how well a bird is fleshed, on the park's scale of now.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird.
        WrongValue: a score that the park's scale has not.
    """
    known_bird(bird_id)
    top = scale_to()
    if not 1 <= score <= top:
        raise WrongValue("score", f"{score} is not on the park's scale; write 1, very thin, to {top}")
    columns = {"bird_id": bird_id, "score": score, "in_hand": in_hand, "note": note.strip()}
    return write_once(BodyCondition, told, columns, derived={"scale_to": top})


def scale_to() -> int:
    """The top of the park's scale of body condition."""
    return (Park.objects.first() or Park()).condition_scale


@transaction.atomic
def order_treatment(
    *,
    told: Told,
    bird_id: int,
    what: str,
    case_id: int | None = None,
    dose: str = "",
    recheck_days: int | None = None,
    rechecks: int | None = None,
) -> bool:
    """Write down what the vet ordered, and how often the bird is looked at again.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such bird or case.
        AlreadySo: the case is closed.
        WrongValue: nothing is given, how often without how many times, or a case about other birds.
    """
    bird = known_bird(bird_id)
    if not what.strip():
        raise WrongValue("what", "is empty; say what is given or done")
    if (recheck_days is None) != (rechecks is None):
        missing = "rechecks" if rechecks is None else "recheck_days"
        raise WrongValue(missing, "is missing; say every how many days and how many times, or neither")
    if case_id is not None and not open_case_of(case_id).birds.filter(pk=bird_id).exists():
        raise WrongValue("case", f"is not about {bird}; choose another case, or none")
    columns = {
        "bird_id": bird_id,
        "case_id": case_id,
        "what": what.strip(),
        "dose": dose.strip(),
        "recheck_days": recheck_days,
        "rechecks": rechecks,
    }
    return write_once(Treatment, told, columns)


@transaction.atomic
def recheck_treatment(*, told: Told, treatment_id: UUID, note: str, better: bool | None = None) -> bool:
    """Write down how a bird under treatment was when it was looked at again.

    Returns:
        Whether it was written now.

    Raises:
        UnknownFact: the treatment was not heard yet.
        WrongValue: not said how it is.
    """
    _treatment(treatment_id)
    if not note.strip():
        raise WrongValue("note", "is empty; say how it is")
    columns = {"treatment_id": treatment_id, "better": better, "note": note.strip()}
    return write_once(TreatmentRecheck, told, columns)


@transaction.atomic
def end_treatment(*, told: Told, treatment_id: UUID, because: str) -> bool:
    """Write down that a treatment is over.

    Returns:
        Whether it was written now.

    Raises:
        UnknownFact: the treatment was not heard yet.
        AlreadySo: it was ended before.
        WrongValue: not said why.
    """
    _treatment(treatment_id)
    if not because.strip():
        raise WrongValue("because", "is empty; say why it is over")
    one_at_a_time(Treatment, treatment_id)
    if standing(TreatmentEnded.objects.filter(treatment_id=treatment_id)).exclude(pk=told.id).exists():
        raise AlreadySo("treatment", "it was ended before; put that right instead")
    return write_once(TreatmentEnded, told, {"treatment_id": treatment_id, "because": because.strip()})


def _treatment(treatment_id: UUID) -> None:
    if not Treatment.objects.filter(pk=treatment_id).exists():
        raise UnknownFact("treatment", treatment_id, "treatment")


def open_case_of(case_id: int) -> Case:
    """The case with this id, which must be open.

    Raises:
        Unknown: no such case.
        AlreadySo: it is closed.
    """
    case = known(Case, case_id, "case")
    if case.closed_at is not None:
        raise AlreadySo("case", f"it is closed since {case.closed_at:%Y-%m-%d}; open a new one")
    return case
