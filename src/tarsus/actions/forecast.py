"""What was written down of how warm a day will be."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.records.models import ForecastNote


@transaction.atomic
def note_forecast(*, told: Told, for_day: date, high_c: float, note: str = "") -> bool:
    """Write down how warm a day is expected to be; the latest word about a day stands.

    Nothing is asked of the outside: whether it is too hot to catch is for the vet and the lead keeper to say.

    Returns:
        Whether it was written now.

    Raises:
        WrongValue: a temperature no park has seen.
    """
    if not -40 <= high_c <= 55:
        raise WrongValue("high_c", f"{high_c} °C is no weather; write between -40 and 55")
    return write_once(ForecastNote, told, {"for_day": for_day, "high_c": high_c, "note": note.strip()})
