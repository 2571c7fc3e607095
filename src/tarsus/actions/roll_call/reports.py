"""Writing down what a visitor told of a bird, and what a look after it found.

Decision 0032.
"""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from django.db import transaction

from tarsus.actions.known import known_exhibit, known_place
from tarsus.actions.refusals import Unknown, UnknownFact
from tarsus.actions.roll_call.sightings import WhatTheModelSaid
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.core.marks.marks import Reading
from tarsus.records.models import Bird, Report, ReportAnswered, ReportBird


@transaction.atomic
def record_report(
    *,
    told: Told,
    said: str,
    bird_ids: Sequence[int] = (),
    exhibit_id: int | None = None,
    place_id: int | None = None,
    told_by: str = "",
    reading: Reading | None = None,
    model: WhatTheModelSaid | None = None,
) -> bool:
    """Write down what somebody who is no keeper told of a bird.

    It is no sighting: it clears nobody, whatever it names. It stays open, as a prompt to look, until each
    bird it names was seen since or somebody says what a look found.

    Args:
        told: who heard it, when, and the id that the phone chose.
        said: what was told: what, where, when.
        bird_ids: whom it may be about; empty where nobody here fits.
        exhibit_id: where the bird was, if in an exhibit, and
        place_id: at which place of it.
        told_by: who told it, such as *a visitor*.
        reading: the bands as they were described.
        model: what the model made of them.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such exhibit, place or bird.
        WrongValue: nothing was said, or a place without its exhibit.
    """
    if not said.strip():
        raise WrongValue("said", "is empty; write down what was told, where and when")
    if exhibit_id is not None:
        known_exhibit(exhibit_id)
        known_place(place_id, exhibit_id)
    elif place_id is not None:
        raise WrongValue("exhibit", "is missing; a place is a place of an exhibit")
    strangers = set(bird_ids) - set(Bird.objects.filter(pk__in=bird_ids).values_list("pk", flat=True))
    if strangers:
        raise Unknown("birds", "bird", min(strangers))
    model = model or WhatTheModelSaid()
    columns = {
        "exhibit_id": exhibit_id,
        "place_id": place_id,
        "told_by": told_by.strip(),
        "said": said.strip(),
        "reading": None if reading is None else reading.as_mapping(),
        "candidates": [{"bird": bird, "chance": chance} for bird, chance in model.candidates],
        "none_of_these": model.none_of_these,
    }
    birds = sorted(set(bird_ids))
    if not write_once(Report, told, columns, beside={"birds": birds}):
        return False
    ReportBird.objects.bulk_create(ReportBird(report_id=told.id, bird_id=bird) for bird in birds)
    return True


def answer_report(*, told: Told, report_id: UUID, found: str) -> bool:
    """Say what a look after a report found; the report is then no longer open.

    Returns:
        Whether it was written now.

    Raises:
        UnknownFact: the report was not heard yet.
        WrongValue: nothing is said of what was found.
    """
    if not found.strip():
        raise WrongValue("found", "is empty; say what the look found, or that nothing was there")
    if not Report.objects.filter(pk=report_id).exists():
        raise UnknownFact("report", report_id, "report")
    return write_once(ReportAnswered, told, {"report_id": report_id, "found": found.strip()})
