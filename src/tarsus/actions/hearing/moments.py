"""Whether a fact's time can be: what a clock that is wrong would say becomes a question, never a sighting."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from typing import Final

from django.db.models import Min
from django.utils import timezone

from tarsus.core.deeds.deed import Deed
from tarsus.records.models import Person, Stay

AHEAD: Final = timedelta(minutes=10)
"""A fact may be told as so much later than now: clocks that are trusted differ by less. Common practice."""

CLOCKS_BEGIN: Final = datetime(1971, 1, 1, tzinfo=UTC)
"""A phone that lost its time counts from 1 January 1970 (POSIX.1, *Seconds Since the Epoch*)."""


def register_begins() -> datetime:
    """The earliest moment of which a phone can tell: no bird lived here before, and nobody worked here."""
    lived = Stay.objects.filter(taken_back_at__isnull=True).aggregate(first=Min("from_on"))["first"]
    worked = Person.objects.aggregate(first=Min("joined_at"))["first"]
    day = None if lived is None else timezone.make_aware(datetime.combine(lived, time()))
    return max(CLOCKS_BEGIN, min((one for one in (day, worked) if one is not None), default=CLOCKS_BEGIN))


def question_of_time(deed: Deed, happened_at: datetime, begins: datetime) -> str:
    """What there is to ask about the time of a fact; empty where it can be.

    Args:
        deed: which.
        happened_at: by the register's clock.
        begins: as `register_begins` has it.
    """
    now = timezone.now()
    # A form that asks for a day says noon of it: today's may lie ahead.
    latest = timezone.localtime(now).replace(hour=23, minute=59, second=59) if deed.when == "day" else now
    said = happened_at.astimezone(timezone.get_current_timezone()).strftime("%-d %B %Y, %H:%M")
    if happened_at > max(latest, now) + AHEAD:
        return f"{said} lies ahead of now; was the clock right? Say it again with the time it was"
    if deed.offline and happened_at < begins:
        return (
            f"{said} lies before this register begins; was the clock right? "
            "Say it again with the time it was, or say first since when the birds live here"
        )
    return ""
