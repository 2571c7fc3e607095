"""Keeping what was printed, so that a month that was handed in stays as it was."""

from __future__ import annotations

from datetime import date, timedelta

from django.db import transaction
from django.utils import timezone

from tarsus.actions.known import known_person
from tarsus.core.errors import WrongValue
from tarsus.queries.days import day_of, park_zone
from tarsus.queries.inventory import inventory_of_month, month_days
from tarsus.queries.signed_months import as_plain
from tarsus.records.models import PrintedInventory


@transaction.atomic
def keep_printed_inventory(*, month: date, by: int) -> int:
    """Keep the inventory of a month as it is printed now. Printing it again keeps another version beside it.

    Args:
        month: any day of the month.
        by: the person who prints it.

    Returns:
        The id of the version.

    Raises:
        WrongValue: the month is not over, so its closing is not known.
    """
    known_person(by)
    first, last = month_days(month)
    now = timezone.now()
    if day_of(now, park_zone()) <= last:
        raise WrongValue("month", f"{first:%B %Y} is not over; keep it from {last + timedelta(days=1)} on")
    lines = as_plain(inventory_of_month(month))
    row = PrintedInventory.objects.create(month=first, lines=lines, printed_by_id=by, printed_at=now)
    return row.pk
