"""From when a chick is looked for and counted as every other bird."""

from __future__ import annotations

from datetime import date, timedelta


def counts_from(hatched_on: date | None, counts_at_days: int) -> date | None:
    """The first day on which a bird counts on the roll; nothing for one of unknown age, which always does.

    Source:
        Common practice; at how many days is the park's own choice for a species.
    """
    return None if hatched_on is None else hatched_on + timedelta(days=counts_at_days)
