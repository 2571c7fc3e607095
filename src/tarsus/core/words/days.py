"""Days as people read them."""

from __future__ import annotations

from datetime import date


def day_words(day: date) -> str:
    """A day as it is read: *3 May 2026*."""
    return f"{day.day} {day:%B %Y}"


def day_of_year(day: date) -> str:
    """A day of this season, without its year: *3 May*."""
    return f"{day.day} {day:%B}"
