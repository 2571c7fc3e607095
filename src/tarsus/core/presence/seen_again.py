"""Who was found: a bird that somebody saw after it had been unseen for its species' limit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta


def seen_again(
    seen: Iterable[tuple[int, datetime]],
    before: Mapping[int, datetime],
    max_unseen_days: Mapping[int, int],
) -> dict[int, tuple[datetime, int]]:
    """Birds that were seen again after a gap at which they are searched for.

    Args:
        seen: bird and moment of each sighting that cleared it, in any order.
        before: bird -> when it was last seen before all of these; a bird that nobody had seen is left out,
            and its first sighting finds nobody.
        max_unseen_days: bird -> its species' limit.

    Returns:
        bird -> when it was seen again, and after how many whole days; the latest such gap where there are
        several.

    Assumes:
        Days of 24 hours: a bird seen at seven and next at six on its third day was unseen for two.
    """
    last = dict(before)
    found: dict[int, tuple[datetime, int]] = {}
    for bird, at in sorted(seen, key=lambda one: one[1]):
        gap = (at - last.get(bird, at)) // timedelta(days=1)
        if gap >= max_unseen_days[bird]:
            found[bird] = at, gap
        last[bird] = max(at, last.get(bird, at))
    return found
