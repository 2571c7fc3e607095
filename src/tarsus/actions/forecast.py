"""What was written down of how warm a day will be."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from tarsus.core.errors import WrongValue
from tarsus.records.models import ForecastNote


@transaction.atomic
def note_forecast(*, for_day: date, high_c: float, note: str, at: datetime, by: int) -> UUID:
    """Write down how warm a day is expected to be; the latest word about a day stands.

    Nothing is asked of the outside: whether it is too hot to catch is for the vet and the lead keeper to say.

    Raises:
        WrongValue: a temperature no park has seen.
    """
    if not -40 <= high_c <= 55:
        raise WrongValue("high_c", f"{high_c} °C is no weather; write between -40 and 55")
    written = ForecastNote.objects.create(
        for_day=for_day, high_c=high_c, note=note.strip(), happened_at=at, recorded_by_id=by
    )
    return written.pk
