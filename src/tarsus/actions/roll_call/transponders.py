"""Writing down what machines read of transponders.

Decision 0049.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

from django.db import transaction

from tarsus.actions.birds.stays import park_day
from tarsus.actions.care.weighing import record_weighing
from tarsus.actions.known import known_exhibit, known_place
from tarsus.actions.refusals import AskedAbout
from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.core.presence.transponders import code_of
from tarsus.queries.flock import flock_of
from tarsus.records.models import Transponder, TransponderRead
from tarsus.records.models.words import WeighedWhere

LONGEST: Final = timedelta(days=2)
"""So long one burst is told at the most; a longer one is told in several."""


@transaction.atomic
def record_transponder_read(
    *,
    told: Told,
    exhibit_id: int,
    code: str,
    antenna: str,
    place_id: int | None = None,
    until: datetime | None = None,
    reads: int | None = None,
    checksum: str = "",
) -> bool:
    """Write down that an antenna read a transponder: once, or in a burst up to `until`.

    Whose it is follows from the register as it is now. A code of nobody here is kept too: it is asked about.

    Returns:
        Whether it was written now.

    Raises:
        Unknown: no such exhibit or place.
        WrongValue: no code, no antenna, or a burst that ends before it begins or lasts for days.
    """
    known_exhibit(exhibit_id)
    known_place(place_id, exhibit_id)
    plain = code_of(code, checksum)
    lasted = (until or told.at) - told.at
    if not timedelta(0) <= lasted <= LONGEST:
        raise WrongValue("until", "is before the first read, or days after it; tell a long burst in several")
    bird = Transponder.objects.filter(number=plain, taken_back_at__isnull=True).values_list(
        "bird_id", flat=True
    )
    said = {"exhibit_id": exhibit_id, "place_id": place_id, "code": plain, "antenna": antenna.strip()}
    columns = {**said, "reads": reads or 1, "until": told.happened_at + lasted}
    return write_once(TransponderRead, told, columns, derived={"bird_id": bird.first()})


@transaction.atomic
def record_perch_weight(*, told: Told, exhibit_id: int, code: str, weight_g: float, scale: str) -> bool:
    """Write down what a perch scale weighed, of the bird whose transponder it read.

    Returns:
        Whether it was written now.

    Raises:
        AskedAbout: the code is of no bird that lives in the exhibit; the weight waits as a question.
        WrongValue: no code, or no weight that a bird can have.
    """
    known_exhibit(exhibit_id)
    plain = code_of(code)
    here = {bird.transponder: bird.bird_id for bird in flock_of(exhibit_id, park_day(told.happened_at))}
    if plain not in here:
        raise AskedAbout(
            "code",
            f"{plain} is the transponder of no bird of that exhibit; write it down for its bird",
        )
    scales = WeighedWhere.PERCH_SCALE.value
    return record_weighing(told=told, bird_id=here[plain], weight_g=weight_g, where=scales, scale=scale)
