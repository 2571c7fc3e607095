"""What was written down of how warm a day will be."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from tarsus.actions.telling import Told, write_once
from tarsus.core.errors import WrongValue
from tarsus.records.models import ForecastNote


@transaction.atomic
def note_forecast(
    *, told: Told, for_day: date, high_c: float, low_c: float | None = None, note: str = ""
) -> bool:
    """Write down how warm and how cold a day is expected to be; the latest word about a day stands.

    Nothing is asked of the outside: whether it is too hot to catch is for the vet and the lead keeper to say.

    Returns:
        Whether it was written now.

    Raises:
        WrongValue: a temperature no park has seen.
    """
    if not -40 <= high_c <= 55:
        raise WrongValue("high_c", f"{high_c} °C is no weather; write between -40 and 55")
    if low_c is not None and low_c > high_c:
        raise WrongValue("low_c", f"{low_c:g} °C is above the highest, {high_c:g} °C; exchange them")
    columns = {"for_day": for_day, "high_c": high_c, "note": note.strip()}
    columns |= {} if low_c is None else {"low_c": low_c}
    return write_once(ForecastNote, told, columns)
