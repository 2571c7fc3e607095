"""When a thing that comes round again is due."""

from __future__ import annotations

from datetime import date, timedelta

from tarsus.core.care.duty import Urgency


def due_on(last: date, every_days: int, today: date, lead_days: int = 2) -> date | None:
    """The day a repeated act is due, once it is near.

    Args:
        last: when it was done last.
        every_days: how often.
        today: the day of asking.
        lead_days: how many days ahead it is told.

    Returns:
        The day, or `None` while it is further off; never on the day on which it was done.
    """
    due = last + timedelta(days=every_days)
    return due if last < today and due <= today + timedelta(days=lead_days) else None


def urgency_of(due: date, today: date) -> Urgency:
    """Today on its day and after it, soon before."""
    return Urgency.TODAY if due <= today else Urgency.SOON
