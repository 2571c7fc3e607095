"""How old a bird is, in words, as closely as its hatch date is known."""

from __future__ import annotations

from datetime import date

_DAYS_A_MONTH = 30.4375


def age_in_words(hatched: date | None, precision: str, on: date) -> str:
    """How old it was on a day; empty where its hatch date is not known.

    Args:
        hatched: its hatch date.
        precision: how closely that is known; ``day`` is the only one that is exact.
        on: the day.
    """
    if hatched is None or hatched > on:
        return ""
    days = (on - hatched).days
    about = "" if precision == "day" else "about "
    years, months = divmod(int(days / _DAYS_A_MONTH), 12)
    if years:
        return f"{about}{years} {'year' if years == 1 else 'years'}"
    if months:
        return f"{about}{months} {'month' if months == 1 else 'months'}"
    return f"{about}{days} {'day' if days == 1 else 'days'}"
