"""Samples for sex tests on their way: sent, answered, unanswered, and results that name none of ours."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from tarsus.actions.known import known, one_at_a_time
from tarsus.actions.refusals import AlreadySo, UnknownFact
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.queries.samples import PLACED, UNPLACED, samples_with_state
from tarsus.records.models import Bird, Park, SexFinding, SexTest, ToldDeed
from tarsus.records.models.words import SexKnownBy
from tarsus.records.standing import standing


@transaction.atomic
def send_sample(*, told: Told, test_id: UUID, laboratory: str) -> bool:
    """Write down that a sample went to a laboratory.

    Returns:
        That it was written now.

    Raises:
        Unknown: no such sample.
        WrongValue: no laboratory.
        AlreadySo: it is answered already.
    """
    test = known(SexTest, test_id, "test")
    if not laboratory.strip():
        raise WrongValue("laboratory", "is empty; say where it was sent")
    refuse_answered(test_id, told.id)
    if told.happened_at < test.happened_at:
        raise WrongValue("at", f"is before {test.label} was taken; correct one of the days")
    return True


@transaction.atomic
def end_sample(*, told: Told, test_id: UUID) -> bool:
    """Write down that the laboratory got no answer from a sample; another one is then asked for.

    Returns:
        That it was written now.

    Raises:
        Unknown: no such sample.
        AlreadySo: it is answered already.
    """
    known(SexTest, test_id, "test")
    refuse_answered(test_id, told.id)
    return True


@transaction.atomic
def note_stray_result(*, told: Told, label: str) -> bool:
    """Write down a result for a sample that the register does not have: whose it was stays open.

    Returns:
        That it was written now.

    Raises:
        AlreadySo: the register has a sample of that number; or the same question stands open.
    """
    test = standing(SexTest.objects.filter(label__iexact=label.strip())).select_related("bird").first()
    if test is not None:
        raise AlreadySo("label", f"{label.strip()} is {test.bird}'s sample; write its sex down instead")
    asked = standing(ToldDeed.objects.filter(kind=UNPLACED, contents__label=label.strip()))
    if asked.exclude(pk=told.id).exists():
        raise AlreadySo("label", f"{label.strip()} was asked about before; say whose it was there")
    return True


@transaction.atomic
def place_result(*, told: Told, question_id: UUID, test_id: UUID, because: str) -> bool:
    """Say whose sample a laboratory's result was of; the result is then that bird's sex, by DNA.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such sample.
        UnknownFact: no such result was heard.
        WrongValue: no reason; or what it names is no such result.
        AlreadySo: the sample is answered, or somebody said whose the result was.
    """
    test = known(SexTest, test_id, "test")
    question = standing(ToldDeed.objects.filter(pk=question_id)).first()
    if question is None:
        raise UnknownFact("question", question_id, "result")
    if question.kind != UNPLACED:
        raise WrongValue("question", "is no result that waits; choose one on the page of samples")
    if not because.strip():
        raise WrongValue("because", "is empty; say how it became known")
    one_at_a_time(ToldDeed, question_id)
    placed = standing(ToldDeed.objects.filter(kind=PLACED, contents__question=str(question_id)))
    if placed.exclude(pk=told.id).exists():
        raise AlreadySo("question", "somebody said whose it was; withdraw that first if it is wrong")
    columns = {
        "bird_id": test.bird_id,
        "sex": question.contents["sex"],
        "known_by": SexKnownBy.DNA.value,
        "test_id": test_id,
    }
    if not write_once(SexFinding, told, columns, beside={"question": str(question_id)}):
        return False
    refuse_answered(test_id, told.id)
    return True


def refuse_label_taken(label: str, but: UUID) -> None:
    """Refuse a number that is on another sample.

    Raises:
        AlreadySo: it is.
    """
    one_at_a_time(Park, 1)  # of two new samples neither is there yet: only the park is
    other = (
        standing(SexTest.objects.filter(label__iexact=label)).exclude(pk=but).select_related("bird").first()
    )
    if other is not None:
        raise AlreadySo("label", f"{label} is on {other.bird}'s sample; read the tube again")


def refuse_answered(test_id: UUID, but: UUID) -> None:
    """Refuse a second answer to a sample.

    Raises:
        AlreadySo: another finding answers it.
    """
    one_at_a_time(SexTest, test_id)
    findings = standing(SexFinding.objects.filter(test_id=test_id)).exclude(pk=but)
    before = findings.select_related("test").first()
    if before is not None and before.test is not None:
        found = before.get_sex_display().lower()
        raise AlreadySo(
            "test", f"{before.test.label} is answered: {found}; withdraw that first if it is wrong"
        )


def ask_for_sample(bird: Bird, told: Told) -> None:
    """Refuse a DNA result that names no sample while one of the bird waits for its result.

    Raises:
        WrongValue: one waits.
    """
    taken = SexTest.objects.filter(bird=bird, happened_at__lte=told.happened_at)
    waiting = [sample.label for sample in samples_with_state(taken) if not sample.done]
    if waiting:
        raise WrongValue(
            "test",
            f"is missing; {bird}'s sample {' or '.join(waiting)} waits for its result: choose the one that "
            "this answers, or say how else its sex is known",
        )
