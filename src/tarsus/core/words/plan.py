"""What a walk to missing birds is called: how long it takes, and how much of them it is likely to find.

The phone's twin is `walkTold` in web/static/shared/search-walk.js.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import floor

from tarsus.core.words.numbers import counted, per_cent


def minutes_told(minutes: float) -> str:
    """Minutes in whole ones, at least one."""
    return str(max(1, floor(minutes + 0.5)))


def birds_told(expected: float) -> str:
    """How many birds are likely, to a tenth."""
    return f"{floor(10 * expected + 0.5) / 10:.1f}"


def walk_told(minutes: float, expected: float, names: Sequence[str]) -> str:
    """How long a walk takes and who is likely on it.

    Args:
        minutes: of the whole walk; 0 where no place of the plan is likely.
        expected: the chances that they are on it, summed over the birds.
        names: of the birds that are looked for.
    """
    if not names:
        return "Nobody has to be looked for just now."
    if not minutes:
        who = names[0] if len(names) == 1 else "None of them"
        return f"{who} was{' not' if len(names) == 1 else ''} seen at a pinned place in the last sixty days."
    whole = minutes_told(minutes)
    begins = f"{whole} {counted('minute', int(whole))}."
    if len(names) == 1:
        elsewhere = per_cent(max(0.0, 1 - expected))
        return f"{begins} {names[0]} is on this walk: {per_cent(expected)}; elsewhere: {elsewhere}."
    return f"{begins} {birds_told(expected)} of {len(names)} likely on this walk; the rest elsewhere."
